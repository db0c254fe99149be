#pragma once
// Measured depths hidden on purpose, so that what is filled in for them can be scored.

#include <cstddef>
#include <string_view>
#include <vector>

#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_record.hpp"

namespace gaugeloom {

// Steps [first, last) of one gauge, hidden.
struct HiddenGap {
  std::size_t gauge = 0;
  std::size_t first = 0;
  std::size_t last = 0;
};

// `per_gauge` gaps of each gauge, of 2 h to 3 days, anywhere; overlaps of one gauge are left out.
std::vector<HiddenGap> random_gaps(const RainRecord& record, int per_gauge, std::string_view seed);
// Gaps of 6 to 24 h of every fifth gauge around each of the `storms` wettest hours of the network,
// which lie at least 48 h apart.
std::vector<HiddenGap> storm_gaps(const RainRecord& record, int storms, std::string_view seed);

// Law: exactly the steps of the gaps are missing beside what was.
RainRecord with_hidden(const RainRecord& record, const std::vector<HiddenGap>& gaps);
// good where measured, else missing
QualityTable all_good(const RainTable& depths);

}  // namespace gaugeloom
