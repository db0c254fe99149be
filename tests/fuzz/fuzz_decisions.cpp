// Any bytes as decisions: read or refused with an Error; what was read keeps the promises of its
// header.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <set>
#include <string>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/decision_reader.hpp"

namespace {

using namespace gaugeloom;  // NOLINT: one short program

bool is_whole(const Decision& one) {
  return !one.finding_id.empty() && one.gauge < 2 && !one.reason.empty() && !one.by.empty() &&
         !one.on.empty() && (one.verdict == Verdict::shift) == (one.shift_minutes != 0) &&
         (!one.to || one.from < *one.to) && one.written.line > 1;
}

Network two_gauges() {
  Network network;
  for (const char* id : {"A", "B"}) {
    network.gauges.emplace_back();
    network.gauges.back().id = id;
  }
  return network;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const Network network = two_gauges();
  try {
    const std::string_view text(reinterpret_cast<const char*>(bytes), size);
    Notices notices;
    std::set<std::string> ids;
    for (const Decision& one : parse_decisions(text, "fuzz.csv", network, false, notices))
      if (!is_whole(one) || !ids.insert(one.finding_id).second || in_short(one).empty())
        std::abort();
  } catch (const Error& error) {
    if (error.what()[0] == '\0') std::abort();
  }
  return 0;
}
