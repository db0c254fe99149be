#include "gaugeloom/io/small_table_reader.hpp"

#include <gtest/gtest.h>

#include <functional>

#include "gaugeloom/time/iso8601.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

std::string refusal(const std::function<void()>& action) {
  try {
    action();
  } catch (const Error& error) {
    return error.what();
  }
  return "accepted";
}

std::string refusal(std::string_view text) {
  return refusal([&] { parse_small_table(text, "visits.csv"); });
}

TEST(SmallTable, ReadsFieldsByName) {
  const SmallTable table = parse_small_table(
      "\xEF\xBB\xBFgauge,from,note\r\nA, 2024-03-01T10:00+01:00 ,\"cleaned, \"\"twice\"\"\"\r\n\r\n"
      "B,,",
      "visits.csv");
  ASSERT_EQ(table.row_count(), 2U);
  EXPECT_EQ(table.text(0, table.required_column("note")), "cleaned, \"twice\"");
  EXPECT_EQ(format_utc(table.time(0, table.required_column("from"))), "2024-03-01T09:00:00Z");
  EXPECT_EQ(table.optional_time(1, 1), std::nullopt);
  EXPECT_EQ(table.line(1), 4);
  EXPECT_EQ(table.column("to"), std::nullopt);
}

TEST(SmallTable, NamesTheLineAndColumnOfABadField) {
  const SmallTable table =
      parse_small_table("gauge,factor,from\nA,\"1,02\",yesterday\n,inf,\n", "calibration.csv");
  EXPECT_EQ(refusal([&] { table.number(0, 1); }),
            "calibration.csv:2:3: factor '1,02' is not a finite number; write one with a point");
  EXPECT_EQ(refusal([&] { table.number(1, 1); }),
            "calibration.csv:3:2: factor 'inf' is not a finite number; write one with a point");
  EXPECT_EQ(refusal([&] { table.time(0, 2); }),
            "calibration.csv:2:10: from 'yesterday' is not a time; write it as 2021-03-04T10:00Z");
  EXPECT_EQ(refusal([&] { table.text(1, 0); }), "calibration.csv:3:1: gauge is empty; fill it in");
  EXPECT_EQ(refusal([&] { table.required_column("to"); }),
            "calibration.csv:1: there is no column 'to' (found 'gauge,factor,from'); add it, "
            "separated by commas");
}

TEST(SmallTable, RefusesWhatIsNoTable) {
  EXPECT_EQ(refusal(""), "visits.csv: is empty; it needs a header line");
  EXPECT_EQ(refusal("a,b,a\n"), "visits.csv:1:5: column 'a' stands twice; rename one");
  EXPECT_EQ(refusal("a,b\n1\n"),
            "visits.csv:2: this line has 1 fields, the header has 2; make them the same");
  EXPECT_EQ(refusal("a,b\n1,\"2\n3\"\n"),
            "visits.csv:2:3: a quote is opened and not closed on its line; close it");
  EXPECT_EQ(refusal(std::string("a,b\n1,\0\n", 8)),
            "visits.csv:2:3: this byte is not text; save the file as UTF-8");
  EXPECT_EQ(refusal("a\n" + std::string((16 << 20) + 1, 'x') + "\n"),
            "visits.csv:2: this line is longer than 16 MiB; split it");
  EXPECT_EQ(refusal(std::string(2 << 20, ',') + "\n"),
            "visits.csv:1: this line has more than 1048576 columns; split the file");
}

TEST(SmallTable, NamesAFileThatIsNotThere) {
  const support::TemporaryFolder folder;
  EXPECT_EQ(refusal([&] { read_small_table(folder / "none.csv"); }),
            (folder / "none.csv") +
                ": cannot be read (No such file or directory); check the path and its permissions");
}

}  // namespace
}  // namespace gaugeloom
