#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_OUTLINE_H

#include <algorithm>
#include <array>

#include "gaugeloom/core/error.hpp"
#include "io/lettering_internal.hpp"

namespace gaugeloom {
namespace {

constexpr char32_t kReplacement = 0xFFFD;
constexpr char32_t kEllipsis = 0x2026;

// Reads one character and moves `at` behind it (RFC 3629); one byte where it is none.
char32_t next_character(std::string_view utf8, std::size_t& at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(utf8[i]); };
  const unsigned char first = byte(at++);
  if (first < 0x80) return first;
  const int more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : first >= 0xC2 ? 1 : 0;
  if (more == 0 || first > 0xF4 || at + static_cast<std::size_t>(more) > utf8.size())
    return kReplacement;
  char32_t character = first & (0x3FU >> more);
  for (int i = 0; i < more; ++i) {
    const unsigned char next = byte(at + static_cast<std::size_t>(i));
    if ((next & 0xC0U) != 0x80) return kReplacement;
    character = character << 6U | (next & 0x3FU);
  }
  constexpr std::array<char32_t, 4> kLeast = {0, 0x80, 0x800, 0x10000};
  if (character < kLeast[static_cast<std::size_t>(more)] || character > 0x10FFFF ||
      (character >= 0xD800 && character <= 0xDFFF))
    return kReplacement;
  at += static_cast<std::size_t>(more);
  return character;
}

bool between(char32_t character, char32_t first, char32_t last) {
  return character >= first && character <= last;
}

bool is_space(char32_t c) {
  return c == ' ' || between(c, '\t', '\r') || c == 0x85 || c == 0x2028 || c == 0x2029;
}

bool is_invisible(char32_t c) {
  return c < 0x20 || between(c, 0x7F, 0x9F) || c == 0xAD || between(c, 0x200B, 0x200F) ||
         between(c, 0x202A, 0x202E) || between(c, 0x2060, 0x206F) || between(c, 0xFE00, 0xFE0F) ||
         c == 0xFEFF;
}

// Appends what FreeType tells of an outline, scaled.
struct Pen {
  std::vector<OutlinePart>& parts;
  double x_origin = 0;
  double scale = 1;
  double x = 0, y = 0;  // where the pen is

  void add(OutlinePart::Kind kind, std::array<FT_Vector, 3> points, std::size_t count) {
    OutlinePart part{kind, {}, {}};
    for (std::size_t i = 0; i < count; ++i) {
      part.x[i] = x_origin + scale * static_cast<double>(points[i].x);
      part.y[i] = -scale * static_cast<double>(points[i].y);
    }
    put(part, count - 1);
  }
  void put(const OutlinePart& part, std::size_t last) {
    parts.push_back(part);
    x = part.x[last];
    y = part.y[last];
  }
  // A quadratic curve as a cubic one.
  void conic(const FT_Vector& handle, const FT_Vector& to) {
    const double hx = x_origin + scale * static_cast<double>(handle.x);
    const double hy = -scale * static_cast<double>(handle.y);
    const double tx = x_origin + scale * static_cast<double>(to.x);
    const double ty = -scale * static_cast<double>(to.y);
    put({OutlinePart::Kind::curve,
         {x + 2 * (hx - x) / 3, tx + 2 * (hx - tx) / 3, tx},
         {y + 2 * (hy - y) / 3, ty + 2 * (hy - ty) / 3, ty}},
        2);
  }
};

int move_to(const FT_Vector* to, void* pen) {
  static_cast<Pen*>(pen)->add(OutlinePart::Kind::move, {*to}, 1);
  return 0;
}
int line_to(const FT_Vector* to, void* pen) {
  static_cast<Pen*>(pen)->add(OutlinePart::Kind::line, {*to}, 1);
  return 0;
}
int conic_to(const FT_Vector* handle, const FT_Vector* to, void* pen) {
  static_cast<Pen*>(pen)->conic(*handle, *to);
  return 0;
}
int cubic_to(const FT_Vector* one, const FT_Vector* two, const FT_Vector* to, void* pen) {
  static_cast<Pen*>(pen)->add(OutlinePart::Kind::curve, {*one, *two, *to}, 3);
  return 0;
}

}  // namespace

