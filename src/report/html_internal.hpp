#pragma once
// HTML in which nothing from outside is ever markup: elements nest, texts and attributes are
// escaped. Source: WHATWG HTML, sections 13.1.2 (elements) and 13.3 (escaping). Internal.

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace gaugeloom {

// Text for HTML, in an element or in quotes: & < > " ' become references. Control characters and
// marks of direction are left out, white space becomes a space, and bytes that are no UTF-8 become
// U+FFFD.
void append_escaped(std::string& html, std::string_view text);

// A name for an id or a link: letters, digits, '.' and '-' stay, '_' becomes two, every other byte
// _XX. Law (a test): different texts have different names.
std::string anchor_name(std::string_view text);

class Html {
 public:
  // Name and value; the value is escaped. One without a value is left out.
  using Attributes = std::initializer_list<std::pair<std::string_view, std::string_view>>;

  Html& open(std::string_view name, Attributes attributes = {});
  Html& close();  // the innermost that is open
  // An element without content or end: input, meta, br.
  Html& empty(std::string_view name, Attributes attributes = {});
  Html& text(std::string_view text);
  // Opens, writes the text, closes.
  Html& element(std::string_view name, std::string_view text, Attributes attributes = {});
  // Trusted bytes: our own, never from an input.
  Html& raw(std::string_view html);
  // All of it. Requires: everything is closed.
  std::string take();

 private:
  void start(std::string_view name, Attributes attributes);

  std::string html_;
  std::vector<std::string> open_;
};

}  // namespace gaugeloom
