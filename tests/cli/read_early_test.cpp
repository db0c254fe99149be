// What is small is read, and outputs that are inputs are refused, before the long work: here before
// a table of rain that is broken itself.
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "cli/command.hpp"
#include "support/temporary_folder.hpp"
#include "support/vector_file.hpp"

namespace gaugeloom {
namespace {

struct Inputs {
  support::TemporaryFolder folder;
  std::string gauges = folder.write("gauges.csv", "gauge,x,y\nA,0,0\nB,9000,0\nC,0,8000\n");
  std::string rain = folder.write("rain.csv", "time,gauge,depth_mm\n2021-03-04T01:00Z,A,much\n");
  std::string areas = folder.write("areas.geojson", R"({"type": "FeatureCollection", "features": [
      {"type": "Feature", "properties": {"colour": "red"}, "geometry":
       {"type": "Polygon", "coordinates": [[[0, 0], [900, 0], [0, 900], [0, 0]]]}}]})");

  std::string complaint(const std::string& command, const std::vector<std::string>& more,
                        Exit exit = Exit::failed) const {
    std::vector<std::string> args = {command,  "--gauges", gauges,  "--crs",       "local",
                                     "--rain", rain,       "--out", folder / "out"};
    args.insert(args.end(), more.begin(), more.end());
    std::ostringstream out, err;
    EXPECT_EQ(dispatch(args, {out, err}), exit);
    EXPECT_EQ(out.str(), "");
    return err.str();
  }
};

void expect_words(const std::string& text, const std::string& words) {
  EXPECT_NE(text.find(words), std::string::npos) << text;
}

TEST(ReadEarly, TheRainIsBroken) {
  const Inputs in;
  for (const char* command : {"storms", "run", "map", "blindspots"})
    expect_words(in.complaint(command, {}), "much");
}

TEST(ReadEarly, AreasBeforeRain) {
  const Inputs in;
  for (const char* command : {"storms", "run", "blindspots"})
    expect_words(in.complaint(command, {"--areas", in.areas}),
                 "no field area, catchment, id or name");
  expect_words(in.complaint("storms", {"--areas", in.areas, "--areas-id", "hue"}),
               "there is no field hue (found: colour)");
}

TEST(ReadEarly, RastersBeforeRain) {
  const Inputs in;
  for (const char* command : {"map", "run"})
    for (const char* option : {"--like", "--elevation"}) {
      expect_words(in.complaint(command, {option, in.gauges}), "gauges.csv");
      expect_words(in.complaint(command, {option, in.folder / "none.tif"}), "none.tif");
    }
  const std::string far = in.folder / "far.tif";
  support::write_raster(far, "", 50000, 59000, 1000, 2, {1, 2, 3, 4});
  expect_words(in.complaint("map", {"--elevation", far}), "give elevation_m there");
}

TEST(ReadEarly, MapsOfStormsOverwriteNoInput) {
  const Inputs in;
  std::filesystem::create_directory(in.folder / "out");
  for (const char* name : {"out/storm_20210304T0000Z.tif", "out/storm_20210304T0000Z_frames.tif",
                           "out/storm_20210304T0000Z.png", "out/map.tif"}) {
    const std::string raster = in.folder / name;
    support::write_raster(raster, "", -10000, 30000, 20000, 2, {1, 2, 3, 4});
    for (const char* command : {"map", "run"})
      for (const char* option : {"--like", "--elevation"})
        expect_words(in.complaint(command, {"--storm", "all", option, raster}, Exit::usage),
                     "would be overwritten");
  }
  // One storm is mapped as map.tif.
  expect_words(in.complaint("map", {"--storm", "20210304T0000Z", "--elevation",
                                    in.folder / "out/storm_20210304T0000Z.tif"}),
               "much");
}

}  // namespace
}  // namespace gaugeloom
