#include "gaugeloom/tips/tip_stamps.hpp"

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

using std::chrono::seconds;
constexpr std::size_t kLeastSeconds = 20;
constexpr std::size_t kLeastMinutes = 3;

bool is_whole(Instant t, seconds unit) { return t.time_since_epoch() % unit == Duration{0}; }

// The end of the stretch of equal wholeness that begins at `first`, and how many different stamps
// it holds.
struct Stretch {
  std::size_t last;
  std::size_t different;
};
Stretch stretch_from(std::span<const Instant> stamps, std::size_t first, seconds unit) {
  const bool whole = is_whole(stamps[first], unit);
  Stretch stretch{first + 1, 1};
  for (; stretch.last < stamps.size() && is_whole(stamps[stretch.last], unit) == whole;
       ++stretch.last)
    if (stamps[stretch.last] != stamps[stretch.last - 1]) ++stretch.different;
  return stretch;
}

void add(std::vector<StampRun>& runs, std::size_t first, std::size_t last, seconds resolution) {
  if (!runs.empty() && runs.back().resolution == resolution)
    runs.back().last = last;
  else
    runs.push_back({first, last, resolution});
}

// Parts [first, last), all whole seconds, into whole minutes and others.
void add_coarse(std::vector<StampRun>& runs, std::span<const Instant> stamps, std::size_t first,
                std::size_t last) {
  constexpr seconds kMinute{60};
  const auto part = stamps.subspan(0, last);
  for (std::size_t at = first; at < last;) {
    const Stretch stretch = stretch_from(part, at, kMinute);
    const bool alone = at == first && stretch.last == last;
    const bool minutes =
        is_whole(part[at], kMinute) && stretch.different >= (alone ? kLeastMinutes : kLeastSeconds);
    add(runs, at, stretch.last, minutes ? kMinute : seconds{1});
    at = stretch.last;
  }
}

void spread_stamp(std::span<Instant> tips, seconds resolution, StampEdge edge) {
  const Instant from = edge == StampEdge::start ? tips.front() : tips.front() - resolution;
  const auto halves = static_cast<std::int64_t>(2 * tips.size());
  const std::int64_t length_us = Duration(resolution).count();
  for (std::size_t j = 0; j < tips.size(); ++j)
    tips[j] = from + Duration(length_us * (2 * static_cast<std::int64_t>(j) + 1) / halves);
}

}  // namespace

std::vector<StampRun> stamp_runs(std::span<const Instant> stamps) {
  std::vector<StampRun> runs;
  for (std::size_t at = 0; at < stamps.size();) {
    const Stretch stretch = stretch_from(stamps, at, seconds{1});
    const bool alone = at == 0 && stretch.last == stamps.size();
    if (is_whole(stamps[at], seconds{1}) && (alone || stretch.different >= kLeastSeconds))
      add_coarse(runs, stamps, at, stretch.last);
    else
      add(runs, at, stretch.last, seconds{0});
    at = stretch.last;
  }
  return runs;
}

void spread_within_stamps(std::span<Instant> times, std::span<const StampRun> runs,
                          StampEdge edge) {
  for (const StampRun& run : runs) {
    GAUGELOOM_ASSERT(run.last <= times.size());
    if (run.resolution == seconds{0}) continue;
    for (std::size_t at = run.first; at < run.last;) {
      std::size_t next = at + 1;
      while (next < run.last && times[next] == times[at]) ++next;
      spread_stamp(times.subspan(at, next - at), run.resolution, edge);
      at = next;
    }
  }
}

}  // namespace gaugeloom
