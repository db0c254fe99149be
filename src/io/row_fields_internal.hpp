#pragma once
// One row of a large table cut into fields, and what stops its block. Internal.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "io/csv_fields_internal.hpp"

namespace gaugeloom {

// Thrown within a block; the line is added where it is caught.
struct RowFailure {
  ErrorCode code;
  std::string sentence;
  int column;
};

// What stopped a block.
struct RowProblem {
  ErrorCode code = ErrorCode::malformed_input;
  std::string sentence;
  long line = 0;  // from 1, within the block
  int column = 0;
};

class RowFields {
 public:
  // The fields of `line`, as many as the header has; they live until the next call.
  // Throws RowFailure for broken quotes and for another number of fields.
  std::span<const CsvField> split(std::string_view line, int columns);

 private:
  std::optional<CsvLine> line_;
  std::vector<CsvField> fields_;
};

}  // namespace gaugeloom
