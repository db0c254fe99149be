#include "gaugeloom/tips/judged_tips.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

Duration microseconds(double seconds) { return Duration(std::llround(1e6 * seconds)); }

void sort_counting(JudgedTips& tips) {
  Instant latest = Instant::min();
  TimeSetBack back;
  const auto end_back = [&] {
    if (back.tips > 0 && tips.set_back.size() < kMostSetBack) tips.set_back.push_back(back);
    back.tips = 0;
  };
  for (const Instant t : tips.stamps) {
    if (t >= latest) {
      if (back.tips > 0) end_back();
      latest = t;
      continue;
    }
    if (back.tips++ == 0) back = {latest, t, 1};
    ++tips.back;
    tips.farthest_back = std::max(tips.farthest_back, latest - t);
  }
  end_back();
  if (tips.back > 0) std::sort(tips.stamps.begin(), tips.stamps.end());
}

void mark_outside(JudgedTips& tips, const JudgeOptions& options) {
  for (std::size_t i = 0; i < tips.times.size(); ++i)
    if ((options.from && tips.times[i] < *options.from) ||
        (options.to && tips.times[i] >= *options.to))
      tips.fates[i] = TipFate::outside;
}

// Fine stamps of one stretch; `last` is the last tip that is neither bounce nor duplicate.
void mark_fine(JudgedTips& tips, const StampRun& run, Duration bounce) {
  Instant last = Instant::min();
  for (std::size_t i = run.first; i < run.last; ++i) {
    const Instant t = tips.stamps[i];
    if (i > run.first && t == tips.stamps[i - 1])
      tips.fates[i] = TipFate::duplicate;
    else if (last != Instant::min() && t - last < bounce)
      tips.fates[i] = TipFate::bounce;
    else
      last = t;
  }
}

// Coarse stamps: what is beyond one tip per `bounce` within a stamp.
void mark_coarse(JudgedTips& tips, const StampRun& run, Duration bounce) {
  if (bounce == Duration{0}) return;
  const auto most = static_cast<std::size_t>(Duration(run.resolution) / bounce);
  std::size_t in_stamp = 0;
  for (std::size_t i = run.first; i < run.last; ++i) {
    in_stamp = i > run.first && tips.stamps[i] == tips.stamps[i - 1] ? in_stamp + 1 : 1;
    if (in_stamp > most) tips.fates[i] = TipFate::bounce;
  }
}

void mark_tests(JudgedTips& tips, std::span<const Interval> visits) {
  for (const Interval& visit : visits) {
    const auto first = std::lower_bound(tips.times.begin(), tips.times.end(), visit.from);
    const auto last = std::lower_bound(first, tips.times.end(), visit.to);
    for (auto at = first; at < last; ++at) {
      TipFate& fate = tips.fates[static_cast<std::size_t>(at - tips.times.begin())];
      if (fate == TipFate::kept) fate = TipFate::test;
    }
  }
}

// Spreads only what is left in each stamp: a bounce takes no part of its second.
void spread_kept(JudgedTips& tips, StampEdge edge) {
  std::vector<Instant> left;
  for (const StampRun& run : tips.runs) {
    if (run.resolution == std::chrono::seconds{0}) continue;
    left.clear();
    for (std::size_t i = run.first; i < run.last; ++i)
      if (tips.fates[i] != TipFate::bounce) left.push_back(tips.stamps[i]);
    const StampRun whole{0, left.size(), run.resolution};
    spread_within_stamps(left, std::span(&whole, 1), edge);
    std::size_t next = 0;
    for (std::size_t i = run.first; i < run.last; ++i)
      tips.times[i] = tips.fates[i] != TipFate::bounce ? left[next++] : left[next - 1];
  }
}

}  // namespace

std::optional<std::string> JudgeOptions::problem() const {
  if (!(bounce_s >= 0 && bounce_s <= 1)) return "--bounce-s must be from 0 to 1";
  if (from && to && *from >= *to) return "--from must be before --to";
  return std::nullopt;
}

std::array<std::size_t, kTipFates> JudgedTips::counts() const {
  std::array<std::size_t, kTipFates> counts{};
  for (const TipFate fate : fates) ++counts[static_cast<std::size_t>(fate)];
  return counts;
}

JudgedTips judge_tips(std::vector<Instant> stamps, std::span<const Interval> visits,
                      const JudgeOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  JudgedTips tips;
  tips.stamps = std::move(stamps);
  sort_counting(tips);
  tips.times = tips.stamps;
  tips.fates.assign(tips.stamps.size(), TipFate::kept);
  tips.runs = stamp_runs(tips.stamps);
  tips.edge = options.stamp;
  const Duration bounce = microseconds(options.bounce_s);
  for (const StampRun& run : tips.runs)
    if (run.resolution == std::chrono::seconds{0})
      mark_fine(tips, run, bounce);
    else
      mark_coarse(tips, run, bounce);
  spread_kept(tips, options.stamp);
  mark_outside(tips, options);
  mark_tests(tips, visits);
  return tips;
}

}  // namespace gaugeloom
