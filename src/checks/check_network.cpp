#include "gaugeloom/checks/check_network.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checks/blame_internal.hpp"
#include "checks/finding_evidence_internal.hpp"
#include "checks/verdict_internal.hpp"
#include "checks/visit_mention_internal.hpp"
#include "gaugeloom/checks/blocked.hpp"
#include "gaugeloom/checks/registry.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kHour{1};
constexpr std::chrono::hours kDay{24};
constexpr double kLongestDryMm = 10;  // no healthy gauge misses as much on end; our choice
constexpr double kHoursPerYear = 8766;

// Everything one round learns, and the view the checks get of it.
class Rounds {
 public:
  Rounds(const Network& network, const RainRecord& record, const LearnedNulls* frozen,
         const CheckOptions& options)
      : network_(network),
        steps_(record.depths),
        frozen_(frozen),
        options_(options),
        hours_(gathered_depths(record.depths, kHour)),
        around_(neighbourhoods(network)),
        excluded_(network.size(), hours_.step_count()) {
    for (const GaugeSpan& right : options.right_rain)
      right_.push_back({right.gauge, first_hour(right.over.from), end_hour(right.over.to)});
    mask_cold(hours_, record.temperatures, options.cold_celsius);
    nulls_.sites = SiteRatios(network.size());
    if (frozen_ != nullptr) nulls_ = *frozen_;
    for (const Gauge& gauge : network.gauges) bucket_mm_.push_back(gauge.bucket_mm);
    for (int pass = 0; pass < 2; ++pass) refine_sites();
    learn();
  }

  // One round of blame; false when nothing changed.
  bool blame() {
    std::vector<Suspicion> suspicions;
    const CheckContext view = context({});
    for (const CheckInfo& check : checks()) {
      if (check.suspects == nullptr) continue;
      const CheckOutcome outcome = check.suspects(view);
      for (const Finding& f : outcome.findings) suspicions.push_back(suspicion(f, outcome));
    }
    Exclusions next = next_exclusions(network_, around_, excluded_, std::move(suspicions), right_);
    if (next == excluded_) return false;
    excluded_ = std::move(next);
    refine_sites();
    learn();
    return true;
  }

  CheckContext context(std::span<const Finding> earlier) const {
    return {network_,           steps_,   hours_,       around_,       expected_,
            excluded_,          days_,    nulls_.miss,  nulls_.ratios, nulls_.hour_law,
            nulls_.sites.ratio, options_, gauge_years_, earlier,       frozen_};
  }
  // Windows of all lengths, as the last round left them.
  JudgedKinds windows() const {
    return judged_kinds({network_, hours_, expected_, excluded_, around_, nulls_.sites.ratio},
                        kTellingKinds);
  }
  // What the checks are to use; `thresholds` as they were given, if they were.
  const LearnedNulls& nulls() const { return nulls_; }

 private:
  void estimate() {
    expected_ = expected_depths(hours_, around_, nulls_.sites, excluded_, options_.threads);
    days_ = block_sums(hours_, expected_, excluded_, kDay);
  }

  void refine_sites() {
    if (frozen_ != nullptr) return;
    estimate();
    nulls_.sites = refined_site_ratios(days_, bucket_mm_, nulls_.sites);
  }

  void learn() {
    estimate();
    if (frozen_ == nullptr) {
      nulls_.miss = MissLaw::learned(hours_, expected_, excluded_, kLongestDryMm, options_.threads);
      nulls_.ratios = RatioNull::learned(days_, bucket_mm_);
      nulls_.hour_law = HourLaw::learned(hours_, expected_, excluded_);
    }
    std::size_t testable = 0;
    for (std::size_t gauge = 0; gauge < network_.size(); ++gauge) {
      testable += testable_hours(context({}), gauge);
    }
    gauge_years_ = static_cast<double>(testable) * hours_.axis().step_hours() / kHoursPerYear;
  }

  Suspicion suspicion(const Finding& finding, const CheckOutcome& outcome) const {
    const std::size_t first = first_hour(finding.from);
    const std::size_t end = end_hour(finding.to.value_or(Instant::max()));
    const double level = outcome.threshold ? outcome.threshold->provisional : 0.01;
    return {finding.gauge, first, std::max(end, first), finding.score / level};
  }

  // The hour that holds a time; the first one that begins at it or later. Both within the record.
  std::size_t first_hour(Instant t) const {
    const StepAxis& axis = hours_.axis();
    return static_cast<std::size_t>(
        std::clamp<long>((t - axis.begin(0)) / axis.step(), 0, static_cast<long>(axis.count())));
  }
  std::size_t end_hour(Instant t) const {
    const StepAxis& axis = hours_.axis();
    return first_hour(std::min(t, axis.span().to) + axis.step() - Duration(1));
  }

