#include <fmt/format.h>
#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <sstream>

#include "cli/command.hpp"
#include "support/picture.hpp"
#include "support/temporary_folder.hpp"
#include "support/vector_file.hpp"

namespace gaugeloom {
namespace {

struct Said {
  std::string out, err;
  Exit exit = Exit::ok;
};

Said say(const std::vector<std::string>& args) {
  std::ostringstream out, err;
  const Exit exit = dispatch(args, {out, err});
  return {out.str(), err.str(), exit};
}

struct Inputs {
  support::TemporaryFolder folder;
  std::string gauges, rain;

  Inputs() {
    std::string list = "gauge,x,y\n", depths = "time,gauge,depth_mm\n";
    for (int i = 0; i < 16; ++i) {
      const std::string id = "G" + std::to_string(i);
      list += id + "," + std::to_string(10000 * (i % 4) + 700 * (i / 4)) + "," +
              std::to_string(9000 * (i / 4)) + "\n";
      for (const char* hour : {"01", "02"})
        if (i != 5 || hour[1] == '1')
          depths += std::string("2021-03-04T") + hour + ":00Z," + id + "," +
                    std::to_string(0.2 * (3 + i % 4 + i / 4)) + "\n";
    }
    gauges = folder.write("gauges.csv", list);
    rain = folder.write("rain.csv", depths);
  }
  std::vector<std::string> args(std::vector<std::string> more) const {
    std::vector<std::string> all = {"map",    "--gauges", gauges,  "--crs",        "local",
                                    "--rain", rain,       "--out", folder / "maps"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }
};

std::unique_ptr<GDALDataset> open(const std::string& path) {
  GDALAllRegister();
  return std::unique_ptr<GDALDataset>(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER));
}

TEST(MapCommand, WritesSixBands) {
  const Inputs inputs;
  const Said said = say(inputs.args({"--cell-m", "1000"}));
  EXPECT_EQ(said.exit, Exit::ok) << said.err;
  EXPECT_NE(said.err.find("1 of 16 gauges miss a step"), std::string::npos) << said.err;
  EXPECT_NE(said.out.find("15 gauges, 2021-03-04T00:00"), std::string::npos) << said.out;
  const auto map = open(inputs.folder / "maps/map.tif");
  ASSERT_TRUE(map);
  ASSERT_EQ(map->GetRasterCount(), 6);
  EXPECT_STREQ(map->GetRasterBand(1)->GetDescription(), "total rain");
  EXPECT_STREQ(map->GetRasterBand(5)->GetUnitType(), "km");
  EXPECT_STREQ(map->GetMetadataItem("GAUGES_USED"), "15");
  EXPECT_EQ(std::string(map->GetMetadataItem("CAUTION")).find("An estimate is not a measurement."),
            0U);
  EXPECT_STREQ(map->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
  double transform[6];
  ASSERT_EQ(map->GetGeoTransform(transform), CE_None);
  EXPECT_EQ(transform[1], 1000);
  // The cell of gauge G6 at (20700, 9000): 0.2 (3 + 2 + 1) mm twice, but for its instrument error.
  float total = 0;
  const int column = static_cast<int>((20700 - transform[0]) / 1000);
  const int row = static_cast<int>((transform[3] - 9000) / 1000);
  ASSERT_EQ(
      map->GetRasterBand(1)->RasterIO(GF_Read, column, row, 1, 1, &total, 1, 1, GDT_Float32, 0, 0),
      CE_None);
  EXPECT_NEAR(total, 2.4, 0.3);  // nugget and instrument error smooth it
}

TEST(MapCommand, TakesWindowBoundsBandsAndMethod) {
  const Inputs inputs;
  const Said said =
      say(inputs.args({"--to", "2021-03-04T01:00Z", "--bounds", "0,0,30000,27000", "--cell-m",
                       "500", "--method", "idw", "--bands", "distance,total"}));
  EXPECT_EQ(said.exit, Exit::ok) << said.err;
  EXPECT_EQ(said.err, "");
  const auto map = open(inputs.folder / "maps/map.tif");
  ASSERT_TRUE(map);
  EXPECT_EQ(map->GetRasterCount(), 2);
  EXPECT_EQ(map->GetRasterXSize(), 60);
  EXPECT_EQ(map->GetRasterYSize(), 54);
  EXPECT_STREQ(map->GetRasterBand(2)->GetDescription(), "total rain");
  EXPECT_STREQ(map->GetMetadataItem("WINDOW_TO"), "2021-03-04T01:00:00Z");
}

std::vector<float> cells_of(GDALDataset& map, int band) {
  std::vector<float> cells(static_cast<std::size_t>(map.GetRasterXSize()) *
                           static_cast<std::size_t>(map.GetRasterYSize()));
  EXPECT_EQ(map.GetRasterBand(band)->RasterIO(
                GF_Read, 0, 0, map.GetRasterXSize(), map.GetRasterYSize(), cells.data(),
                map.GetRasterXSize(), map.GetRasterYSize(), GDT_Float32, 0, 0),
            CE_None);
  return cells;
}

TEST(MapCommand, SharesTheCellsOfAnotherRaster) {
  const Inputs inputs;
  ASSERT_EQ(say(inputs.args({"--bounds", "-500,300,29500,27300", "--cell-m", "750"})).exit,
            Exit::ok);
  const std::string first = inputs.folder / "first.tif";
  std::filesystem::rename(inputs.folder / "maps/map.tif", first);
  const Said said = say(inputs.args({"--like", first}));
  ASSERT_EQ(said.exit, Exit::ok) << said.err;
  EXPECT_NE(said.out.find("40 x 36 cells as the raster has them"), std::string::npos) << said.out;
  const auto want = open(first);
  const auto got = open(inputs.folder / "maps/map.tif");
  ASSERT_TRUE(want && got);
  double a[6], b[6];
  ASSERT_EQ(want->GetGeoTransform(a), CE_None);
  ASSERT_EQ(got->GetGeoTransform(b), CE_None);
  EXPECT_TRUE(std::equal(a, a + 6, b));
  for (int band = 1; band <= 6; ++band) EXPECT_EQ(cells_of(*got, band), cells_of(*want, band));
}

TEST(MapCommand, MapsIntoDegrees) {
  const Inputs inputs;
  std::string list = "gauge,lon,lat\n";
  for (int i = 0; i < 16; ++i)
    list += fmt::format("G{},{},{}\n", i, -20 + 0.14 * (i % 4), 50 + 0.08 * (i / 4));
  const std::string gauges = inputs.folder.write("degrees.csv", list);
  const std::string frame = inputs.folder / "frame.tif";
  support::write_raster(frame, "EPSG:4326", -20.1, 50.3, 0.01, 60, std::vector<float>(60 * 40, 1));
  const Said said = say({"map", "--gauges", gauges, "--rain", inputs.rain, "--like", frame, "--out",
                         inputs.folder / "maps"});
  ASSERT_EQ(said.exit, Exit::ok) << said.err;
  const auto map = open(inputs.folder / "maps/map.tif");
  ASSERT_TRUE(map);
  double transform[6];
  ASSERT_EQ(map->GetGeoTransform(transform), CE_None);
  EXPECT_EQ(transform[0], -20.1);
  EXPECT_EQ(transform[1], 0.01);
  EXPECT_STREQ(map->GetSpatialRef()->GetAuthorityCode(nullptr), "4326");
  // A cell whose centre lies 0.005 degrees east and north of G6 at (-19.72, 50.08): some 0.36 km
  // east and 0.56 km north.
  const std::vector<float> km = cells_of(*map, 5);
  EXPECT_NEAR(km[21 * 60 + 38], std::hypot(0.3576, 0.5562), 2e-3);
}

TEST(MapCommand, DrawsAPicture) {
  const Inputs inputs;
  std::vector<float> heights;
  for (int i = 0; i < 60 * 60; ++i) heights.push_back(static_cast<float>(100 * ((i / 60) % 20)));
  const std::string raster = inputs.folder / "heights.tif";
  support::write_raster(raster, "", -15000, 45000, 1000, 60, heights);
  std::vector<std::string> pictures;
  for (const std::vector<std::string>& more :
       {std::vector<std::string>{}, {"--threads", "1"}, {"--elevation", raster}}) {
    auto args = inputs.args({"--png", "--cell-m", "1000"});
    args.insert(args.end(), more.begin(), more.end());
    const Said said = say(args);
    EXPECT_EQ(said.exit, Exit::ok) << said.err;
    pictures.push_back(support::read_file(inputs.folder / "maps/map.png"));
  }
  const auto picture = support::read_picture(inputs.folder / "maps/map.png");
  EXPECT_GE(std::max(picture.width, picture.height), 1200);
  EXPECT_EQ(pictures[0], pictures[1]);
  EXPECT_NE(pictures[0], pictures[2]);
  EXPECT_NE(say(inputs.args({"--png", "--elevation", inputs.folder / "none.tif"})).exit, Exit::ok);
}

TEST(MapCommand, MapsEveryStormAsItGrew) {
  const Inputs inputs;
  const Said said = say(inputs.args({"--storm", "all", "--frames", "--cell-m", "1000"}));
  ASSERT_EQ(said.exit, Exit::ok) << said.err;
  EXPECT_NE(said.out.find("storms: 1"), std::string::npos) << said.out;
  const auto map = open(inputs.folder / "maps/storm_20210304T0000Z.tif");
  const auto frames = open(inputs.folder / "maps/storm_20210304T0000Z_frames.tif");
  ASSERT_TRUE(map && frames);
  EXPECT_STREQ(map->GetMetadataItem("STORM"), "20210304T0000Z");
  ASSERT_EQ(frames->GetRasterCount(), 2);
  EXPECT_STREQ(frames->GetRasterBand(1)->GetDescription(), "total rain to 2021-03-04T01:00:00Z");
  EXPECT_EQ(cells_of(*frames, 2), cells_of(*map, 1));
  EXPECT_NE(cells_of(*frames, 1), cells_of(*map, 1));
}

// A step that was filled makes its gauge weigh less than one that was measured.
TEST(MapCommand, TrustsAFilledGaugeLess) {
  const Inputs inputs;
  std::string depths = "time,gauge,depth_mm,quality\n";
  for (int hour = 1; hour <= 72; ++hour)
    for (int i = 0; i < 16; ++i) {
      const double depth = hour % 9 < 3 ? 0.2 * ((i * 7 + hour * 5) % 11) : 0;
      depths += fmt::format("2021-03-{:02}T{:02}:00Z,G{},{:.1f},{}\n", 4 + hour / 24, hour % 24, i,
                            depth, i == 5 && hour > 36 ? "estimate" : "good");
    }
  const std::string filled = inputs.folder.write("filled.csv", depths);
  const Said said = say({"map", "--gauges", inputs.gauges, "--crs", "local", "--rain", filled,
                         "--out", inputs.folder / "maps", "--cell-m", "1000"});
  ASSERT_EQ(said.exit, Exit::ok) << said.err;
  const auto map = open(inputs.folder / "maps/map.tif");
  ASSERT_TRUE(map);
  EXPECT_STREQ(map->GetMetadataItem("GAUGES_PARTLY_FILLED"), "1");
  double transform[6];
  ASSERT_EQ(map->GetGeoTransform(transform), CE_None);
  const std::vector<float> error = cells_of(*map, 2);
  const auto at = [&](double x, double y) {
    const auto column = static_cast<std::size_t>((x - transform[0]) / 1000);
    const auto row = static_cast<std::size_t>((transform[3] - y) / 1000);
    return error[row * static_cast<std::size_t>(map->GetRasterXSize()) + column];
  };
  EXPECT_GT(at(10700, 9000), 1.1 * at(20700, 9000));  // G5 and G6, both within the network
}

TEST(MapCommand, SaysWhatItCannotDo) {
  const Inputs inputs;
  const auto refuses = [&](std::vector<std::string> more, const char* words) {
    const Said said = say(inputs.args(std::move(more)));
    EXPECT_NE(said.exit, Exit::ok);
    EXPECT_NE(said.err.find(words), std::string::npos) << said.err;
    EXPECT_EQ(inputs.folder.names().size(), 2U);
  };
  refuses({"--storm", "20200101T0000Z"}, "is no storm of the record; it has 20210304T0000Z");
  refuses({"--elevation-use", "always"}, "needs --elevation RASTER");
  refuses({"--from", "2022-01-01T00:00Z"}, "no step of the record lies within");
  refuses({"--bounds", "0,0,1"}, "four numbers");
  refuses({"--bounds", "5,0,1,9"}, "enclose nothing");
  refuses({"--bands", "total,rain"}, "\"rain\" is no band");
  refuses({"--bands", "total,total"}, "twice");
  refuses({"--like", inputs.folder / "absent.tif"}, "absent.tif");
  refuses({"--like", "any.tif", "--cell-m", "5"}, "leave --cell-m, --bounds and --map-crs out");
  refuses({"--neighbours", "65"}, "must be 1 to 64, or all");
  refuses({"--bounds", "0,0,1e9,1e9", "--cell-m", "1"}, "are too many");
}

}  // namespace
}  // namespace gaugeloom
