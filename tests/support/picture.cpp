#include "picture.hpp"

#include <gdal_priv.h>

#include <memory>
#include <stdexcept>

namespace gaugeloom::support {

Picture read_picture(const std::string& path) {
  GDALAllRegister();
  const std::unique_ptr<GDALDataset> dataset(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER));
  if (!dataset || dataset->GetRasterCount() != 1) throw std::runtime_error("no picture: " + path);
  GDALRasterBand* const band = dataset->GetRasterBand(1);
  const GDALColorTable* const palette = band->GetColorTable();
  if (!palette) throw std::runtime_error("no palette: " + path);
  Picture picture{dataset->GetRasterXSize(), dataset->GetRasterYSize(), {}};
  std::vector<std::uint8_t> indices(static_cast<std::size_t>(picture.width) *
                                    static_cast<std::size_t>(picture.height));
  if (band->RasterIO(GF_Read, 0, 0, picture.width, picture.height, indices.data(), picture.width,
                     picture.height, GDT_Byte, 0, 0, nullptr) != CE_None)
    throw std::runtime_error("cannot be read: " + path);
  for (const std::uint8_t index : indices) {
    const GDALColorEntry& entry = *palette->GetColorEntry(index);
    picture.pixels.push_back(static_cast<std::uint32_t>(entry.c1) << 16U |
                             static_cast<std::uint32_t>(entry.c2) << 8U |
                             static_cast<std::uint32_t>(entry.c3));
  }
  return picture;
}

}  // namespace gaugeloom::support
