// Any bytes as a tip file: read or refused with an Error; what was read is written and reads back
// (but for counters that only rows of unknown gauges name).
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/tip_reader.hpp"
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

std::string written(const TipRecord& record, const Network& network) {
  CsvRows rows;
  rows.raw("time,gauge,counter").end_row();
  for (std::size_t g = 0; g < record.gauges.size(); ++g)
    for (const TipTrain& train : record.gauges[g].trains)
      for (const Instant t : train.times)
        rows.raw(format_utc(t))
            .text(network.gauges[g].id)
            .text(record.counters[train.counter])
            .end_row();
  return rows.bytes();
}

void require(bool holds) {
  if (!holds) std::abort();
}

// Years beyond what is read may come of an offset at their ends.
bool readable(const TipRecord& record) {
  for (const GaugeTips& gauge : record.gauges)
    for (const TipTrain& train : gauge.trains)
      for (const Instant t : train.times)
        if (!parse_iso8601(format_utc(t))) return false;
  return true;
}

void check_read_back(const TipRecord& record, const Network& network) {
  if (!readable(record)) return;
  Notices notices;
  const TipRecord again = parse_tips(written(record, network), "again.csv", network, {}, notices);
  for (std::size_t g = 0; g < record.gauges.size(); ++g) {
    const auto& was = record.gauges[g].trains;
    const auto& is = again.gauges[g].trains;
    require(was.size() == is.size());
    for (std::size_t i = 0; i < was.size(); ++i)
      require(record.counters[was[i].counter] == again.counters[is[i].counter] &&
              was[i].times == is[i].times);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const Network network = small_network();
  if (size == 0) return 0;
  TipReadOptions options;
  options.threads = 1 + (bytes[0] & 1);
  if ((bytes[0] & 2) != 0) options.utc_offset = std::chrono::minutes{75};
  options.strict = (bytes[0] & 4) != 0;
  const std::string_view text(reinterpret_cast<const char*>(bytes) + 1, size - 1);
  try {
    Notices notices;
    check_read_back(parse_tips(text, "fuzz.csv", network, options, notices), network);
  } catch (const Error& error) {
    require(error.what()[0] != '\0');
  }
  return 0;
}