std::u32string shown_characters(std::string_view utf8) {
  std::u32string shown;
  for (std::size_t at = 0; at < utf8.size();) {
    const char32_t character = next_character(utf8, at);
    if (is_space(character))
      shown += U' ';
    else if (!is_invisible(character))
      shown += character;
  }
  return shown;
}

struct Lettering::Faces {
  FT_Library library = nullptr;
  std::array<FT_Face, 2> faces{};

  Faces() {
    if (FT_Init_FreeType(&library) != 0) fail();
    for (const Weight weight : {Weight::regular, Weight::bold}) {
      const auto font = embedded_font(weight);
      if (FT_New_Memory_Face(library, font.data(), static_cast<FT_Long>(font.size()), 0,
                             &faces[static_cast<std::size_t>(weight)]) != 0)
        fail();
    }
  }
  ~Faces() { FT_Done_FreeType(library); }
  Faces(const Faces&) = delete;
  Faces& operator=(const Faces&) = delete;

  [[noreturn]] void fail() {
    FT_Done_FreeType(library);
    throw Error(ErrorCode::io_failure, "the letters of the picture cannot be loaded; free memory");
  }

  // Loads the glyph of a character in units of the font; its slot holds until the next.
  FT_GlyphSlot glyph(char32_t character, Weight weight) const {
    const FT_Face face = faces[static_cast<std::size_t>(weight)];
    FT_UInt index = FT_Get_Char_Index(face, character);
    if (index == 0) index = FT_Get_Char_Index(face, kReplacement);
    return FT_Load_Glyph(face, index, FT_LOAD_NO_SCALE) == 0 ? face->glyph : nullptr;
  }
  double scale(const TextStyle& style) const {
    return style.size / faces[static_cast<std::size_t>(style.weight)]->units_per_EM;
  }
};

Lettering::Lettering() : faces_(std::make_unique<Faces>()) {}
Lettering::~Lettering() = default;
Lettering::Lettering(Lettering&&) noexcept = default;
Lettering& Lettering::operator=(Lettering&&) noexcept = default;

double Lettering::width(const std::u32string& text, const TextStyle& style) const {
  double units = 0;
  for (const char32_t character : text)
    if (const FT_GlyphSlot slot = faces_->glyph(character, style.weight))
      units += static_cast<double>(slot->advance.x);
  return units * faces_->scale(style);
}

std::u32string Lettering::fitted(const std::u32string& text, const TextStyle& style,
                                 double width_limit) const {
  if (width(text, style) <= width_limit) return text;
  const double room = width_limit - width({kEllipsis}, style);
  std::u32string cut;
  double used = 0;
  for (const char32_t character : text) {
    used += width({character}, style);
    if (used > room) break;
    cut += character;
  }
  return cut + kEllipsis;
}

std::vector<std::u32string> Lettering::lines(const std::u32string& text, const TextStyle& style,
                                             double width_limit) const {
  std::vector<std::u32string> lines;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(U' ', at), text.size());
    const std::u32string word = fitted(text.substr(at, end - at), style, width_limit);
    at = end + 1;
    if (word.empty()) continue;
    if (!lines.empty() && width(lines.back() + U' ' + word, style) <= width_limit)
      lines.back() += U' ' + word;
    else
      lines.push_back(word);
  }
  return lines;
}

std::vector<OutlinePart> Lettering::outlines(const std::u32string& text,
                                             const TextStyle& style) const {
  std::vector<OutlinePart> parts;
  Pen pen{parts, 0, faces_->scale(style)};
  constexpr FT_Outline_Funcs kSteps{move_to, line_to, conic_to, cubic_to, 0, 0};
  for (const char32_t character : text) {
    const FT_GlyphSlot slot = faces_->glyph(character, style.weight);
    if (!slot) continue;
    FT_Outline_Decompose(&slot->outline, &kSteps, &pen);
    pen.x_origin += pen.scale * static_cast<double>(slot->advance.x);
  }
  return parts;
}

}  // namespace gaugeloom
