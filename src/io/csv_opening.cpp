#include "io/csv_opening_internal.hpp"

#include <cpl_vsi.h>
#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <cctype>
#include <string_view>

#include "gaugeloom/core/error.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLookedAt = 64 << 10;

struct Opening {
  std::string_view begins;
  const char* what;
};
// First bytes of what people give in place of a CSV. Source: the formats' own specifications, from
// memory.
constexpr Opening kOpenings[] = {
    {"PK\x03\x04", "a spreadsheet or a zip archive"},
    {"\xD0\xCF\x11\xE0", "an old spreadsheet or document"},
    {"\x1F\x8B", "compressed by gzip"},
    {"SQLite format 3", "a GeoPackage or another database"},
    {"%PDF-", "a PDF"},
    {"\xFF\xFE", "text in UTF-16"},
    {"\xFE\xFF", "text in UTF-16"},
    {"{", "JSON"},
    {"<", "a web page or XML"},
};

std::string first_bytes(const std::string& source) {
  VSIStatBufL status;
  if (VSIStatL(source.c_str(), &status) != 0 || !VSI_ISREG(status.st_mode)) return "";
  VSILFILE* file = VSIFOpenL(source.c_str(), "rb");
  if (file == nullptr) return "";
  std::string bytes(kLookedAt, '\0');
  bytes.resize(VSIFReadL(bytes.data(), 1, bytes.size(), file));
  VSIFCloseL(file);
  return bytes;
}

// Control characters; a file in another encoding than UTF-8 is left to its rows.
std::size_t first_control(std::string_view bytes) {
  return static_cast<std::size_t>(std::find_if(bytes.begin(), bytes.end(), is_control) -
                                  bytes.begin());
}

[[noreturn]] void refuse(const std::string& sentence, const InputPos& pos) {
  throw Error(ErrorCode::malformed_input, sentence, pos);
}

void refuse_control(const std::string& source, std::string_view bytes, std::size_t at) {
  const std::string_view before = bytes.substr(0, at);
  const std::size_t line_begin = before.rfind('\n') + 1;  // 0 where there is none
  refuse("this byte is not text; a CSV is text in UTF-8, and other formats need their own name",
         {source, 1 + static_cast<long>(std::count(before.begin(), before.end(), '\n')),
          static_cast<int>(at - line_begin) + 1});
}

// " (it begins with '<html>')", where that can be read.
std::string beginning(std::string_view first_line) {
  if (first_control(first_line) < first_line.size()) return "";
  return fmt::format(" (it begins with {})", quoted_for_message(first_line));
}

}  // namespace

bool is_named_csv(const std::string& source) {
  std::string end = source.size() < 4 ? "" : source.substr(source.size() - 4);
  for (char& c : end) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return end == ".csv" || end == ".tsv";
}

void require_csv_opening(const std::string& source) {
  if (!is_named_csv(source)) return;
  const std::string bytes = first_bytes(source);
  std::string_view text = bytes;
  if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
  text.remove_prefix(std::min(text.find_first_not_of(" \t\r\n"), text.size()));
  if (text.empty()) return;
  const std::string_view first_line = text.substr(0, text.find_first_of("\r\n"));
  for (const Opening& opening : kOpenings)
    if (text.substr(0, opening.begins.size()) == opening.begins)
      refuse(fmt::format("this is named like a CSV but is {}{}; give the table itself, as CSV in "
                         "UTF-8 or under the name of its own format",
                         opening.what, beginning(first_line)),
             {source});
  if (const std::size_t at = first_control(bytes); at < bytes.size())
    refuse_control(source, bytes, at);
  if (first_line.find_first_of(",;\t|") == std::string_view::npos)
    refuse(fmt::format("this is no table: its first line, {}, names no columns; it must be like "
                       "gauge,lon,lat with commas, semicolons or tabs",
                       quoted_for_message(first_line)),
           {source, 1, 0});
}

}  // namespace gaugeloom
