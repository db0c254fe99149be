#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/ratio_shift_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastExpectedMm = 2;       // on a judged day
constexpr std::size_t kLeastSide = 6;        // judged days on either side of a break
constexpr double kLeastChange = 0.2231;      // log 1.25
constexpr double kAgreement = 0.1823;        // log 1.2
constexpr double kNoSite = 0.6931;           // log 2
constexpr std::size_t kLeastSeasonDays = 8;  // judged ones
constexpr std::size_t kSeasonDays = 60;      // of record
constexpr double kLeastSeasonMm = 20;
constexpr double kMostStandardised = 2.5;  // a single day never decides

struct Judged {
  std::size_t day = 0;
  double log_ratio = 0;     // of the gauge to its neighbours, its site ratio included
  double standardised = 0;  // by the network's law
};

struct Break {
  std::size_t at = 0;  // first judged day after it
  double score = 0;
  double before = 0;  // median log ratios
  double after = 0;
};

std::vector<Judged> judged_days(const CheckContext& context, std::size_t gauge) {
  std::vector<Judged> days;
  const auto row = context.days.row(gauge);
  const double bucket_mm = context.network.gauges[gauge].bucket_mm;
  const double site = portable_log(context.site_ratio[gauge]);
  for (std::size_t day = 0; day < row.size(); ++day) {
    const BlockSum& sum = row[day];
    if (!sum.accepted || sum.usable_share < kLeastBlockShare) continue;
    if (sum.expected_mm < kLeastExpectedMm || !context.ratios.judges(sum.expected_mm)) continue;
    const double ratio = log_ratio(sum.observed_mm, sum.expected_mm, bucket_mm);
    const double z =
        (ratio - context.ratios.middle(sum.expected_mm)) / context.ratios.spread(sum.expected_mm);
    days.push_back({day, ratio + site, std::clamp(z, -kMostStandardised, kMostStandardised)});
  }
  return days;
}

double median_ratio(std::span<const Judged> days) {
  std::vector<double> ratios;
  for (const Judged& d : days) ratios.push_back(d.log_ratio);
  std::sort(ratios.begin(), ratios.end());
  return ratios.empty() ? 0 : ratios[ratios.size() / 2];
}

double mean_standardised(std::span<const Judged> days) {
  double total = 0;
  for (const Judged& d : days) total += d.standardised;
  return total / static_cast<double>(days.size());
}

// Of a split after `at` of `count` days; `left`: what those before it are above the mean of all.
double split_score(double left, std::size_t at, std::size_t count) {
  return 0.5 * left * left * (1 / static_cast<double>(at) + 1 / static_cast<double>(count - at));
}

double split_score(std::span<const Judged> days, std::size_t at) {
  const double mean = mean_standardised(days);
  double left = 0;
  for (const Judged& d : days.first(at)) left += d.standardised - mean;
  return split_score(left, at, days.size());
}

// The split that the statistic likes best.
Break best_break(std::span<const Judged> days) {
  Break best;
  if (days.size() < 2 * kLeastSide) return best;
  const double mean = mean_standardised(days);
  double left = 0;
  for (std::size_t at = 1; at + kLeastSide <= days.size(); ++at) {
    left += days[at - 1].standardised - mean;
    if (at < kLeastSide) continue;
    const double score = split_score(left, at, days.size());
    if (score > best.score) best = {at, score, 0, 0};
  }
  best.before = median_ratio(days.first(best.at));
  best.after = median_ratio(days.subspan(best.at));
  return best;
}

class Search {
 public:
  Search(const CheckContext& context, FindingKind kind, CheckOutcome known)
      : context_(context),
        kind_(kind),
        sign_(kind == FindingKind::reads_low ? -1 : 1),
        out_(std::move(known)) {}

  CheckOutcome run() {
    std::vector<std::vector<Judged>> days;
    std::vector<double> peaks;
    for (std::size_t gauge = 0; gauge < context_.network.size(); ++gauge) {
      days.push_back(judged_days(context_, gauge));
      peaks.push_back(best_break(days.back()).score);
    }
    learn(std::move(peaks));
    for (std::size_t gauge = 0; gauge < days.size(); ++gauge) judge(gauge, days[gauge]);
    return std::move(out_);
  }

 private:
  void learn(std::vector<double> peaks) {
    if (const auto* frozen = context_.frozen_threshold(kind_)) {
      out_.threshold = *frozen;
      return;
    }
    const PeakTail tail{.base = 2, .prior_scale = 1.3, .prior_peaks = 20, .least = 10, .most = 20};
    out_.threshold =
        dialled_threshold(context_, kind_, std::move(peaks), context_.gauge_years, tail, 2);
  }

