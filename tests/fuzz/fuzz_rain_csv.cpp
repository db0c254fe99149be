// Any bytes as a rain file: read or refused with an Error; what was read is written and reads back.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace {

using namespace gaugeloom;  // NOLINT: one short program

Network small_network() {
  Network network;
  for (const char* id : {"A", "B", "C, \"low\""}) {
    network.gauges.emplace_back();
    network.gauges.back().id = id;
  }
  return network;
}

// Long rows of what was read. Nine decimals hold a float exactly from 0.01 mm up, not below.
std::string written(const RainTable& table, const Network& network) {
  CsvRows rows;
  rows.raw("time,gauge,depth_mm").end_row();
  for (std::size_t s = 0; s < table.step_count(); ++s)
    for (std::size_t g = 0; g < table.gauge_count(); ++g) {
      rows.raw(format_utc(table.axis().end(s))).text(network.gauges[g].id);
      rows.fixed(static_cast<double>(table.depth_mm(g, s)), 9).end_row();
    }
  return rows.bytes();
}

void require(bool holds) {
  if (!holds) std::abort();
}

void check_read_back(const RainTable& table, const Network& network) {
  if (table.step_count() > 100'000) return;
  RainReadOptions options;
  options.threads = 1;
  options.step = table.axis().step();
  Notices notices;
  const RainTable again =
      parse_rain(written(table, network), "again.csv", network, options, notices).depths;
  require(again.axis() == table.axis());
  for (std::size_t g = 0; g < table.gauge_count(); ++g)
    for (std::size_t s = 0; s < table.step_count(); ++s) {
      require(again.is_measured(g, s) == table.is_measured(g, s));
      if (!table.is_measured(g, s)) continue;
      const float was = table.depth_mm(g, s);
      const float is = again.depth_mm(g, s);
      require(was >= 0.01F ? was == is : is - was < 1e-9F && was - is < 1e-9F);
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const Network network = small_network();
  if (size == 0) return 0;
  RainReadOptions options;
  options.threads = 1 + (bytes[0] & 1);
  if ((bytes[0] & 2) != 0) options.unit = DepthUnit::inch;
  if ((bytes[0] & 4) != 0) options.label = StepLabel::start;
  if ((bytes[0] & 8) != 0) options.step = std::chrono::minutes{5};
  if ((bytes[0] & 16) != 0 && options.step) options.absent = AbsentRow::zero;
  options.strict = (bytes[0] & 32) != 0;
  const std::string_view text(reinterpret_cast<const char*>(bytes) + 1, size - 1);
  try {
    Notices notices;
    const RainRecord record = parse_rain(text, "fuzz.csv", network, options, notices);
    check_read_back(record.depths, network);
  } catch (const Error& error) {
    require(error.what()[0] != '\0');
  }
  return 0;
}
