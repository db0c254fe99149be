#include "io/netcdf_file_internal.hpp"

#include <H5public.h>

#include <utility>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

constexpr int kDeflateLevel = 1;  // higher ones gain little on depths and take longer

// HDF5, beneath netCDF-4, clears up at exit, and crashes there when a file could not be written.
// Its files are closed by then.
void leave_exit_alone() {
  static const int asked = H5dont_atexit();
  static_cast<void>(asked);
}

}  // namespace

NetcdfFile::NetcdfFile(const std::string& path, std::string final_path)
    : final_path_(std::move(final_path)) {
  leave_exit_alone();
  require(nc_create(path.c_str(), NC_NETCDF4 | NC_CLOBBER, &id_));
}

NetcdfFile::~NetcdfFile() {
  if (id_ >= 0) nc_close(id_);
}

int NetcdfFile::dimension(const std::string& name, std::size_t length) {
  int dimension = -1;
  require(nc_def_dim(id_, name.c_str(), length, &dimension));
  return dimension;
}

int NetcdfFile::variable(const std::string& name, nc_type type,
                         const std::vector<int>& dimensions) {
  int variable = -1;
  require(nc_def_var(id_, name.c_str(), type, static_cast<int>(dimensions.size()),
                     dimensions.data(), &variable));
  return variable;
}

void NetcdfFile::attribute(int variable, const std::string& name, const std::string& text) {
  require(nc_put_att_text(id_, variable, name.c_str(), text.size(), text.data()));
}

void NetcdfFile::attribute(int variable, const std::string& name,
                           std::span<const signed char> bytes) {
  require(nc_put_att_schar(id_, variable, name.c_str(), NC_BYTE, bytes.size(), bytes.data()));
}

void NetcdfFile::compress(int variable, const std::vector<std::size_t>& chunk) {
  require(nc_def_var_chunking(id_, variable, NC_CHUNKED, chunk.data()));
  require(nc_def_var_deflate(id_, variable, 1, 1, kDeflateLevel));
}

void NetcdfFile::fill_value(int variable, float value) {
  require(nc_def_var_fill(id_, variable, NC_FILL, &value));
}

void NetcdfFile::end_definitions() { require(nc_enddef(id_)); }

void NetcdfFile::put(int variable, const Corner& first, const Corner& count, const float* values) {
  require(nc_put_vara_float(id_, variable, first.data(), count.data(), values));
}

void NetcdfFile::put(int variable, const Corner& first, const Corner& count, const double* values) {
  require(nc_put_vara_double(id_, variable, first.data(), count.data(), values));
}

void NetcdfFile::put(int variable, const Corner& first, const Corner& count, const int* values) {
  require(nc_put_vara_int(id_, variable, first.data(), count.data(), values));
}

void NetcdfFile::put(int variable, const Corner& first, const Corner& count, const char* text) {
  require(nc_put_vara_text(id_, variable, first.data(), count.data(), text));
}

void NetcdfFile::put(int variable, const Corner& first, const Corner& count,
                     const signed char* bytes) {
  require(nc_put_vara_schar(id_, variable, first.data(), count.data(), bytes));
}

void NetcdfFile::close() { require(nc_close(std::exchange(id_, -1))); }

void NetcdfFile::require(int status) const {
  if (status == NC_NOERR) return;
  throw Error(ErrorCode::io_failure,
              std::string("cannot be written (") + nc_strerror(status) +
                  "); free the disk or choose another --out",
              {final_path_});
}

}  // namespace gaugeloom
