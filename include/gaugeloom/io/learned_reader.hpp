#pragma once
// Reads back from a run.json (io/run_record.hpp) what a check learned.

#include <string>
#include <string_view>

#include "gaugeloom/checks/null_values.hpp"

namespace gaugeloom {

// Numbers come back bit for bit; what else stands in the file plays no part.
// Throws: Error{io_failure} when the file cannot be read; Error{malformed_input} when it is no
//         JSON, holds nothing learned or something else where that should be, or was written in
//         another form. checks/null_values.hpp says what it may hold.
NullValues read_learned(const std::string& path);
// The same of a text in memory; `name` stands for the file in messages.
NullValues parse_learned(std::string_view text, const std::string& name);

}  // namespace gaugeloom
