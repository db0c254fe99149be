#include <cpl_vsi.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <unistd.h>

#include <array>
#include <cstring>
#include <memory>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "io/geo_keys_internal.hpp"

namespace gaugeloom {
namespace {

template <typename Number>
Number number_at(std::string_view bytes, std::size_t at) {
  if (at + sizeof(Number) > bytes.size())
    throw Error(ErrorCode::io_failure, "GDAL wrote a TIFF that cannot be read back");
  Number number;
  std::memcpy(&number, bytes.data() + at, sizeof number);
  return number;
}

// Tags 34735 to 34737 of a little-endian classic TIFF.
std::vector<TiffTag> read_geo_keys(std::string_view tiff) {
  std::vector<TiffTag> tags;
  const auto directory = number_at<std::uint32_t>(tiff, 4);
  const auto entries = number_at<std::uint16_t>(tiff, directory);
  for (std::size_t i = 0; i < entries; ++i) {
    const std::size_t at = directory + 2 + 12 * i;
    TiffTag tag{number_at<std::uint16_t>(tiff, at),
                static_cast<TiffType>(number_at<std::uint16_t>(tiff, at + 2)),
                number_at<std::uint32_t>(tiff, at + 4),
                {}};
    if (tag.tag < 34735 || tag.tag > 34737) continue;
    const std::size_t width = tag.type == TiffType::float64  ? 8
                              : tag.type == TiffType::uint16 ? 2
                                                             : 1;
    const std::size_t size = width * tag.count;
    const std::size_t from = size <= 4 ? at + 8 : number_at<std::uint32_t>(tiff, at + 8);
    if (from + size > tiff.size())
      throw Error(ErrorCode::io_failure, "GDAL wrote a TIFF that cannot be read back");
    tag.bytes = tiff.substr(from, size);
    tags.push_back(tag);
  }
  return tags;
}

// GDAL's own messages stay silent while this lives.
struct QuietGdal {
  QuietGdal() { CPLPushErrorHandler(CPLQuietErrorHandler); }
  ~QuietGdal() { CPLPopErrorHandler(); }
  QuietGdal(const QuietGdal&) = delete;
  QuietGdal& operator=(const QuietGdal&) = delete;
};

}  // namespace

std::vector<TiffTag> geo_key_tags(const std::string& crs) {
  if (crs == kLocalCrs) return {};
  const QuietGdal quiet;
  GDALAllRegister();
  OGRSpatialReference reference;
  if (reference.SetFromUserInput(crs.c_str()) != OGRERR_NONE)
    throw Error(
        ErrorCode::unsupported_crs,
        fmt::format("the CRS \"{}\" is unknown; give an EPSG code, WKT or a PROJ string", crs));
  const std::string name = fmt::format("/vsimem/gaugeloom-geo-keys-{}-{}.tif", ::getpid(),
                                       static_cast<const void*>(&reference));
  GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("GTiff");
  if (driver == nullptr) throw Error(ErrorCode::io_failure, "GDAL lacks its GTiff driver");
  std::array<double, 6> transform = {0, 1, 0, 0, 0, -1};
  {
    const std::unique_ptr<GDALDataset> dataset(
        driver->Create(name.c_str(), 1, 1, 1, GDT_Byte, nullptr));
    if (!dataset || dataset->SetSpatialRef(&reference) != CE_None ||
        dataset->SetGeoTransform(transform.data()) != CE_None)
      throw Error(ErrorCode::unsupported_crs,
                  fmt::format("the CRS \"{}\" cannot be written to a GeoTIFF", crs));
  }
  vsi_l_offset size = 0;
  const std::unique_ptr<GByte, void (*)(void*)> bytes(
      VSIGetMemFileBuffer(name.c_str(), &size, TRUE), VSIFree);
  if (!bytes) throw Error(ErrorCode::io_failure, "GDAL wrote no TIFF in memory");
  return read_geo_keys({reinterpret_cast<const char*>(bytes.get()), size});
}

}  // namespace gaugeloom
