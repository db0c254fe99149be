#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checks/drip_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "gaugeloom/expect/peak_threshold.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostBuckets = 5;
constexpr double kMostTailHours = 6;
constexpr double kStormMm = 2;
constexpr std::size_t kDryGapHours = 6;
constexpr std::size_t kLeastStorms = 2;

struct Spell {
  std::size_t first = 0;  // hours [first, last): from the first storm that dripped to its last drip
  std::size_t last = 0;
  double peak = 0;
  std::size_t storms = 0;
  std::size_t tail_hours = 0;
  std::optional<std::size_t> called;
};

class Walk {
 public:
  Walk(const CheckContext& context, std::size_t gauge, double level)
      : context_(context), gauge_(gauge), level_(level) {}

  std::vector<Spell> spells() {
    for (std::size_t hour = 0; hour < context_.hours.step_count(); ++hour) step(hour);
    end_storm();
    close();
    return std::move(spells_);
  }

 private:
  void step(std::size_t hour) {
    const double expected = context_.expected.depth_at(gauge_, hour);
    if (std::isnan(expected)) return;
    if (expected > 0) {
      if (dry_ >= kDryGapHours) {
        end_storm();
        storm_first_ = hour;
      }
      storm_mm_ += expected;
      dry_ = 0;
      return;
    }
    ++dry_;
    if (!is_drip(hour)) return;
    tail_ += 1;
    last_drip_ = hour;
    const double now = score_ + std::min(kMostTailHours, tail_) - 1;
    if (storm_mm_ < kStormMm || now < level_ || spell_.storms + 1 < kLeastStorms) return;
    if (!spell_.called) spell_.called = hour;
  }

  bool is_drip(std::size_t hour) const {
    const double depth = context_.hours.depth_mm(gauge_, hour);
    if (!(depth > 0) || depth > kMostBuckets * context_.network.gauges[gauge_].bucket_mm + 1e-6) {
      return false;
    }
    const std::size_t first = hour > 0 ? hour - 1 : 0;
    const std::size_t last = std::min(hour + 2, context_.hours.step_count());
    for (std::size_t h = first; h < last; ++h) {
      if (context_.expected.wet_at(gauge_, h) > 0) return false;
    }
    return true;
  }

  void end_storm() {
    if (storm_mm_ >= kStormMm) {
      if (tail_ <= 0) {
        close();
      } else {
        if (spell_.storms == 0) spell_.first = storm_first_;
        score_ = std::max(0.0, score_ + std::min(kMostTailHours, tail_) - 1);
        spell_.peak = std::max(spell_.peak, score_);
        spell_.last = last_drip_ + 1;
        spell_.tail_hours += static_cast<std::size_t>(tail_);
        ++spell_.storms;
      }
    }
    storm_mm_ = tail_ = 0;
  }

  void close() {
    if (spell_.peak > 0) spells_.push_back(spell_);
    spell_ = Spell{};
    score_ = 0;
  }

  const CheckContext& context_;
  std::size_t gauge_;
  double level_;
  std::vector<Spell> spells_;
  Spell spell_;
  double score_ = 0;
  double storm_mm_ = 0;
  double tail_ = 0;
  std::size_t dry_ = kDryGapHours;
  std::size_t storm_first_ = 0;
  std::size_t last_drip_ = 0;
};

Finding made(const CheckContext& context, std::size_t gauge, const Spell& spell, double confirmed) {
  const StepAxis& axis = context.hours.axis();
  Finding finding =
      finding_over(context, FindingKind::partly_blocked, gauge, spell.first, spell.last);
  finding.tier =
      spell.peak >= confirmed && spell.storms > kLeastStorms ? Tier::confirmed : Tier::provisional;
  if (spell.last < axis.count()) finding.to = axis.begin(spell.last);
  finding.called = axis.end(*spell.called);
  finding.score = spell.peak;
  finding.reason = fmt::format(
      "After {} storms it went on dripping for {} hours in all while its neighbours were dry: "
      "water stands in the funnel and runs out slowly. Held against {}.",
      spell.storms, spell.tail_hours, neighbours_text(context, gauge, finding.neighbours));
  finding.innocent_explanation = "Fog, dew or melting snow can make single tips after the rain.";
  return finding;
}

LearnedThreshold learn(const CheckContext& context) {
  // The level of drips travels as a scale of the check they belong to.
  if (const auto* frozen = context.frozen_threshold(FindingKind::partly_blocked)) {
    const double level = frozen->scales.at(0);
    return {FindingKind::partly_blocked, level, level + 4, 0, 0, {}};
  }
  std::vector<double> peaks;
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    const double never = std::numeric_limits<double>::infinity();
    for (const Spell& spell : Walk(context, gauge, never).spells()) peaks.push_back(spell.peak);
  }
  const double share = dial_share(FindingKind::partly_blocked) / 2;
  const PeakTail tail{.base = 1, .prior_scale = 1.2, .prior_peaks = 20, .least = 8, .most = 14};
  const auto level = peak_level(std::move(peaks), context.gauge_years,
                                share * context.options.provisional_calls_per_gauge_year, tail);
  return {FindingKind::partly_blocked, level.level, level.level + 4, level.scale, level.peaks, {}};
}

}  // namespace

CheckOutcome find_drips(const CheckContext& context) {
  CheckOutcome out;
  out.threshold = learn(context);
  const LearnedThreshold& level = *out.threshold;
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    for (const Spell& spell : Walk(context, gauge, level.provisional).spells()) {
      if (spell.called) out.findings.push_back(made(context, gauge, spell, level.confirmed));
    }
  }
  return out;
}

}  // namespace gaugeloom
