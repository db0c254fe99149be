#pragma once
// Air temperature beside the rain: in frost a gauge without a heater is silent while it snows, and
// tips when the snow melts.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct TemperatureReading {
  Instant time;
  std::optional<std::size_t> gauge;  // row in the network; absent = holds for all gauges
  double celsius = 0;
};

// Rain falls as snow below about 1 degree, and what lies in a funnel melts a little above it;
// common practice, and a degree more to be safe (our choice).
inline constexpr double kColdCelsius = 2;
// A reading holds until the next one, but no longer than this; our choice.
inline constexpr std::chrono::hours kTemperatureHolds{3};

// Makes the windows missing in which it was colder than `cold_celsius` at the gauge at any time: by
// the gauge's own readings, or by those for all gauges while its own do not hold. Windows without
// a reading stay. Returns how many measured windows were lost.
// Law: the order of the readings does not matter; of several at one time the coldest counts.
// Cost: readings x log readings, then the windows they hold in.
std::size_t mask_cold(RainTable& windows, std::span<const TemperatureReading> readings,
                      double cold_celsius);

}  // namespace gaugeloom
