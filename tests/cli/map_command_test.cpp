#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <memory>
#include <sstream>

#include "cli/command.hpp"
#include "support/temporary_folder.hpp"

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

TEST(MapCommand, SaysWhatItCannotDo) {
  const Inputs inputs;
  const auto refuses = [&](std::vector<std::string> more, const char* words) {
    const Said said = say(inputs.args(std::move(more)));
    EXPECT_NE(said.exit, Exit::ok);
    EXPECT_NE(said.err.find(words), std::string::npos) << said.err;
    EXPECT_EQ(inputs.folder.names().size(), 2U);
  };
  refuses({"--storm", "all"}, "--storm is not there yet");
  refuses({"--from", "2022-01-01T00:00Z"}, "no step of the record lies within");
  refuses({"--bounds", "0,0,1"}, "four numbers");
  refuses({"--bounds", "5,0,1,9"}, "enclose nothing");
  refuses({"--bands", "total,rain"}, "\"rain\" is no band");
  refuses({"--bands", "total,total"}, "twice");
  refuses({"--neighbours", "65"}, "must be 1 to 64, or all");
  refuses({"--bounds", "0,0,1e9,1e9", "--cell-m", "1"}, "are too many");
}

}  // namespace
}  // namespace gaugeloom
