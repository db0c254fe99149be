#pragma once
// How far a value can be believed, and where it came from.
// Source of the quality words: OGC WaterML 2.0, part 1, quality codes.

#include <cstdint>
#include <optional>
#include <string_view>

#include "gaugeloom/core/bulk_vector.hpp"

namespace gaugeloom {

enum class Quality : std::uint8_t {
  good,       // tested and clean
  unchecked,  // not testable: too few neighbours, or none
  suspect,    // under a provisional finding
  poor,       // under a confirmed finding and not replaceable
  estimate,   // replaced or filled
  missing,    // absent or refused
};

enum class Origin : std::uint8_t {
  measured,       // what the gauge said
  other_counter,  // the second counter of the same bucket
  spread_total,   // a known total spread over its steps
  neighbours,     // estimated from the neighbours
  none,           // nothing
};

std::string_view word(Quality quality);
std::string_view word(Origin origin);
std::optional<Quality> parse_quality(std::string_view text);
std::optional<Origin> parse_origin(std::string_view text);

// One quality per gauge and step, gauge-major like the rain table.
struct QualityTable {
  std::size_t steps = 0;
  BulkVector<Quality> values;

  QualityTable() = default;
  QualityTable(std::size_t gauges, std::size_t step_count, Quality all)
      : steps(step_count), values(gauges * step_count, all) {}
  Quality& at(std::size_t gauge, std::size_t step) { return values[gauge * steps + step]; }
  Quality at(std::size_t gauge, std::size_t step) const { return values[gauge * steps + step]; }
};

}  // namespace gaugeloom
