#pragma once
// When a counter or its link is known to have been dead: zeros stored then are no measurements.

#include <cstddef>
#include <span>
#include <string>

#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct Outage {
  std::size_t gauge = 0;  // row in the network
  Interval over;
  std::string cause;  // may be empty
};

struct MaskedSteps {
  std::size_t zeros = 0;      // now missing
  std::size_t with_rain = 0;  // measured more than 0 in an outage, and kept
};

// Makes every zero missing whose step lies at least in part within an outage of its gauge: a part
// of a step without a counter leaves its zero unknown. A depth above 0 was counted, and stays.
// Requires outages[i].gauge < record.depths.gauge_count(). Cost: the steps within the outages.
MaskedSteps mask_outages(RainRecord& record, std::span<const Outage> outages);

}  // namespace gaugeloom
