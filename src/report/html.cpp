#include <algorithm>

#include "gaugeloom/core/assert.hpp"
#include "io/lettering_internal.hpp"
#include "report/html_internal.hpp"

namespace gaugeloom {
namespace {

bool is_plain(char c) { return c >= 0x20 && c < 0x7F; }

// Nothing for what stands for itself.
std::string_view reference_of(char32_t c) {
  switch (c) {
    case U'&':
      return "&amp;";
    case U'<':
      return "&lt;";
    case U'>':
      return "&gt;";
    case U'"':
      return "&quot;";
    case U'\'':
      return "&#39;";
    default:
      return {};
  }
}

void append_utf8(std::string& out, char32_t c) {
  const auto put = [&out](char32_t bits) { out += static_cast<char>(bits); };
  const auto rest = [&](int shift) { put(0x80U | ((c >> shift) & 0x3FU)); };
  if (c < 0x80) return put(c);
  if (c < 0x800) {
    put(0xC0U | (c >> 6));
  } else if (c < 0x10000) {
    put(0xE0U | (c >> 12));
    rest(6);
  } else {
    put(0xF0U | (c >> 18));
    rest(12);
    rest(6);
  }
  rest(0);
}

void append_character(std::string& html, char32_t c) {
  if (const std::string_view reference = reference_of(c); !reference.empty())
    html += reference;
  else
    append_utf8(html, c);
}

}  // namespace

void append_escaped(std::string& html, std::string_view text) {
  if (std::all_of(text.begin(), text.end(), is_plain)) {
    for (const char c : text) append_character(html, static_cast<char32_t>(c));
    return;
  }
  for (const char32_t c : shown_characters(text)) append_character(html, c);
}

std::string anchor_name(std::string_view text) {
  constexpr std::string_view kDigits = "0123456789ABCDEF";
  std::string name;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-' ||
        c == '.')
      name += c;
    else if (c == '_')
      name += "__";
    else
      (name += '_').append({kDigits[byte >> 4U], kDigits[byte & 15U]});
  }
  return name;
}

void Html::start(std::string_view name, Attributes attributes) {
  html_.append("<").append(name);
  for (const auto& [key, value] : attributes) {
    if (value.empty()) continue;
    html_.append(" ").append(key).append("=\"");
    append_escaped(html_, value);
    html_ += '"';
  }
  html_ += '>';
}

Html& Html::open(std::string_view name, Attributes attributes) {
  start(name, attributes);
  open_.emplace_back(name);
  return *this;
}

Html& Html::close() {
  GAUGELOOM_ASSERT(!open_.empty());
  html_.append("</").append(open_.back()).append(">\n");
  open_.pop_back();
  return *this;
}

Html& Html::empty(std::string_view name, Attributes attributes) {
  start(name, attributes);
  return *this;
}

Html& Html::text(std::string_view text) {
  append_escaped(html_, text);
  return *this;
}

Html& Html::element(std::string_view name, std::string_view text, Attributes attributes) {
  start(name, attributes);
  append_escaped(html_, text);
  html_.append("</").append(name).append(">");
  return *this;
}

Html& Html::raw(std::string_view html) {
  html_ += html;
  return *this;
}

std::string Html::take() {
  GAUGELOOM_ASSERT(open_.empty());
  return std::move(html_);
}

}  // namespace gaugeloom
