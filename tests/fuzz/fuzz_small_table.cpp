// Any bytes as a small table: read or refused with an Error; what was read is written and reads
// back to the same fields.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/small_table_reader.hpp"

namespace {

using namespace gaugeloom;  // NOLINT: one short program

std::string written(const SmallTable& table) {
  CsvRows rows;
  for (const std::string& name : table.header()) rows.text(name);
  rows.end_row();
  for (std::size_t r = 0; r < table.row_count(); ++r) {
    for (std::size_t c = 0; c < table.header().size(); ++c) rows.text(table.at(r, c));
    rows.end_row();
  }
  return rows.bytes();
}

void use_fields(const SmallTable& table) {
  for (std::size_t r = 0; r < table.row_count(); ++r)
    for (std::size_t c = 0; c < table.header().size(); ++c) {
      try {
        table.optional_number(r, c);
      } catch (const Error&) {
      }
      try {
        table.optional_time(r, c);
      } catch (const Error&) {
      }
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  try {
    const std::string_view text(reinterpret_cast<const char*>(bytes), size);
    const SmallTable table = parse_small_table(text, "fuzz.csv");
    use_fields(table);
    if (table.header().size() == 1) return 0;  // an empty field alone is a blank line
    if (table.header()[0].starts_with("\xEF\xBB\xBF")) return 0;  // a second byte order mark
    const SmallTable again = parse_small_table(written(table), "again.csv");
    if (again.header() != table.header() || again.row_count() != table.row_count()) std::abort();
    for (std::size_t r = 0; r < table.row_count(); ++r)
      for (std::size_t c = 0; c < table.header().size(); ++c)
        if (again.at(r, c) != table.at(r, c)) std::abort();
  } catch (const Error& error) {
    if (error.what()[0] == '\0') std::abort();
  }
  return 0;
}
