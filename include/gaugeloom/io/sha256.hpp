#pragma once
// SHA-256 of a file or a text, as 64 hexadecimal digits. Source: FIPS 180-4.

#include <string>
#include <string_view>

namespace gaugeloom {

std::string sha256_of_file(const std::string& path);  // throws Error{io_failure} naming the file
std::string sha256_of_text(std::string_view bytes);

}  // namespace gaugeloom
