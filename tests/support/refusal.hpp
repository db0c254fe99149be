#pragma once
// What a reader says when it refuses a file.

#include <string>
#include <string_view>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom::support {

// The message of the Error that `read` throws, from the name of the file on, or "accepted".
template <typename Read>
std::string refusal_of(std::string_view file, Read read) {
  try {
    read();
  } catch (const Error& error) {
    const std::string what = error.what();
    return what.substr(what.find(file));
  }
  return "accepted";
}

}  // namespace gaugeloom::support