  const Network& network_;
  const RainTable& steps_;
  const LearnedNulls* frozen_;
  const CheckOptions& options_;
  RainTable hours_;
  Neighbourhoods around_;
  Exclusions excluded_;
  std::vector<HourSpan> right_;
  LearnedNulls nulls_;
  std::vector<double> bucket_mm_;
  ExpectedDepths expected_;
  BlockSums days_;
  double gauge_years_ = 0;
};

void refuse_bad_input(const Network& network, const RainRecord& record,
                      const CheckOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  if (network.size() != record.depths.gauge_count()) {
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("the network has {} gauges but the rain table has {} rows",
                            network.size(), record.depths.gauge_count()));
  }
}

void tell(const CheckOptions& options, double done, std::string_view next) {
  if (options.progress) options.progress(done, next);
}

// Every check once more on what the last round left, each seeing the findings before it. Returns
// how scores grew, with options.keep_evidence.
std::vector<GrownFinding> run_checks(const Rounds& rounds, const CheckOptions& options,
                                     CheckResult& result) {
  std::vector<GrownFinding> grown;
  const double count = static_cast<double>(checks().size());
  double done = 0;
  for (const CheckInfo& check : checks()) {
    tell(options, 0.6 + 0.3 * done / count, check.stem);
    CheckContext view = rounds.context(result.findings);
    view.keep_growth = options.keep_evidence;
    CheckOutcome outcome = check.find(view);
    for (std::size_t i = 0; i < outcome.growth.size(); ++i) {
      const Finding& f = outcome.findings[i];
      grown.push_back({f.gauge, f.kind, f.from, f.score, std::move(outcome.growth[i])});
    }
    for (Finding& f : outcome.findings) result.findings.push_back(std::move(f));
    if (outcome.threshold) result.nulls.thresholds.push_back(*outcome.threshold);
    done += 1;
  }
  return grown;
}

void add_consistency(const Rounds& rounds, const LearnedNulls* frozen, const CheckOptions& options,
                     CheckResult& result) {
  const JudgedKinds windows = rounds.windows();
  if (frozen == nullptr) result.nulls.durations = DurationLaws::learned(windows, options.threads);
  result.consistency = consistency_rows(windows, result.nulls.durations, options.threads);
}

CheckResult check(const Network& network, const RainRecord& record, const LearnedNulls* frozen,
                  const CheckOptions& options) {
  refuse_bad_input(network, record, options);
  CheckResult result;
  if (record.depths.step_count() == 0 || network.size() == 0) return result;
  tell(options, 0, "learning what the neighbours expect");
  Rounds rounds(network, record, frozen, options);
  while (result.rounds < options.blame_rounds) {
    tell(options, 0.2 + 0.4 * result.rounds / options.blame_rounds, "finding the worst episodes");
    ++result.rounds;
    if (!rounds.blame()) break;
  }
  result.nulls = rounds.nulls();
  result.nulls.thresholds.clear();
  const std::vector<GrownFinding> grown = run_checks(rounds, options, result);
  tell(options, 0.9, "judging every step");
  const CheckContext context = rounds.context({});
  settle_overlaps(result.findings);
  mention_visits(result.findings, record.visits);
  sort_findings(result.findings);
  if (options.review && !options.review(result.findings)) return result;
  if (options.keep_evidence) result.evidence = finding_evidence(context, result.findings, grown);
  result.quality = quality_table(context, record, result.findings);
  result.gauges = gauge_summaries(context, result.nulls.thresholds);
  result.double_mass = double_mass_points(context);
  if (options.hold_totals) add_consistency(rounds, frozen, options, result);
  result.miss_rates = learned_miss_rates(context.miss);
  result.gauge_years = context.gauge_years;
  tell(options, 1, "done");
  return result;
}

}  // namespace

CheckResult check_network(const Network& network, const RainRecord& record,
                          const CheckOptions& options) {
  return check(network, record, nullptr, options);
}

CheckResult check_with_frozen_nulls(const Network& network, const RainRecord& record,
                                    const LearnedNulls& nulls, const CheckOptions& options) {
  if (nulls.sites.ratio.size() != network.size()) {
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("the network has {} gauges but what was learned is of {}",
                            network.size(), nulls.sites.ratio.size()));
  }
  return check(network, record, &nulls, options);
}

}  // namespace gaugeloom
