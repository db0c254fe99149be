#pragma once
// The one exception the library throws: a request that cannot be met.
// Odd data are values, never exceptions; our own bugs are asserts (core/assert.hpp).

#include <stdexcept>
#include <string>

namespace gaugeloom {

enum class ErrorCode {
  invalid_option,      // an option breaks its documented range
  malformed_input,     // a file does not follow its format
  inconsistent_input,  // well formed, but contradicts itself (two gauges, one id)
  unsupported_crs,     // no usable transformation to a metric CRS
  io_failure,          // the system or GDAL refused
};

// Where in an input. Lines and columns count from 1; 0 means the whole file or the whole line.
struct InputPos {
  std::string file;
  long line = 0;
  int column = 0;
};

class Error : public std::runtime_error {
 public:
  // `sentence` says what was found and what to do; what() puts the position before it:
  // "rain.csv:1204:3: ...".
  Error(ErrorCode code, const std::string& sentence, InputPos pos = {});

  ErrorCode code() const noexcept { return code_; }
  const InputPos& pos() const noexcept { return pos_; }

 private:
  ErrorCode code_;
  InputPos pos_;
};

}  // namespace gaugeloom
