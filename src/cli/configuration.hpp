#pragma once
// The configuration file: TOML whose keys are the names of the flags.

#include <functional>
#include <string>
#include <vector>

#include "option_list.hpp"

namespace gaugeloom {

// Sets every spec that has no value yet from `file`. An array gives a repeatable option its values.
// A relative path is taken from the folder of the file. Keys for which `elsewhere` answers true are
// passed over. Throws Error with the file and line.
void read_configuration(const std::string& file, std::vector<OptionSpec>& specs,
                        const std::function<bool(const std::string&)>& elsewhere);

}  // namespace gaugeloom
