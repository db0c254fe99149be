#pragma once
// Whether bytes are text: UTF-8 without control characters other than tab, CR and LF.
// Source: RFC 3629, section 4 (well-formed UTF-8).

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace gaugeloom {

// The offset of the first byte that does not belong to a text. One fast pass over plain ASCII.
std::optional<std::size_t> first_not_text(std::string_view bytes);

// A control character other than tab, CR and LF.
bool is_control(unsigned char c);

// "'abc'" for a message: shortened to 40 bytes, bytes that are not text replaced by '?'.
std::string quoted_for_message(std::string_view text);

}  // namespace gaugeloom
