#include "gaugeloom/io/raster_frame_reader.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "gaugeloom/geo/work_crs.hpp"
#include "io/gdal_session_internal.hpp"

namespace gaugeloom {
namespace {

using Affine = std::array<double, 6>;

constexpr double kEquatorM = 6378137;  // WGS 84: half of the longer axis
constexpr double kFlattening = 1 / 298.257223563;

Affine affine_of(GDALDataset& dataset, const std::string& file) {
  Affine affine{};
  if (dataset.GetGeoTransform(affine.data()) != CE_None)
    throw Error(ErrorCode::malformed_input,
                "the raster does not say where its cells lie; georeference it", {file});
  if (affine[2] != 0 || affine[4] != 0 || !(affine[1] > 0) || !(affine[5] < 0))
    throw Error(ErrorCode::malformed_input,
                "the rows of the raster do not run from west to east, the first in the north; warp "
                "it to a grid that is north up",
                {file});
  return affine;
}

// Sets what a metre is in degrees of `latitude`.
void use_degrees(double latitude, RasterFrame& frame) {
  // Rounded, so that the last bit does not depend on the processor.
  const double sine = std::round(std::sin(latitude * std::numbers::pi / 180) * 1e12) / 1e12;
  const double squared_eccentricity = kFlattening * (2 - kFlattening);
  const double rest = 1 - squared_eccentricity * sine * sine;
  const double vertical_m = kEquatorM / std::sqrt(rest);
  const double meridian_m = vertical_m * (1 - squared_eccentricity) / rest;
  const double cosine = std::sqrt(1 - sine * sine);
  frame.units_per_metre_x = 180 / (std::numbers::pi * vertical_m * cosine);
  frame.units_per_metre_y = 180 / (std::numbers::pi * meridian_m);
}

}  // namespace

RasterFrame read_raster_frame(const std::string& raster) {
  gdal::Session session(raster);
  const std::string file = gdal::shown(raster);
  const gdal::Dataset dataset = gdal::open(session, raster, GDAL_OF_RASTER);
  const Affine affine = affine_of(*dataset, file);
  RasterFrame frame;
  frame.crs = gdal::crs_text(dataset->GetSpatialRef());
  if (frame.crs.empty()) frame.crs = kLocalCrs;
  const auto columns = static_cast<std::size_t>(dataset->GetRasterXSize());
  const auto rows = static_cast<std::size_t>(dataset->GetRasterYSize());
  if (const OGRSpatialReference* crs = dataset->GetSpatialRef();
      crs != nullptr && frame.crs != kLocalCrs) {
    if (crs->IsGeographic()) {
      const double middle = affine[3] + affine[5] * static_cast<double>(rows) / 2;
      if (!(std::abs(middle) < 89))
        throw Error(ErrorCode::malformed_input,
                    "the raster lies at a pole, where degrees are no grid; give one in metres",
                    {file});
      use_degrees(middle, frame);
    } else {
      const double metres = crs->GetLinearUnits(nullptr);
      frame.units_per_metre_x = frame.units_per_metre_y = 1 / metres;
    }
  }
  frame.cells = {affine[0], affine[3], affine[1], -affine[5]};
  const MetricPoint corner = frame.on_plane(affine[0], affine[3]);
  const MetricPoint cell = frame.on_plane(affine[1], -affine[5]);
  frame.grid = {corner.x_m, corner.y_m, cell.x_m, cell.y_m, columns, rows};
  if (const auto problem = frame.grid.problem())
    throw Error(ErrorCode::invalid_option, *problem, {file});
  return frame;
}

}  // namespace gaugeloom
