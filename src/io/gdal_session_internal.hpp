#pragma once
// GDAL kept quiet and at home: its messages are caught instead of printed, drivers are registered
// once, and nothing is fetched from a network that the caller did not name. Internal.

#include <gdal_priv.h>

#include <memory>
#include <string>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom::gdal {

// While it lives, this thread's GDAL messages are kept here. One per entry into GDAL.
class Session {
 public:
  // `source` is what will be opened: a network source is reached only when it names one itself.
  explicit Session(const std::string& source);
  ~Session();
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  // The last message, passwords hidden; "" when there was none.
  std::string message() const;
  bool failed() const { return failed_; }  // whether GDAL reported an error, not only a warning
  void forget();

 private:
  static void keep(CPLErr severity, CPLErrorNum number, const char* text);
  std::string message_;
  bool failed_ = false;
};

// A source as it may be shown: "PG:dbname=rain password=***".
std::string shown(const std::string& source);

using Dataset = std::unique_ptr<GDALDataset>;

// Opens a source for reading. `kind` is GDAL_OF_VECTOR or GDAL_OF_RASTER.
// Throws Error{io_failure}: not there, or not something GDAL reads; Error{malformed_input}: a CSV
// that does not begin like one.
Dataset open(Session& session, const std::string& source, unsigned kind);

// The CRS as an authority code or WKT; "" when there is none, or one without a place on Earth.
std::string crs_text(const OGRSpatialReference* crs);

}  // namespace gaugeloom::gdal