  bool is_known(std::size_t gauge) const {
    return std::any_of(out_.findings.begin(), out_.findings.end(),
                       [&](const Finding& f) { return f.gauge == gauge; });
  }

  void judge(std::size_t gauge, std::span<const Judged> days) {
    if (is_known(gauge)) return;
    if (beyond_any_site(gauge, days)) return;
    const Break found = best_break(days);
    if (found.score < out_.threshold->provisional) return;
    const double change = found.after - found.before;
    if (std::abs(change) < kLeastChange) return;
    const bool healed = std::abs(found.before) > std::abs(found.after) + kAgreement;
    const double fault = healed ? -change : change;
    if (fault * sign_ <= 0) return;
    const std::size_t day = days[found.at].day;
    const std::size_t last_before = days[found.at - 1].day;
    const auto& window = context_.days.first_window;
    if (healed) {
      add_break(gauge, found, 0, window[last_before + 1], true, days.back().day);
    } else {
      add_break(gauge, found, window[last_before + 1], context_.hours.step_count(), false,
                std::min(days.back().day, day + kLeastSide));
    }
    if (context_.keep_growth) add_growth(days, found.at);
  }

  void add_growth(std::span<const Judged> days, std::size_t at) {
    std::vector<ScorePoint> points;
    for (std::size_t end = at + 1; end <= days.size(); ++end)
      points.push_back(
          {context_.days.axis.end(days[end - 1].day), split_score(days.first(end), at)});
    out_.growth.push_back(
        growth_of(std::move(points), *out_.threshold, out_.findings.back().called));
  }

  bool beyond_any_site(std::size_t gauge, std::span<const Judged> days) {
    const double median = median_ratio(days);
    double expected = 0;
    double observed = 0;
    for (const Judged& d : days) {
      const BlockSum& sum = context_.days.row(gauge)[d.day];
      expected += sum.expected_mm / context_.site_ratio[gauge];
      observed += sum.observed_mm;
    }
    if (context_.days.blocks() < kSeasonDays || days.size() < kLeastSeasonDays ||
        expected < kLeastSeasonMm)
      return false;
    const double overall = log_ratio(observed, expected, 0.2);
    if (sign_ * median < kNoSite || sign_ * overall < kNoSite) return false;
    Finding finding = finding_over(context_, kind_, gauge, 0, context_.hours.step_count());
    finding.expected_mm /= context_.site_ratio[gauge];
    finding.score = static_cast<double>(days.size()) * (sign_ * median);
    finding.called = context_.days.axis.end(days.back().day);
    finding.reason = fmt::format(
        "{} over {} wet days where its neighbours had {}: {} of them, and it has always been so. "
        "Held against {}.",
        mm_text(observed), days.size(), mm_text(expected), percent_text(observed / expected),
        neighbours_text(context_, gauge, finding.neighbours));
    finding.innocent_explanation =
        sign_ < 0 ? "The site may be sheltered by trees, walls or relief, or lie in the wind."
                  : "The site may be wetter by relief, or the bucket larger than the list says.";
    if (context_.keep_growth)
      out_.growth.push_back({{{finding.called, finding.score}}, std::nullopt, std::nullopt});
    out_.findings.push_back(std::move(finding));
    return true;
  }

  void add_break(std::size_t gauge, const Break& found, std::size_t first, std::size_t last,
                 bool healed, std::size_t called_day) {
    Finding finding = finding_over(context_, kind_, gauge, first, last);
    if (last < context_.hours.step_count()) finding.to = context_.hours.axis().begin(last);
    finding.tier = found.score >= out_.threshold->confirmed ? Tier::confirmed : Tier::provisional;
    finding.score = found.score;
    finding.called = context_.days.axis.end(called_day);
    const Instant change = context_.hours.axis().begin(healed ? last : first);
    finding.reason =
        fmt::format("It read {} of its neighbours before {} and {} after. Held against {}.",
                    percent_text(portable_exp(found.before)), time_text(change),
                    percent_text(portable_exp(found.after)),
                    neighbours_text(context_, gauge, finding.neighbours));
    finding.innocent_explanation =
        sign_ < 0 ? "Something near may have grown or been built that shelters the gauge."
                  : "A shelter near the gauge may have gone, or the storms came from another side.";
    out_.findings.push_back(std::move(finding));
  }

  const CheckContext& context_;
  FindingKind kind_;
  double sign_;
  CheckOutcome out_;
};

}  // namespace

CheckOutcome find_ratio_shift(const CheckContext& context, FindingKind kind, CheckOutcome known) {
  return Search(context, kind, std::move(known)).run();
}

}  // namespace gaugeloom
