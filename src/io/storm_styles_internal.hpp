#pragma once
// Styles of the layers of storms.gpkg as Styled Layer Descriptors. Internal.

#include <string>
#include <string_view>

namespace gaugeloom {

// `layer`: gauges, isohyets, isohyet_bands or areas, of the storm with this id, or of all where it
// is empty. Gauges have the shapes and colours of the quick look; isohyets are labelled with their
// depth.
std::string storm_style(std::string_view layer, std::string_view storm, double highest_mm);

}  // namespace gaugeloom
