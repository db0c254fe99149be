#include <algorithm>
#include <cmath>
#include <tuple>

#include "checks/calibration_change_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/verdict_internal.hpp"
#include "gaugeloom/checks/blocked.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/expect/double_mass.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"

namespace gaugeloom {
namespace {

constexpr double kTrickleShare = 0.04;
constexpr double kMostlySilent = 0.7;  // our choice
constexpr double kNoOutletMinutes = 180;
constexpr double kDoubleMassMm = 25;  // between two points of a curve: keeps files small

bool is_silence(const Finding& finding) {
  return finding.kind == FindingKind::blocked || finding.kind == FindingKind::partly_blocked ||
         finding.kind == FindingKind::counter_dead;
}

// Whether something came through, and the silence is only a part of it: a spell that is mostly one
// long silence is a block, whatever fell before and after it.
bool is_trickle(const Finding& partly, const Finding& silence) {
  return partly.observed_mm >= kTrickleShare * partly.expected_mm &&
         silence.expected_mm < kMostlySilent * partly.expected_mm;
}

// Right rain at the wrong time is silence while it rains and rain while it is dry. What drips late
// is not its clock; but no outlet is late by hours on end.
bool is_of_the_clock(const Finding& finding, const Finding& clock) {
  if (clock.kind != FindingKind::clock_offset || !overlap(finding, clock)) return false;
  if (std::abs(clock.shift_minutes) < kNoOutletMinutes || finding.called <= clock.from)
    return false;
  const bool one_storm = finding.tier == Tier::provisional;
  return finding.kind == FindingKind::partly_blocked || finding.kind == FindingKind::phantom_rain ||
         finding.kind == FindingKind::release_burst || (one_storm && is_silence(finding));
}

bool is_an_outlets_lag(const Finding& clock, const Finding& partly) {
  return clock.kind == FindingKind::clock_offset && clock.shift_minutes > 0 &&
         clock.shift_minutes < kNoOutletMinutes && partly.kind == FindingKind::partly_blocked &&
         partly.from < clock.called && overlap(clock, partly);
}

bool is_lost(const Finding& finding, const std::vector<Finding>& all) {
  if (std::any_of(all.begin(), all.end(), [&](const Finding& other) {
        return is_of_the_clock(finding, other) || is_an_outlets_lag(finding, other);
      }))
    return true;
  if (finding.kind == FindingKind::blocked) {
    return std::any_of(all.begin(), all.end(), [&](const Finding& other) {
      const bool trickle = other.kind == FindingKind::partly_blocked && is_trickle(other, finding);
      return (trickle || other.kind == FindingKind::counter_dead) && overlap(finding, other);
    });
  }
  if (finding.kind == FindingKind::reads_low || finding.kind == FindingKind::reads_high) {
    return std::any_of(all.begin(), all.end(), [&](const Finding& other) {
      const bool doubled =
          other.kind == FindingKind::double_count && finding.kind == FindingKind::reads_high;
      const bool creeps = other.kind == FindingKind::calibration_drift && finding.to == other.to;
      return (doubled || creeps) && overlap(finding, other);
    });
  }
  if (finding.kind == FindingKind::phantom_rain) {
    return std::any_of(all.begin(), all.end(), [&](const Finding& other) {
      const bool says_more =
          other.kind == FindingKind::impossible_rate || other.kind == FindingKind::stuck ||
          other.kind == FindingKind::release_burst || other.kind == FindingKind::partly_blocked;
      return says_more && overlap(finding, other);
    });
  }
  if (finding.kind != FindingKind::partly_blocked) return false;
  return std::any_of(all.begin(), all.end(), [&](const Finding& other) {
    const bool more = other.kind == FindingKind::counter_dead ||
                      (other.kind == FindingKind::blocked && !is_trickle(finding, other));
    return more && overlap(finding, other);
  });
}

// Two names for what began as one call.
bool is_one_story(const Finding& kept, const Finding& other) {
  const bool silences = is_silence(kept) && is_silence(other) && overlap(kept, other);
  return silences || is_of_the_clock(other, kept) || is_an_outlets_lag(other, kept);
}

int badness(Quality quality) {
  switch (quality) {
    case Quality::good:
      return 0;
    case Quality::unchecked:
      return 1;
    case Quality::estimate:
      return 2;
    case Quality::suspect:
      return 3;
    case Quality::poor:
      return 4;
    case Quality::missing:
      return 5;
  }
  return 5;
}

void worsen(Quality& quality, Quality with) {
  if (badness(with) > badness(quality)) quality = with;
}

Quality verdict_of(const Finding& finding) {
  if (finding.kind == FindingKind::not_testable) return Quality::unchecked;
  if (keeps_its_depths(finding.kind)) return Quality::suspect;
  return finding.tier == Tier::confirmed ? Quality::poor : Quality::suspect;
}

}  // namespace

std::size_t testable_hours(const CheckContext& context, std::size_t gauge) {
  std::size_t hours = 0;
  for (std::size_t hour = 0; hour < context.hours.step_count(); ++hour) {
    if (context.hours.is_measured(gauge, hour) &&
        !std::isnan(context.expected.depth_at(gauge, hour))) {
      ++hours;
    }
  }
  return hours;
}

void settle_overlaps(std::vector<Finding>& findings) {
  std::vector<Finding> kept;
  for (const Finding& finding : findings) {
    if (is_lost(finding, findings)) continue;
    kept.push_back(finding);
    for (const Finding& other : findings) {
      if (!is_one_story(finding, other)) continue;
      Finding& story = kept.back();
      story.called = std::min(story.called, other.called);
      const bool both_silent = is_silence(story) && is_silence(other);
      if (!both_silent && other.tier == Tier::confirmed) story.tier = Tier::confirmed;
    }
  }
  findings = std::move(kept);
}

void sort_findings(std::vector<Finding>& findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    return std::tie(a.gauge, a.from, a.kind) < std::tie(b.gauge, b.from, b.kind);
  });
}

