#pragma once
// The storms of a network: spells of rain parted by a dry gap, large enough to be called one.

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/rain/storm_spells.hpp"

namespace gaugeloom {

struct StormOptions {
  std::chrono::seconds dry_gap{6 * 3600};  // common practice in urban hydrology, from memory
  double least_mean_mm = 1;                // mean over the gauges of what they measured; our choice
  double least_wet_share = 0.1;            // of the gauges that measured in it, those with any rain

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct Storm {
  std::string id;  // its begin in UTC, like 20230605T0200Z
  Interval over;   // whole hours of UTC, or longer steps
  StepAxis::Range steps{0, 0};
  bool running = false;  // the record ends before the dry gap has passed
};

struct StormList {
  std::vector<Storm> storms;  // by time
  std::size_t small = 0;      // spells left out: less than a storm
  double small_mm = 0;        // their mean depths together
};

// The spells of rain/storm_spells.hpp in what was measured and stands: estimates neither begin,
// bridge nor enlarge a storm, so that filling gaps anew does not change its id.
// Law (a test): steps added after the end of the record change no storm that has ended, but by
//   what they make the checks say of gauges in it.
// Throws: Error{invalid_option} if options.problem() has one. Cost: three passes over the table,
//         and a copy of its depths.
StormList find_storms(const SeriesRecord& record, const StormOptions& options = {});

}  // namespace gaugeloom
