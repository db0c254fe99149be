#pragma once
// The picture beside a map: its options, and how it is drawn from what the map is made of.

#include <string>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/time/instant.hpp"
#include "loading.hpp"
#include "map_raster.hpp"
#include "option_list.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

struct QuickLookInput {
  bool png = false;
  std::string elevation;  // a raster; empty: plain colours

  void declare(OptionList& options);
  // Throws Error{invalid_option}: --elevation without --png.
  void settle() const;
};

// Adds the picture of `map` over `bounds` of `plane` as `name` to the folder: every gauge of the
// network with its total over `window`, which are steps of the record; left out where a step is
// missing. Throws: as elevation_over and write_quick_look.
void add_quick_look(OutputFolder& folder, const std::string& name, const QuickLookInput& input,
                    const LoadedRecord& loaded, const Interval& window, const MapPlane& plane,
                    const MetricBounds& bounds, const RainMap& map, int threads);

}  // namespace gaugeloom