QualityTable quality_table(const CheckContext& context, const RainRecord& record,
                           const std::vector<Finding>& findings) {
  const RainTable& steps = context.steps;
  QualityTable out(steps.gauge_count(), steps.step_count(), Quality::good);
  const auto hour_of = window_of_step(steps.axis(), context.hours.axis());
  parallel_for(steps.gauge_count(), context.options.threads, [&](std::size_t gauge) {
    for (std::size_t i = 0; i < steps.step_count(); ++i) {
      Quality& quality = out.at(gauge, i);
      const bool judged = context.hours.is_measured(gauge, hour_of[i]) &&
                          !std::isnan(context.expected.depth_at(gauge, hour_of[i]));
      if (!judged) quality = Quality::unchecked;
      if (record.quality.steps == steps.step_count()) worsen(quality, record.quality.at(gauge, i));
    }
  });
  for (const Finding& finding : findings) {
    const Interval over{finding.from, finding.to.value_or(steps.axis().span().to)};
    const auto range = steps.axis().within(over);
    for (std::size_t i = range.first; i < range.last; ++i) {
      worsen(out.at(finding.gauge, i), verdict_of(finding));
    }
  }
  for (std::size_t gauge = 0; gauge < steps.gauge_count(); ++gauge) {
    for (std::size_t i = 0; i < steps.step_count(); ++i) {
      // Missing and measured follow the table alone.
      Quality& quality = out.at(gauge, i);
      if (!steps.is_measured(gauge, i)) {
        quality = Quality::missing;
      } else if (quality == Quality::missing) {
        quality = Quality::suspect;
      }
    }
  }
  return out;
}

std::vector<GaugeSummary> gauge_summaries(const CheckContext& context,
                                          const std::vector<LearnedThreshold>& thresholds) {
  double level = 0;
  for (const LearnedThreshold& t : thresholds) {
    if (t.kind == FindingKind::blocked) level = t.provisional;
  }
  LearnedNulls learned;
  learned.thresholds = thresholds;
  CheckContext with_levels = context;
  with_levels.frozen = &learned;
  const CalibrationLaw law = calibration_law(with_levels);
  const auto series = calibration_series(context, context.days, law.ratios);
  std::vector<GaugeSummary> summaries(context.network.size());
  parallel_for(summaries.size(), context.options.threads, [&](std::size_t gauge) {
    GaugeSummary& s = summaries[gauge];
    std::size_t measured = 0;
    for (const float depth : context.steps.row(gauge)) {
      if (std::isnan(depth)) continue;
      s.observed_mm += depth;
      ++measured;
    }
    const auto steps = static_cast<double>(context.steps.step_count());
    s.share_missing = 1 - static_cast<double>(measured) / steps;
    const DepthPair depths = depths_over(context, gauge, 0, context.hours.step_count());
    if (depths.hours > 0) s.expected_mm = depths.expected_mm;
    std::size_t hours = 0;
    for (std::size_t h = 0; h < context.hours.step_count(); ++h) {
      if (context.hours.is_measured(gauge, h)) ++hours;
    }
    if (hours > 0) {
      s.share_testable = static_cast<double>(depths.hours) / static_cast<double>(hours);
    }
    s.site_ratio = context.site_ratio[gauge];
    s.neighbours = std::min(context.around.of[gauge].size(), context.around.options.used);
    const double isolation = context.around.isolation[gauge];
    s.isolation = isolation > 0 ? std::clamp(isolation, 0.5, 3.0) : 3;
    s.smallest_block_mm = smallest_block_mm(context, gauge, level);
    s.smallest_step_percent = smallest_step_percent(series[gauge], law);
  });
  return summaries;
}

std::vector<GaugeDoubleMass> double_mass_points(const CheckContext& context) {
  std::vector<GaugeDoubleMass> points;
  const Instant end = context.hours.axis().span().to;
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    std::vector<double> own_mm, neighbours_mm;
    for (const BlockSum& day : context.days.row(gauge)) {
      own_mm.push_back(day.accepted ? day.observed_mm : 0);
      neighbours_mm.push_back(day.accepted ? day.expected_mm / context.site_ratio[gauge] : 0);
    }
    for (const DoubleMassPoint& p : double_mass_curve(own_mm, neighbours_mm, kDoubleMassMm))
      points.push_back(
          {gauge, std::min(context.days.axis.end(p.block), end), p.own_mm, p.neighbours_mm});
  }
  return points;
}

std::vector<LearnedMissRate> learned_miss_rates(const MissLaw& law) {
  std::vector<LearnedMissRate> rates;
  for (std::size_t d = 0; d < kMissDepthEdgesMm.size(); ++d) {
    for (std::size_t w = 0; w < kMissWetEdges.size(); ++w) {
      for (const bool dry_before : {false, true}) {
        const MissBin& bin = law.bin(d, w, dry_before);
        rates.push_back(
            {kMissDepthEdgesMm[d], kMissWetEdges[w], dry_before, bin.windows, bin.probability});
      }
    }
  }
  return rates;
}

}  // namespace gaugeloom
