#include "gaugeloom/io/elevation_reader.hpp"

#include <fmt/format.h>
#include <gdal_utils.h>

#include <array>
#include <cmath>
#include <limits>
#include <list>
#include <map>

#include "gaugeloom/geo/work_crs.hpp"
#include "io/gdal_session_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMostBlockBytes = 64U << 20U;

// Band 1 by blocks; the blocks used last are kept, at most 64 MB of them.
class BandReader {
 public:
  BandReader(gdal::Session& session, GDALDataset& dataset, std::string file)
      : session_(session), band_(*dataset.GetRasterBand(1)), file_(std::move(file)) {
    band_.GetBlockSize(&block_width_, &block_height_);
    nodata_ = band_.GetNoDataValue(&has_nodata_);
  }

  // NaN outside and where nothing is stored.
  double cell(long column, long row) {
    if (column < 0 || row < 0 || column >= band_.GetXSize() || row >= band_.GetYSize())
      return std::numeric_limits<double>::quiet_NaN();
    const long across = column / block_width_, down = row / block_height_;
    const std::vector<double>& values = block(across, down);
    const long width = std::min<long>(block_width_, band_.GetXSize() - across * block_width_);
    const double value = values[static_cast<std::size_t>((row - down * block_height_) * width +
                                                         column - across * block_width_)];
    return has_nodata_ && value == nodata_ ? std::numeric_limits<double>::quiet_NaN() : value;
  }

 private:
  const std::vector<double>& block(long across, long down) {
    const auto known = blocks_.find({across, down});
    if (known != blocks_.end()) return known->second;
    const long x = across * block_width_, y = down * block_height_;
    const long width = std::min<long>(block_width_, band_.GetXSize() - x);
    const long height = std::min<long>(block_height_, band_.GetYSize() - y);
    const auto cells = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
    if ((held_ += cells * sizeof(double)) > kMostBlockBytes) {
      blocks_.clear();
      held_ = cells * sizeof(double);
    }
    std::vector<double> values(cells);
    if (band_.RasterIO(GF_Read, static_cast<int>(x), static_cast<int>(y), static_cast<int>(width),
                       static_cast<int>(height), values.data(), static_cast<int>(width),
                       static_cast<int>(height), GDT_Float64, 0, 0, nullptr) != CE_None)
      throw Error(
          ErrorCode::io_failure,
          fmt::format("the raster cannot be read: {}; the file is damaged", session_.message()),
          {file_});
    return blocks_.emplace(std::pair(across, down), std::move(values)).first->second;
  }

  gdal::Session& session_;
  GDALRasterBand& band_;
  std::string file_;
  int block_width_ = 0;
  int block_height_ = 0;
  int has_nodata_ = 0;
  double nodata_ = 0;
  std::size_t held_ = 0;
  std::map<std::pair<long, long>, std::vector<double>> blocks_;
};

// Throws Error{malformed_input} for a raster without a band.
void need_band(GDALDataset& dataset, const std::string& file) {
  if (dataset.GetRasterCount() < 1)
    throw Error(ErrorCode::malformed_input, "the raster has no band", {file});
}

// Cell coordinates from positions: the inverse of the raster's affine transform.
std::array<double, 6> cells_from_places(GDALDataset& dataset, const std::string& file) {
  std::array<double, 6> forward{}, inverse{};
  need_band(dataset, file);
  if (dataset.GetGeoTransform(forward.data()) != CE_None ||
      !GDALInvGeoTransform(forward.data(), inverse.data()))
    throw Error(ErrorCode::malformed_input,
                "the raster does not say where its cells lie; georeference it", {file});
  return inverse;
}

// The CRS of the raster; "local" where the working CRS is.
std::string raster_crs(GDALDataset& dataset, const std::string& working_crs,
                       const std::string& file) {
  if (working_crs == kLocalCrs) return kLocalCrs;
  std::string crs = gdal::crs_text(dataset.GetSpatialRef());
  if (crs.empty())
    throw Error(ErrorCode::unsupported_crs,
                "the raster does not name its CRS; store it in the file", {file});
  return crs;
}

// An empty raster in memory.
gdal::Dataset raster_over(const CellFrame& cells, int columns, int rows,
                          const OGRSpatialReference* crs) {
  GDALDriver* const memory = GetGDALDriverManager()->GetDriverByName("MEM");
  gdal::Dataset raster(memory->Create("", columns, rows, 1, GDT_Float32, nullptr));
  std::array<double, 6> transform{cells.x_min, cells.cell_width,  0, cells.y_max,
                                  0,           -cells.cell_height};
  raster->SetGeoTransform(transform.data());
  if (crs) raster->SetSpatialRef(crs);
  raster->GetRasterBand(1)->SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
  raster->GetRasterBand(1)->Fill(std::numeric_limits<double>::quiet_NaN());
  return raster;
}

