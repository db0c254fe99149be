#include "gaugeloom/io/temperature_reader.hpp"

#include <fmt/format.h>

#include "gaugeloom/io/small_table_reader.hpp"
#include "io/listed_gauges_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kColdestCelsius = -90;
constexpr double kHottestCelsius = 60;

}  // namespace

std::vector<TemperatureReading> read_temperatures(const std::string& path, const Network& network,
                                                  bool strict, Notices& notices) {
  const SmallTable table = read_small_table(path);
  const std::size_t time = table.required_column("time");
  const std::size_t gauge = table.required_column("gauge");
  const std::size_t celsius = table.required_column("celsius");
  ListedGauges listed(network, strict);
  std::vector<TemperatureReading> readings;
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
      reading.gauge = listed.find(table, row, gauge);
      if (!reading.gauge) continue;
    }
    readings.push_back(reading);
  }
  listed.tell(path, notices);
  return readings;
}

}  // namespace gaugeloom
