#pragma once
// Text as outlines: which letters, how wide, broken into lines. Lengths are pixels; y grows
// downwards, 0 is the base line. Internal.

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "io/embedded_font_internal.hpp"

namespace gaugeloom {

struct TextStyle {
  double size = 28;  // of the em
  Weight weight = Weight::regular;
};

// A piece of an outline: its last point, and for a curve (cubic) its two handles before that.
struct OutlinePart {
  enum class Kind { move, line, curve } kind = Kind::move;
  double x[3] = {};
  double y[3] = {};
};

// Characters of UTF-8 that can be shown: control characters, marks of direction and joiners are
// left out, white space becomes a space, and bytes that are no UTF-8 become U+FFFD.
std::u32string shown_characters(std::string_view utf8);

// Letters stand one after the other from left to right, as stored: scripts that join letters or run
// from the right are legible at best. A character that the font lacks is shown as U+FFFD.
class Lettering {
 public:
  Lettering();  // throws Error{io_failure} when there is no memory
  ~Lettering();
  Lettering(Lettering&&) noexcept;
  Lettering& operator=(Lettering&&) noexcept;

  double width(const std::u32string& text, const TextStyle& style) const;
  // The text, or as much of its beginning as fits with an ellipsis.
  std::u32string fitted(const std::u32string& text, const TextStyle& style, double width) const;
  // Broken at spaces; a word that does not fit is cut with an ellipsis. No line for no text.
  std::vector<std::u32string> lines(const std::u32string& text, const TextStyle& style,
                                    double width) const;
  // Closed outlines, from the origin.
  std::vector<OutlinePart> outlines(const std::u32string& text, const TextStyle& style) const;

 private:
  struct Faces;
  std::unique_ptr<Faces> faces_;
};

}  // namespace gaugeloom
