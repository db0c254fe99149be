#pragma once
// The rows of one layer of a vector source, their fields by name in any case. Internal.

#include <ogrsf_frmts.h>

#include <optional>
#include <string>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "io/gdal_session_internal.hpp"

namespace gaugeloom {

// One feature. `line` is that of a CSV, 0 elsewhere; `number` counts features from 1.
class VectorRow {
 public:
  VectorRow(OGRFeatureUniquePtr feature, const std::string& file, long line, long number)
      : feature_(std::move(feature)), file_(file), line_(line), number_(number) {}

  long line() const { return line_; }
  long number() const { return number_; }
  const OGRGeometry* geometry() const { return feature_->GetGeometryRef(); }
  // "line 7" or "feature 7".
  std::string place() const;
  // Text of a field without blanks around it; nothing when the field is absent or empty.
  std::optional<std::string> text(int field) const;
  // Throws Error{malformed_input} for a text that is no finite number.
  std::optional<double> number(int field) const;
  // Throws Error{malformed_input} naming this row.
  [[noreturn]] void fail(const std::string& sentence) const;

 private:
  OGRFeatureUniquePtr feature_;
  std::string file_;
  long line_;
  long number_;
};

class VectorSource {
 public:
  // Throws Error{io_failure} for what cannot be opened, Error{malformed_input} for a CSV that does
  // not begin like one, a layer that is not there, or must be chosen among several.
  VectorSource(const std::string& source, const std::string& layer);

  // The number of a field by its name, case ignored, or of its first ten characters, as a Shapefile
  // cuts them; -1 when there is none.
  int field(const std::string& name) const;
  bool has_geometry() const;
  bool is_csv() const { return is_csv_; }
  std::string crs() const;  // "" when the layer names none
  std::string shown() const { return shown_; }
  std::string field_names() const;  // "a, b, c"

  // The next row, or nothing at the end. Throws Error{malformed_input} for what GDAL cannot read.
  std::optional<VectorRow> next();

 private:
  gdal::Session session_;
  std::string shown_;
  gdal::Dataset dataset_;
  OGRLayer* layer_ = nullptr;
  bool is_csv_ = false;
  long read_ = 0;
};

}  // namespace gaugeloom
