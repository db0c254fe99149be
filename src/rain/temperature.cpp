#include "gaugeloom/rain/temperature.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace gaugeloom {
namespace {

enum class Weather : char { unknown, mild, cold };

// What the readings of one gauge, or of all, say of each window.
std::vector<Weather> weather_of(const StepAxis& axis,
                                std::vector<std::pair<Instant, double>> readings,
                                double cold_celsius) {
  std::vector<Weather> weather(axis.count(), Weather::unknown);
  std::sort(readings.begin(), readings.end());
  for (std::size_t i = 0; i < readings.size(); ++i) {
    Instant until = readings[i].first + kTemperatureHolds;
    if (i + 1 < readings.size()) until = std::min(until, readings[i + 1].first);
    // At least the window it stands in, so that a reading replaced at once still counts.
    const Interval over{readings[i].first, std::max(until, readings[i].first + Duration(1))};
    const Weather says = readings[i].second < cold_celsius ? Weather::cold : Weather::mild;
    const auto touched = axis.touching(over);
    for (std::size_t w = touched.first; w < touched.last; ++w)
      weather[w] = std::max(weather[w], says);
  }
  return weather;
}

}  // namespace

std::size_t mask_cold(RainTable& windows, std::span<const TemperatureReading> readings,
                      double cold_celsius) {
  if (readings.empty()) return 0;
  std::vector<std::pair<Instant, double>> of_all;
  std::vector<std::vector<std::pair<Instant, double>>> own(windows.gauge_count());
  for (const TemperatureReading& reading : readings)
    (reading.gauge ? own[*reading.gauge] : of_all).emplace_back(reading.time, reading.celsius);
  const std::vector<Weather> common = weather_of(windows.axis(), std::move(of_all), cold_celsius);
  std::size_t lost = 0;
  for (std::size_t gauge = 0; gauge < windows.gauge_count(); ++gauge) {
    const std::vector<Weather> here =
        weather_of(windows.axis(), std::move(own[gauge]), cold_celsius);
    for (std::size_t w = 0; w < here.size(); ++w) {
      const Weather weather = here[w] == Weather::unknown ? common[w] : here[w];
      if (weather != Weather::cold || !windows.is_measured(gauge, w)) continue;
      windows.set_missing(gauge, w);
      ++lost;
    }
  }
  return lost;
}

}  // namespace gaugeloom
