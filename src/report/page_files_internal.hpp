#pragma once
// What is built into the library for the page: our styles and scripts (src/report/page), and the
// libraries for maps and charts from the Debian packages libjs-leaflet and libjs-dygraphs, with the
// notices that their licences ask for. Internal.

#include <string>
#include <string_view>

namespace gaugeloom {

enum class PageFile {
  leaflet_script,
  leaflet_style,
  leaflet_notice,
  dygraphs_script,
  dygraphs_style,
  dygraphs_notice,
  page_style,
  page_script,
};

// Its bytes as they are.
std::string_view page_file(PageFile file);

// The same without the lines that name a source map: there is none beside the page.
std::string without_source_map(std::string_view text);

}  // namespace gaugeloom
