#include "gaugeloom/io/temperature_reader.hpp"

#include <fmt/format.h>

#include <unordered_map>

#include "gaugeloom/io/small_table_reader.hpp"

namespace gaugeloom {
namespace {

constexpr double kColdestCelsius = -90;
constexpr double kHottestCelsius = 60;

}  // namespace

std::vector<TemperatureReading> read_temperatures(const std::string& path, const Network& network,
                                                  Notices& notices) {
  const SmallTable table = read_small_table(path);
  const std::size_t time = table.required_column("time");
  const std::size_t gauge = table.required_column("gauge");
  const std::size_t celsius = table.required_column("celsius");
  std::unordered_map<std::string, std::size_t> rows;
  for (std::size_t g = 0; g < network.size(); ++g) rows.emplace(network.gauges[g].id, g);
  std::vector<TemperatureReading> readings;
  std::size_t unknown = 0;
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    const std::string& id = table.text(row, gauge);
    TemperatureReading reading;
    reading.time = table.time(row, time);
    const auto value = table.optional_number(row, celsius);
    if (value && !(*value >= kColdestCelsius && *value <= kHottestCelsius))
      throw Error(
          ErrorCode::malformed_input,
          fmt::format("{} degrees Celsius was never measured on Earth; correct it, or leave "
                      "it empty",
                      table.at(row, celsius)),
          table.position(row, celsius));
    if (!value) continue;
    reading.celsius = *value;
    if (id != "*") {
      const auto found = rows.find(id);
      if (found == rows.end()) {
        ++unknown;
        continue;
      }
      reading.gauge = found->second;
    }
    readings.push_back(reading);
  }
  if (unknown > 0)
    notices.push_back(fmt::format("{}: left out {} rows of gauges that are not in the gauge list",
                                  path, unknown));
  return readings;
}

}  // namespace gaugeloom
