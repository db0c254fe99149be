#pragma once
// A netCDF-4 file being written; every refusal of the library becomes an Error.

#include <netcdf.h>

#include <span>
#include <string>
#include <vector>

namespace gaugeloom {

class NetcdfFile {
 public:
  // `path` is created; messages name `final_path`.
  NetcdfFile(const std::string& path, std::string final_path);
  ~NetcdfFile();
  NetcdfFile(const NetcdfFile&) = delete;
  NetcdfFile& operator=(const NetcdfFile&) = delete;

  int dimension(const std::string& name, std::size_t length);
  int variable(const std::string& name, nc_type type, const std::vector<int>& dimensions);
  void attribute(int variable, const std::string& name, const std::string& text);
  void attribute(int variable, const std::string& name, std::span<const signed char> bytes);
  // Chunked and compressed, missing as the library's own fill value; before end_definitions().
  void compress(int variable, const std::vector<std::size_t>& chunk);
  void fill_value(int variable, float value);
  void end_definitions();

  using Corner = std::vector<std::size_t>;
  void put(int variable, const Corner& first, const Corner& count, const float* values);
  void put(int variable, const Corner& first, const Corner& count, const double* values);
  void put(int variable, const Corner& first, const Corner& count, const int* values);
  void put(int variable, const Corner& first, const Corner& count, const char* text);
  void put(int variable, const Corner& first, const Corner& count, const signed char* bytes);
  void close();

 private:
  void require(int status) const;
  std::string final_path_;
  int id_ = -1;
};

}  // namespace gaugeloom
