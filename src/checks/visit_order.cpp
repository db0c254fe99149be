#include "gaugeloom/checks/visit_order.hpp"

#include <algorithm>
#include <cmath>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastProbability = 0.05;
constexpr double kMostProbability = 0.99;
constexpr double kConfirmedProbability = 0.98;  // without a learned level
constexpr double kProvisionalProbability = 0.5;
constexpr double kDaysAhead = 30;
constexpr double kEndedShare = 0.25;

class Priorities {
 public:
  Priorities(const CheckResult& result, double days, double calls_per_gauge_year)
      : result_(result), days_(days), calls_per_gauge_year_(calls_per_gauge_year) {}

  double probability(const Finding& finding) const {
    const LearnedThreshold* level = result_.nulls.threshold(finding.kind);
    if (level == nullptr || !(level->tail_scale > 0))
      return finding.tier == Tier::confirmed ? kConfirmedProbability : kProvisionalProbability;
    const double at_level = result_.gauge_years * calls_per_gauge_year_ * dial_share(finding.kind);
    const double by_chance =
        at_level * portable_exp(-(finding.score - level->provisional) / level->tail_scale);
    const auto as_high = std::count_if(
        result_.findings.begin(), result_.findings.end(),
        [&](const Finding& f) { return f.kind == finding.kind && f.score >= finding.score; });
    return std::clamp(1 - by_chance / static_cast<double>(as_high), kLeastProbability,
                      kMostProbability);
  }

  double at_stake_mm(const Finding& finding) const {
    const bool is_clock = finding.kind == FindingKind::clock_offset;
    const double off =
        is_clock ? finding.observed_mm : std::abs(finding.expected_mm - finding.observed_mm);
    const double wrong_mm = std::isfinite(off) ? off : finding.observed_mm;
    if (finding.to) return kEndedShare * wrong_mm;
    const double usual_mm = result_.gauges[finding.gauge].expected_mm;
    if (!(usual_mm > 0)) return wrong_mm;
    const double share =
        is_clock ? 1 : std::min(1.0, wrong_mm / std::max(finding.expected_mm, 1e-9));
    return wrong_mm + share * usual_mm * kDaysAhead / days_;
  }

 private:
  const CheckResult& result_;
  double days_;
  double calls_per_gauge_year_;
};

// Whether `a` comes before `b` among equals, so that the order of the findings does not matter.
bool is_earlier(const Finding& a, const Finding& b) {
  return a.from != b.from ? a.from < b.from : a.kind < b.kind;
}

}  // namespace

std::vector<Visit> visit_order(const Network& network, const CheckResult& result, double days,
                               double provisional_calls_per_gauge_year,
                               std::span<const FindingReview> reviews) {
  GAUGELOOM_ASSERT(result.gauges.size() == network.size() && days > 0);
  GAUGELOOM_ASSERT(reviews.empty() || reviews.size() == result.findings.size());
  const Priorities priorities(result, days, provisional_calls_per_gauge_year);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < result.findings.size(); ++i)
    if (result.findings[i].kind != FindingKind::not_testable) order.push_back(i);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return is_earlier(result.findings[a], result.findings[b]);
  });
  std::vector<Visit> of_gauge(network.size());
  std::vector<double> heaviest(network.size(), -1);
  for (const std::size_t i : order) {
    const Finding& finding = result.findings[i];
    Visit& visit = of_gauge[finding.gauge];
    visit.gauge = finding.gauge;
    visit.isolation = result.gauges[finding.gauge].isolation;
    const bool is_accepted = !reviews.empty() && reviews[i].accepted;
    const double probability = is_accepted ? 1 : priorities.probability(finding);
    const double stake_mm = priorities.at_stake_mm(finding);
    visit.at_stake_mm += stake_mm;
    visit.priority_mm += probability * stake_mm * visit.isolation;
    if (probability * stake_mm <= heaviest[finding.gauge]) continue;
    heaviest[finding.gauge] = probability * stake_mm;
    visit.finding = i;
    visit.fault_probability = probability;
    visit.accepted = is_accepted ? reviews[i].decision : "";
  }
  std::vector<Visit> visits;
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge)
    if (heaviest[gauge] >= 0) visits.push_back(of_gauge[gauge]);
  std::sort(visits.begin(), visits.end(), [&](const Visit& a, const Visit& b) {
    if (a.priority_mm != b.priority_mm) return a.priority_mm > b.priority_mm;
    return network.gauges[a.gauge].id < network.gauges[b.gauge].id;
  });
  return visits;
}

std::string visit_reason(const Visit& visit, const Finding& finding) {
  return visit.accepted.empty() ? finding.reason
                                : finding.reason + " It was " + visit.accepted + ".";
}

std::string_view look_first(FindingKind kind) {
  switch (kind) {
    case FindingKind::blocked:
      return "The funnel and its outlet: leaves, dust, droppings, a nest. Then pour a measured "
             "volume through and count the tips.";
    case FindingKind::partly_blocked:
      return "The outlet, its sieve and the siphon if there is one: how fast does a measured "
             "volume run through?";
    case FindingKind::release_burst:
      return "Whether somebody cleaned the gauge then; the funnel and its outlet.";
    case FindingKind::phantom_rain:
      return "Sprinklers or a pour test nearby, shaking by wind or animals, the switch and its "
             "cable.";
    case FindingKind::reads_low:
      return "Whether the funnel is level and whole, leaks above the bucket, trees or walls that "
             "have grown; then a volumetric check.";
    case FindingKind::reads_high:
      return "The bucket's stops, splash from the ground or a roof, the funnel's size; then a "
             "volumetric check.";
    case FindingKind::calibration_step:
    case FindingKind::calibration_drift:
      return "A volumetric check at low, middle and high intensity against the gauge's table; dirt "
             "in the bucket.";
    case FindingKind::clock_offset:
      return "The logger's clock, time zone and summer-time setting against a clock you trust.";
    case FindingKind::double_count:
      return "The wiring of the switch and the logger's setting against contact bounce: tip the "
             "bucket ten times by hand.";
    case FindingKind::counter_dead:
      return "Switch, cable, battery, logger and link: tip the bucket ten times by hand and count.";
    case FindingKind::impossible_rate:
      return "Cable and switch for electrical noise, the protection against lightning.";
    case FindingKind::stuck:
      return "The logger and the link: does it send its last value over and over?";
    case FindingKind::not_testable:
      break;
  }
  return "Whether the gauge reports at all.";
}

std::string_view visit_caution() {
  return "Not in lightning, not alone near water or at height; the safety rules of your "
         "organisation come first.";
}

}  // namespace gaugeloom
