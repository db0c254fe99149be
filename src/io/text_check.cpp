#include "io/text_check_internal.hpp"

#include <algorithm>
#include <cstdint>

namespace gaugeloom {
namespace {

// Plain ASCII text; written so that it compiles to vector instructions.
bool all_plain(std::string_view bytes) {
  std::uint8_t odd = 0;
  for (const char c : bytes) {
    const auto u = static_cast<std::uint8_t>(c);
    const bool printed = static_cast<std::uint8_t>(u - 0x20) < 0x5F;
    const bool space = (u == '\n') | (u == '\r') | (u == '\t');
    odd = static_cast<std::uint8_t>(odd | static_cast<std::uint8_t>(!(printed | space)));
  }
  return odd == 0;
}

// The length of the well-formed UTF-8 sequence at the front, 0 when there is none.
std::size_t sequence_length(std::string_view rest) {
  const auto at = [&](std::size_t i) { return static_cast<unsigned char>(rest[i]); };
  const unsigned first = at(0);
  std::size_t length = 0;
  unsigned low = 0x80;
  unsigned high = 0xBF;
  if (first >= 0xC2 && first <= 0xDF) length = 2;
  if (first >= 0xE0 && first <= 0xEF) length = 3;
  if (first >= 0xF0 && first <= 0xF4) length = 4;
  if (first == 0xE0) low = 0xA0;
  if (first == 0xED) high = 0x9F;
  if (first == 0xF0) low = 0x90;
  if (first == 0xF4) high = 0x8F;
  if (length == 0 || rest.size() < length || at(1) < low || at(1) > high) return 0;
  for (std::size_t i = 2; i < length; ++i)
    if ((at(i) & 0xC0U) != 0x80U) return 0;
  return length;
}

}  // namespace

bool is_control(unsigned char c) {
  return (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F;
}

std::optional<std::size_t> first_not_text(std::string_view bytes) {
  if (all_plain(bytes)) return std::nullopt;
  for (std::size_t i = 0; i < bytes.size();) {
    const auto c = static_cast<unsigned char>(bytes[i]);
    if (is_control(c)) return i;
    if (c < 0x80) {
      ++i;
      continue;
    }
    const std::size_t length = sequence_length(bytes.substr(i));
    if (length == 0) return i;
    i += length;
  }
  return std::nullopt;
}

std::string quoted_for_message(std::string_view text) {
  constexpr std::size_t kLongest = 40;
  std::size_t length = std::min(text.size(), kLongest);
  while (length < text.size() && length > 0 &&
         (static_cast<unsigned char>(text[length]) & 0xC0U) == 0x80U)
    --length;
  std::string shown(text.substr(0, length));
  for (auto odd = first_not_text(shown); odd; odd = first_not_text(shown)) shown[*odd] = '?';
  std::replace_if(
      shown.begin(), shown.end(), [](char c) { return c == '\n' || c == '\r'; }, '?');
  return "'" + shown + (length < text.size() ? "...'" : "'");
}

}  // namespace gaugeloom
