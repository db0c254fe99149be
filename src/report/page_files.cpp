#include "report/page_files_internal.hpp"

// GAUGELOOM_LEAFLET_SCRIPT and so on are the paths of the files, from the build.
#define GAUGELOOM_EMBED(name, path)                                                 \
  asm(".section .rodata\n"                                                          \
      "gaugeloom_page_" #name                                                       \
      "_begin:\n"                                                                   \
      ".incbin \"" path                                                             \
      "\"\n"                                                                        \
      "gaugeloom_page_" #name                                                       \
      "_end:\n"                                                                     \
      ".global gaugeloom_page_" #name "_begin, gaugeloom_page_" #name               \
      "_end\n"                                                                      \
      ".previous\n");                                                               \
  extern "C" {                                                                      \
  extern const char gaugeloom_page_##name##_begin[], gaugeloom_page_##name##_end[]; \
  }

GAUGELOOM_EMBED(leaflet_script, GAUGELOOM_LEAFLET_SCRIPT)
GAUGELOOM_EMBED(leaflet_style, GAUGELOOM_LEAFLET_STYLE)
GAUGELOOM_EMBED(leaflet_notice, GAUGELOOM_LEAFLET_NOTICE)
GAUGELOOM_EMBED(dygraphs_script, GAUGELOOM_DYGRAPHS_SCRIPT)
GAUGELOOM_EMBED(dygraphs_style, GAUGELOOM_DYGRAPHS_STYLE)
GAUGELOOM_EMBED(dygraphs_notice, GAUGELOOM_DYGRAPHS_NOTICE)
GAUGELOOM_EMBED(page_style, GAUGELOOM_PAGE_STYLE)
GAUGELOOM_EMBED(page_script, GAUGELOOM_PAGE_SCRIPT)

#define GAUGELOOM_BYTES(name)        \
  std::string_view(                  \
      gaugeloom_page_##name##_begin, \
      static_cast<std::size_t>(gaugeloom_page_##name##_end - gaugeloom_page_##name##_begin))

namespace gaugeloom {

std::string_view page_file(PageFile file) {
  switch (file) {
    case PageFile::leaflet_script:
      return GAUGELOOM_BYTES(leaflet_script);
    case PageFile::leaflet_style:
      return GAUGELOOM_BYTES(leaflet_style);
    case PageFile::leaflet_notice:
      return GAUGELOOM_BYTES(leaflet_notice);
    case PageFile::dygraphs_script:
      return GAUGELOOM_BYTES(dygraphs_script);
    case PageFile::dygraphs_style:
      return GAUGELOOM_BYTES(dygraphs_style);
    case PageFile::dygraphs_notice:
      return GAUGELOOM_BYTES(dygraphs_notice);
    case PageFile::page_style:
      return GAUGELOOM_BYTES(page_style);
    case PageFile::page_script:
      return GAUGELOOM_BYTES(page_script);
  }
  return {};
}

std::string without_source_map(std::string_view text) {
  std::string kept;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
    const std::string_view line = text.substr(0, end);
    if (line.find("# sourceMappingURL=") == std::string_view::npos) kept += line;
    text.remove_prefix(end);
  }
  return kept;
}

}  // namespace gaugeloom
