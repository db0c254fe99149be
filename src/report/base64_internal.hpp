#pragma once
// Bytes as text. Source: RFC 4648, section 4 (base64). Internal.

#include <string>
#include <string_view>

namespace gaugeloom {

std::string base64(std::string_view bytes);

}  // namespace gaugeloom