// The dataset, but band 1 alone.
gdal::Dataset first_band(GDALDataset& dataset) {
  std::array<const char*, 5> words{"-of", "VRT", "-b", "1", nullptr};
  GDALTranslateOptions* options =
      GDALTranslateOptionsNew(const_cast<char**>(words.data()), nullptr);
  gdal::Dataset band(GDALDataset::FromHandle(
      GDALTranslate("", GDALDataset::ToHandle(&dataset), options, nullptr)));
  GDALTranslateOptionsFree(options);
  return band;
}

// Fills `into` from `from`, by cubic splines.
bool warp(GDALDataset& from, GDALDataset& into) {
  std::array<const char*, 5> words{"-r", "cubicspline", "-ovr", "AUTO", nullptr};
  GDALWarpAppOptions* options = GDALWarpAppOptionsNew(const_cast<char**>(words.data()), nullptr);
  GDALDatasetH source = GDALDataset::ToHandle(&from);
  const bool done = GDALWarp(nullptr, GDALDataset::ToHandle(&into), 1, &source, options, nullptr);
  GDALWarpAppOptionsFree(options);
  return done;
}

// A cell of (nearly) no weight does not count, so that a point on the outermost centres has a
// value.
double bilinear(BandReader& band, double column, double row) {
  const double left = std::floor(column - 0.5), top = std::floor(row - 0.5);
  const double right_share = column - 0.5 - left, low_share = row - 0.5 - top;
  double sum = 0;
  for (int down = 0; down < 2; ++down)
    for (int across = 0; across < 2; ++across) {
      const double weight =
          (across == 1 ? right_share : 1 - right_share) * (down == 1 ? low_share : 1 - low_share);
      if (weight > 1e-9)
        sum += weight * band.cell(static_cast<long>(left) + across, static_cast<long>(top) + down);
    }
  return sum;
}

}  // namespace

std::vector<double> sample_elevation(const std::string& raster, const std::string& working_crs,
                                     std::span<const MetricPoint> points) {
  gdal::Session session(raster);
  const std::string file = gdal::shown(raster);
  const gdal::Dataset dataset = gdal::open(session, raster, GDAL_OF_RASTER);
  const auto inverse = cells_from_places(*dataset, file);
  const CrsTransform transform(working_crs, raster_crs(*dataset, working_crs, file));
  BandReader band(session, *dataset, file);
  std::vector<double> values;
  for (const MetricPoint& point : points) {
    const CrsPoint place = transform.forward(CrsPoint{point.x_m, point.y_m});
    const double column = inverse[0] + inverse[1] * place.x + inverse[2] * place.y;
    const double row = inverse[3] + inverse[4] * place.x + inverse[5] * place.y;
    const bool near = column >= 0 && row >= 0 && column <= dataset->GetRasterXSize() &&
                      row <= dataset->GetRasterYSize();
    values.push_back(near ? bilinear(band, column, row) : std::numeric_limits<double>::quiet_NaN());
  }
  return values;
}

std::vector<float> elevation_over(const std::string& raster, const std::string& crs,
                                  const CellFrame& cells, std::size_t columns, std::size_t rows) {
  gdal::Session session(raster);
  const std::string file = gdal::shown(raster);
  const gdal::Dataset dataset = gdal::open(session, raster, GDAL_OF_RASTER);
  cells_from_places(*dataset, file);
  const CrsTransform can_be_converted(crs, raster_crs(*dataset, crs, file));
  const gdal::Dataset band = first_band(*dataset);
  OGRSpatialReference reference;
  if (crs != kLocalCrs) {
    reference.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    reference.SetFromUserInput(crs.c_str());
  }
  const int width = static_cast<int>(columns), height = static_cast<int>(rows);
  const gdal::Dataset over =
      raster_over(cells, width, height, crs == kLocalCrs ? dataset->GetSpatialRef() : &reference);
  std::vector<float> values(columns * rows);
  if (!band || !warp(*band, *over) ||
      over->GetRasterBand(1)->RasterIO(GF_Read, 0, 0, width, height, values.data(), width, height,
                                       GDT_Float32, 0, 0, nullptr) != CE_None)
    throw Error(ErrorCode::io_failure,
                fmt::format("the raster cannot be read: {}", session.message()), {file});
  return values;
}

}  // namespace gaugeloom
