#include <fmt/format.h>

#include "io/row_fields_internal.hpp"

namespace gaugeloom {

std::span<const CsvField> RowFields::split(std::string_view line, int columns) {
  fields_.clear();
  line_.emplace(line);
  const auto wanted = static_cast<std::size_t>(columns);
  std::size_t count = 0;
  for (CsvField field; line_->next(field); ++count)
    if (count < wanted) fields_.push_back(field);
  if (!line_->problem().empty())
    throw RowFailure{ErrorCode::malformed_input, std::string(line_->problem()), line_->column()};
  if (count != wanted)
    throw RowFailure{ErrorCode::malformed_input,
                     fmt::format("this line has {} fields, the header has {}; make them the same",
                                 count, columns),
                     0};
  return fields_;
}

}  // namespace gaugeloom
