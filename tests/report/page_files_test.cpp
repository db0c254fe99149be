#include "report/page_files_internal.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace gaugeloom {
namespace {

std::string lower(std::string_view text) {
  std::string all(text);
  std::transform(all.begin(), all.end(), all.begin(),
                 [](unsigned char c) { return std::tolower(c); });
  return all;
}

// What stands between the tags of a script or style must not end them.
TEST(PageFiles, CannotEndTheirElement) {
  for (const PageFile file :
       {PageFile::leaflet_script, PageFile::dygraphs_script, PageFile::page_script}) {
    EXPECT_GT(page_file(file).size(), 10U);
    EXPECT_EQ(lower(page_file(file)).find("</script"), std::string::npos);
    EXPECT_EQ(lower(page_file(file)).find("<!--"), std::string::npos);
  }
  for (const PageFile file :
       {PageFile::leaflet_style, PageFile::dygraphs_style, PageFile::page_style})
    EXPECT_EQ(lower(page_file(file)).find("</style"), std::string::npos);
}

// The licences ask for them in every copy.
TEST(PageFiles, HoldTheNoticesOfTheLibraries) {
  for (const PageFile file : {PageFile::leaflet_notice, PageFile::dygraphs_notice}) {
    EXPECT_NE(page_file(file).find("Copyright"), std::string_view::npos);
    EXPECT_NE(page_file(file).find("WARRANTIES"), std::string_view::npos);
  }
}

TEST(PageFiles, LoseTheNamesOfSourceMaps) {
  EXPECT_EQ(without_source_map("a();\n//# sourceMappingURL=a.js.map\nb();"), "a();\nb();");
  EXPECT_EQ(without_source_map("a{}\n/*# sourceMappingURL=a.css.map */"), "a{}\n");
  EXPECT_EQ(without_source_map(""), "");
  EXPECT_EQ(without_source_map(page_file(PageFile::leaflet_script)).find("sourceMapping"),
            std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
