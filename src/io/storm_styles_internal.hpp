#pragma once
// Styles of the layers of storms.gpkg as Styled Layer Descriptors. Internal.

#include <string>
#include <string_view>

namespace gaugeloom {

// `layer`: gauges, isohyets, isohyet_bands or areas. Gauges have a shape as well as a colour by
// quality; isohyets are labelled with their depth.
std::string storm_style(std::string_view layer, double highest_mm);

}  // namespace gaugeloom
