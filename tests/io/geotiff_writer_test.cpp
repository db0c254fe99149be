#include "gaugeloom/io/geotiff_writer.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>

#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

constexpr float kNothing = std::numeric_limits<float>::quiet_NaN();
const Grid kGrid = {400000, 5300000, 250, 250, 1300, 551};
const std::vector<GeoTiffBand> kBands = {{"total rain", "mm", OverviewRule::average},
                                         {"support class", "", OverviewRule::mode}};

float value_at(std::size_t band, std::size_t column, std::size_t row) {
  if (band == 1) return static_cast<float>((column / 100 + row / 90) % 3);
  if (column > 1200 && row < 40) return kNothing;
  return static_cast<float>(column % 64) * 0.25F + static_cast<float>(row) * 0.0625F;
}

void fill(const GridBlock& block, std::span<float> out) {
  for (std::size_t band = 0; band < kBands.size(); ++band)
    for (std::size_t i = 0; i < block.cell_count(); ++i)
      out[band * block.cell_count() + i] = value_at(band, block.first_column + i % block.columns,
                                                    block.first_row + i / block.columns);
}

std::unique_ptr<GDALDataset> open(const std::string& path) {
  GDALAllRegister();
  return std::unique_ptr<GDALDataset>(
      GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
}

std::vector<float> read(GDALRasterBand* band) {
  std::vector<float> values(static_cast<std::size_t>(band->GetXSize()) *
                            static_cast<std::size_t>(band->GetYSize()));
  EXPECT_EQ(band->RasterIO(GF_Read, 0, 0, band->GetXSize(), band->GetYSize(), values.data(),
                           band->GetXSize(), band->GetYSize(), GDT_Float32, 0, 0),
            CE_None);
  return values;
}

GeoTiffOptions options_for_tests() {
  GeoTiffOptions options;
  options.crs = "EPSG:32633";
  options.metadata = {{"SOFTWARE", "gaugeloom & <friends>"}, {"METHOD", "test"}};
  options.compression_level = 1;
  return options;
}

// What GDAL must find in the file, whatever its variant.
void check_values(GDALDataset& dataset) {
  ASSERT_EQ(dataset.GetRasterCount(), 2);
  for (std::size_t band = 0; band < 2; ++band) {
    const auto values = read(dataset.GetRasterBand(static_cast<int>(band) + 1));
    for (std::size_t i = 0; i < values.size(); ++i) {
      const float want = value_at(band, i % kGrid.columns, i / kGrid.columns);
      ASSERT_EQ(values[i], want == want ? want : kGeoTiffNodata) << band << " " << i;
    }
  }
}

TEST(GeoTiffWriter, IsReadBackByGdal) {
  const support::TemporaryFolder folder;
  const std::string path = folder / "map.tif";
  const auto statistics = write_geotiff(path, kGrid, kBands, options_for_tests(), fill);
  const auto dataset = open(path);
  ASSERT_TRUE(dataset);
  check_values(*dataset);
  double transform[6];
  ASSERT_EQ(dataset->GetGeoTransform(transform), CE_None);
  EXPECT_EQ(transform[0], 400000);
  EXPECT_EQ(transform[1], 250);
  EXPECT_EQ(transform[3], 5300000);
  EXPECT_EQ(transform[5], -250);
  EXPECT_STREQ(dataset->GetSpatialRef()->GetAuthorityCode(nullptr), "32633");
  EXPECT_STREQ(dataset->GetMetadataItem("SOFTWARE"), "gaugeloom & <friends>");
  EXPECT_STREQ(dataset->GetMetadataItem("AREA_OR_POINT"), "Area");
  EXPECT_STREQ(dataset->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
  EXPECT_STREQ(dataset->GetMetadataItem("COMPRESSION", "IMAGE_STRUCTURE"), "DEFLATE");
  GDALRasterBand& total = *dataset->GetRasterBand(1);
  EXPECT_STREQ(total.GetDescription(), "total rain");
  EXPECT_STREQ(total.GetUnitType(), "mm");
  EXPECT_EQ(total.GetNoDataValue(), -9999);
  EXPECT_STREQ(dataset->GetRasterBand(2)->GetDescription(), "support class");
  EXPECT_STREQ(dataset->GetRasterBand(2)->GetUnitType(), "");
  int width = 0, height = 0;
  total.GetBlockSize(&width, &height);
  EXPECT_EQ(width, 512);
  EXPECT_EQ(height, 512);
  double minimum = 0, maximum = 0, mean = 0, deviation = 0;
  ASSERT_EQ(total.GetStatistics(FALSE, FALSE, &minimum, &maximum, &mean, &deviation), CE_None);
  double true_minimum = 0, true_maximum = 0, true_mean = 0, true_deviation = 0;
  ASSERT_EQ(total.ComputeStatistics(FALSE, &true_minimum, &true_maximum, &true_mean,
                                    &true_deviation, nullptr, nullptr),
            CE_None);
  EXPECT_NEAR(minimum, true_minimum, 1e-6);  // printed with 9 digits
  EXPECT_NEAR(maximum, true_maximum, 1e-6);
  EXPECT_NEAR(mean, true_mean, 1e-6);
  EXPECT_NEAR(deviation, true_deviation, 1e-6);
  EXPECT_EQ(statistics[0].valid_cells, kGrid.cell_count() - 99U * 40U);
  EXPECT_EQ(statistics[1].maximum, 2);
}

TEST(GeoTiffWriter, HalvesOverviewsByTheRuleOfTheBand) {
  const support::TemporaryFolder folder;
  const std::string path = folder / "map.tif";
  write_geotiff(path, kGrid, kBands, options_for_tests(), fill);
  const auto dataset = open(path);
  ASSERT_TRUE(dataset);
  for (int band = 1; band <= 2; ++band) {
    ASSERT_EQ(dataset->GetRasterBand(band)->GetOverviewCount(), 2);
    GDALRasterBand& half = *dataset->GetRasterBand(band)->GetOverview(0);
    ASSERT_EQ(half.GetXSize(), 650);
    ASSERT_EQ(half.GetYSize(), 276);
    EXPECT_EQ(dataset->GetRasterBand(band)->GetOverview(1)->GetXSize(), 325);
    EXPECT_EQ(dataset->GetRasterBand(band)->GetOverview(1)->GetYSize(), 138);
    const auto values = read(&half);
    const auto index = static_cast<std::size_t>(band - 1);
    EXPECT_EQ(values[0], band == 1 ? (0 + 0.25F + 0.0625F + 0.3125F) / 4 : 0);
    // The last row has one row of cells below it.
    EXPECT_EQ(values[275U * 650U + 10U], band == 1
                                             ? (value_at(0, 20, 550) + value_at(0, 21, 550)) / 2
                                             : value_at(index, 20, 550));
    EXPECT_EQ(values[640], band == 1 ? kGeoTiffNodata : value_at(1, 1280, 0));
    // Column 1200 is valid and 1201 is not: the mean of what is valid.
    if (band == 1) {
      EXPECT_EQ(values[600], (value_at(0, 1200, 0) + value_at(0, 1200, 1)) / 2);
    }
  }
}

TEST(GeoTiffWriter, HasTheSameBytesForAnyThreadsAndMemory) {
  const support::TemporaryFolder folder;
  GeoTiffOptions options = options_for_tests();
  options.threads = 1;
  write_geotiff(folder / "one.tif", kGrid, kBands, options, fill);
  options.threads = 7;
  write_geotiff(folder / "seven.tif", kGrid, kBands, options, fill);
  options.memory_bytes = 20000;
  write_geotiff(folder / "spilled.tif", kGrid, kBands, options, fill);
  const std::string want = support::read_file(folder / "one.tif");
  EXPECT_GT(want.size(), 10000U);
  EXPECT_TRUE(want == support::read_file(folder / "seven.tif"));
  EXPECT_TRUE(want == support::read_file(folder / "spilled.tif"));
}

TEST(GeoTiffWriter, WritesBigTiffBeyondTheLimit) {
  const support::TemporaryFolder folder;
  GeoTiffOptions options = options_for_tests();
  options.classic_limit = 1000;
  write_geotiff(folder / "big.tif", kGrid, kBands, options, fill);
  EXPECT_EQ(support::read_file(folder / "big.tif").substr(0, 4), std::string("II\x2b\0", 4));
  const auto dataset = open(folder / "big.tif");
  ASSERT_TRUE(dataset);
  check_values(*dataset);
  EXPECT_STREQ(dataset->GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG");
}

TEST(GeoTiffWriter, WritesPlainMetresWithoutACrs) {
  const support::TemporaryFolder folder;
  GeoTiffOptions options = options_for_tests();
  options.crs = "local";
  const Grid small = {0, 100, 10, 20, 3, 5};
  const std::vector<GeoTiffBand> bands = {{"only", "mm", OverviewRule::average}};
  write_geotiff(folder / "small.tif", small, bands, options,
                [](const GridBlock& block, std::span<float> out) {
                  EXPECT_EQ(block.cell_count(), 15U);
                  for (std::size_t i = 0; i < 15; ++i) out[i] = static_cast<float>(i);
                });
  const auto dataset = open(folder / "small.tif");
  ASSERT_TRUE(dataset);
  EXPECT_EQ(dataset->GetSpatialRef(), nullptr);
  double transform[6];
  ASSERT_EQ(dataset->GetGeoTransform(transform), CE_None);
  EXPECT_EQ(transform[1], 10);
  EXPECT_EQ(transform[5], -20);
  EXPECT_EQ(dataset->GetRasterBand(1)->GetOverviewCount(), 0);
  EXPECT_EQ(read(dataset->GetRasterBand(1))[14], 14);
}

TEST(GeoTiffWriter, LeavesNothingWhenAWriteFails) {
  const support::TemporaryFolder folder;
  const Grid small = {0, 100, 10, 20, 3, 5};
  GeoTiffOptions options = options_for_tests();
  const auto constant = [](const GridBlock&, std::span<float> out) {
    std::fill(out.begin(), out.end(), 1.0F);
  };
  int failures = 0;
  for (long call = 1; call < 20; ++call) {
    options.fail_at_call = call;
    try {
      write_geotiff(folder / "map.tif", small, kBands, options, constant);
      break;
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), ErrorCode::io_failure);
      EXPECT_NE(std::string(error.what()).find("map.tif"), std::string::npos);
      EXPECT_EQ(folder.names().size(), 0U);
      ++failures;
    }
  }
  EXPECT_GE(failures, 3);  // open, write, close, rename
  EXPECT_EQ(folder.names().size(), 1U);
}

TEST(GeoTiffWriter, RefusesWhatItCannotWrite) {
  const support::TemporaryFolder folder;
  GeoTiffOptions options = options_for_tests();
  options.crs = "no such CRS";
  EXPECT_THROW(write_geotiff(folder / "map.tif", kGrid, kBands, options, fill), Error);
  options = options_for_tests();
  EXPECT_THROW(write_geotiff(folder / "no/map.tif", kGrid, kBands, options, fill), Error);
  EXPECT_THROW(write_geotiff(folder / "map.tif", kGrid, {}, options, fill), Error);
  EXPECT_THROW(write_geotiff(folder / "map.tif", Grid{}, kBands, options, fill), Error);
  const GeoTiffFill failing = [](const GridBlock&, std::span<float>) {
    throw Error(ErrorCode::malformed_input, "no field");
  };
  EXPECT_THROW(write_geotiff(folder / "map.tif", kGrid, kBands, options, failing), Error);
  EXPECT_EQ(folder.names().size(), 0U);
}

}  // namespace
}  // namespace gaugeloom
