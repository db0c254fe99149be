// Any bytes as a run.json: what was learned is read or refused with an Error; what was read is
// matched to a network of its own gauges or refused, and comes back the same.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/learned_reader.hpp"

namespace {

using namespace gaugeloom;  // NOLINT: one short program

bool same(const NullValues& a, const NullValues& b) {
  return a.gauges == b.gauges && a.thresholds.size() == b.thresholds.size() &&
         std::all_of(b.laws.begin(), b.laws.end(), [&](const auto& law) {
           const auto found = a.laws.find(law.first);
           return found != a.laws.end() &&
                  std::all_of(law.second.of_gauges.begin(), law.second.of_gauges.end(),
                              [&](const auto& of) {
                                return found->second.of_gauges.at(of.first).values ==
                                       of.second.values;
                              });
         });
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  try {
    const std::string_view text(reinterpret_cast<const char*>(bytes), size);
    const NullValues values = parse_learned(text, "fuzz.json");
    Network network;
    for (const std::string& id : values.gauges) {
      Gauge gauge;
      gauge.id = id;
      network.gauges.push_back(gauge);
    }
    const MatchedNulls matched = matched_nulls(values, network, values.step);
    if (matched.unknown != 0 || matched.left_out != 0) std::abort();
    if (!same(values, null_values(matched.nulls, network, values.step))) std::abort();
  } catch (const Error& error) {
    if (error.what()[0] == '\0') std::abort();
  }
  return 0;
}
