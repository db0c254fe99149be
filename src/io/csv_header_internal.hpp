#pragma once
// The names in the header of a long table, and which column they stand in. Internal.

#include <string>
#include <string_view>
#include <vector>

namespace gaugeloom {

inline constexpr int kNoColumn = -1;

class CsvHeader {
 public:
  struct Name {
    std::string text;
    int column = 1;  // in bytes
  };

  // Reads the header line of `file`; `kind` is what it should be: "a rain file".
  // Throws Error{malformed_input} for bytes that are not text, broken quotes, too many columns.
  CsvHeader(std::string_view line, const std::string& file, const std::string& kind);

  const std::vector<Name>& names() const { return names_; }
  int count() const { return static_cast<int>(names_.size()); }
  // The one column called `wanted`, or kNoColumn. Throws Error{malformed_input} when it is there
  // twice.
  int find(std::string_view wanted) const;
  // Throws Error{malformed_input} that says what was found.
  [[noreturn]] void refuse_without(std::string_view wanted, const std::string& advice) const;
  [[noreturn]] void refuse(const std::string& sentence, int column = 0) const;

 private:
  std::string listed() const;
  std::string file_;
  std::vector<Name> names_;
};

}  // namespace gaugeloom
