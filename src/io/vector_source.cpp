#include <cpl_string.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "io/text_check_internal.hpp"
#include "io/vector_source_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kShapefileNameLength = 10;
constexpr std::size_t kLongestName = 40;  // in messages

std::string trimmed(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

// As it stands, where that is a short text.
std::string shown_name(const std::string& name) {
  return name.size() > kLongestName || first_not_text(name) ? quoted_for_message(name) : name;
}

std::string layer_names(GDALDataset& dataset) {
  std::string names;
  const int shown = std::min(dataset.GetLayerCount(), 20);
  for (int i = 0; i < shown; ++i)
    names += fmt::format("{}{}", i == 0 ? "" : ", ", dataset.GetLayer(i)->GetName());
  return dataset.GetLayerCount() > shown ? names + ", ..." : names;
}

OGRLayer* choose_layer(GDALDataset& dataset, const std::string& wish, const std::string& file) {
  if (!wish.empty()) {
    if (OGRLayer* layer = dataset.GetLayerByName(wish.c_str())) return layer;
    throw Error(
        ErrorCode::malformed_input,
        fmt::format("there is no layer \"{}\"; the layers are {}", wish, layer_names(dataset)),
        {file});
  }
  if (dataset.GetLayerCount() == 1) return dataset.GetLayer(0);
  if (dataset.GetLayerCount() == 0)
    throw Error(ErrorCode::malformed_input, "there is no layer in it", {file});
  throw Error(
      ErrorCode::malformed_input,
      fmt::format("there are several layers ({}); choose one with --layer", layer_names(dataset)),
      {file});
}

}  // namespace

std::string VectorRow::place() const {
  return line_ > 0 ? fmt::format("line {}", line_) : fmt::format("feature {}", number_);
}

std::optional<std::string> VectorRow::text(int field) const {
  if (field < 0 || !feature_->IsFieldSetAndNotNull(field)) return std::nullopt;
  std::string text = trimmed(feature_->GetFieldAsString(field));
  if (text.empty()) return std::nullopt;
  if (first_not_text(text))
    fail(fmt::format("{} in the field {} is not text in UTF-8; mend the file or its encoding",
                     quoted_for_message(text), feature_->GetFieldDefnRef(field)->GetNameRef()));
  return text;
}

std::optional<double> VectorRow::number(int field) const {
  const auto written = text(field);
  if (!written) return std::nullopt;
  double value = 0;
  if (feature_->GetFieldDefnRef(field)->GetType() == OFTReal) {
    value = feature_->GetFieldAsDouble(field);
  } else {
    const char* begin = written->data() + (written->front() == '+' ? 1 : 0);
    const char* end = written->data() + written->size();
    const auto parsed = std::from_chars(begin, end, value);
    if (parsed.ec != std::errc{} || parsed.ptr != end) value = std::nan("");
  }
  if (!std::isfinite(value))
    fail(fmt::format("{} in the field {} is not a number; write it like 12.5",
                     quoted_for_message(*written), feature_->GetFieldDefnRef(field)->GetNameRef()));
  return value;
}

void VectorRow::fail(const std::string& sentence) const {
  if (line_ > 0) throw Error(ErrorCode::malformed_input, sentence, {file_, line_, 0});
  throw Error(ErrorCode::malformed_input, fmt::format("{}: {}", place(), sentence), {file_});
}

VectorSource::VectorSource(const std::string& source, const std::string& layer)
    : session_(source),
      shown_(gdal::shown(source)),
      dataset_(gdal::open(session_, source, GDAL_OF_VECTOR)),
      layer_(choose_layer(*dataset_, layer, shown_)) {
  is_csv_ = std::string(dataset_->GetDriverName()) == "CSV";
  layer_->ResetReading();
}

int VectorSource::field(const std::string& name) const {
  const OGRFeatureDefn* fields = layer_->GetLayerDefn();
  for (const std::string& wanted : {name, name.substr(0, kShapefileNameLength)})
    for (int i = 0; i < fields->GetFieldCount(); ++i)
      if (EQUAL(trimmed(fields->GetFieldDefn(i)->GetNameRef()).c_str(), wanted.c_str())) return i;
  return -1;
}

bool VectorSource::has_geometry() const { return layer_->GetGeomType() != wkbNone; }

std::string VectorSource::crs() const { return gdal::crs_text(layer_->GetSpatialRef()); }

std::string VectorSource::field_names() const {
  const OGRFeatureDefn* fields = layer_->GetLayerDefn();
  std::string names;
  for (int i = 0; i < std::min(fields->GetFieldCount(), 40); ++i)
    names +=
        fmt::format("{}{}", i == 0 ? "" : ", ", shown_name(fields->GetFieldDefn(i)->GetNameRef()));
  return names.empty() ? "none" : names;
}

std::optional<VectorRow> VectorSource::next() {
  session_.forget();
  OGRFeatureUniquePtr feature(layer_->GetNextFeature());
  if (session_.failed())
    throw Error(ErrorCode::malformed_input,
                fmt::format("after {} features: {}; mend the file", read_, session_.message()),
                {shown_});
  if (!feature) return std::nullopt;
  ++read_;
  return VectorRow(std::move(feature), shown_, is_csv_ ? read_ + 1 : 0, read_);
}

}  // namespace gaugeloom
