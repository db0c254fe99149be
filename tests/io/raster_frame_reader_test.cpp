#include "gaugeloom/io/raster_frame_reader.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <array>
#include <memory>

#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"
#include "support/vector_file.hpp"

namespace gaugeloom {
namespace {

using support::TemporaryFolder;

std::string raster(const TemporaryFolder& folder, const std::string& crs, double west, double north,
                   double cell) {
  std::string file = folder / "frame.tif";
  support::write_raster(file, crs, west, north, cell, 5, std::vector<float>(20, 1));
  return file;
}

TEST(RasterFrameReader, MetresStayAsTheyAre) {
  const TemporaryFolder folder;
  const auto frame = read_raster_frame(raster(folder, "EPSG:3035", 4321000, 3214000, 1000));
  EXPECT_EQ(frame.crs, "EPSG:3035");
  EXPECT_EQ(frame.grid, (Grid{4321000, 3214000, 1000, 1000, 5, 4}));
}

TEST(RasterFrameReader, ARasterWithoutACrsIsLocal) {
  const TemporaryFolder folder;
  EXPECT_EQ(read_raster_frame(raster(folder, "", 10, 90, 10)).crs, "local");
}

// A degree at 45 degrees of latitude is 78 846.8 m long eastwards and 111 131.8 m northwards on the
// WGS 84 ellipsoid (the series of the usual tables of navigation, from memory; 111 132.954 -
// 559.822 cos 2B + 1.175 cos 4B and 111 412.84 cos B - 93.5 cos 3B + 0.118 cos 5B).
TEST(RasterFrameReader, DegreesAreWorthTheirMetresInTheMiddle) {
  const TemporaryFolder folder;
  const auto frame = read_raster_frame(raster(folder, "EPSG:4326", -20, 45.02, 0.01));
  EXPECT_EQ(frame.crs, "EPSG:4326");
  EXPECT_EQ(frame.cells.x_min, -20);
  EXPECT_EQ(frame.cells.y_max, 45.02);
  EXPECT_EQ(frame.cells.cell_width, 0.01);
  EXPECT_NEAR(1 / frame.units_per_metre_x, 78846.8, 0.1);
  EXPECT_NEAR(1 / frame.units_per_metre_y, 111131.8, 0.1);
  EXPECT_NEAR(frame.grid.cell_width_m, 788.468, 1e-3);
}

TEST(RasterFrameReader, FeetAreConverted) {  // EPSG:2263 counts in US survey feet of 1200/3937 m
  const TemporaryFolder folder;
  const auto frame = read_raster_frame(raster(folder, "EPSG:2263", 980000, 200000, 3937));
  EXPECT_NEAR(frame.grid.cell_width_m, 1200, 1e-6);
  EXPECT_EQ(frame.cells.cell_width, 3937);
}

TEST(RasterFrameReader, RefusesWhatIsNoNorthUpRaster) {
  const TemporaryFolder folder;
  EXPECT_THROW(read_raster_frame(folder / "absent.tif"), Error);
  EXPECT_THROW(read_raster_frame(folder.write("text.tif", "no raster")), Error);
  const std::string file = raster(folder, "EPSG:3035", 4321000, 3214000, 1000);
  for (const std::array<double, 6>& affine :
       {std::array<double, 6>{0, 1, 0.5, 0, 0, -1}, std::array<double, 6>{0, 1, 0, 0, 0, 1}}) {
    const std::unique_ptr<GDALDataset> dataset(
        GDALDataset::Open(file.c_str(), GDAL_OF_RASTER | GDAL_OF_UPDATE));
    auto copy = affine;
    ASSERT_EQ(dataset->SetGeoTransform(copy.data()), CE_None);
    dataset->FlushCache(true);
    EXPECT_THROW(read_raster_frame(file), Error);
  }
}

}  // namespace
}  // namespace gaugeloom
