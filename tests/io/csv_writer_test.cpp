#include "gaugeloom/io/csv_writer.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "io/byte_source_internal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::read_file;
using support::TemporaryFolder;

TEST(CsvRows, QuotesOnlyWhereItMust) {
  CsvRows rows;
  rows.text("plain")
      .text("a,b")
      .text("say \"no\"")
      .text("two\nlines")
      .text(" edge")
      .text("edge\t")
      .end_row();
  EXPECT_EQ(rows.bytes(), "plain,\"a,b\",\"say \"\"no\"\"\",\"two\nlines\",\" edge\",\"edge\t\"\n");
}

TEST(CsvRows, LeavesMissingNumbersEmpty) {
  CsvRows rows;
  rows.fixed(std::nan(""), 3).fixed(1.25, 1).empty().integer(-7).end_row();
  rows.empty().end_row();
  EXPECT_EQ(rows.bytes(), ",1.3,,-7\n\n");
}

TEST(CsvWriter, WritesRowsInOrder) {
  const TemporaryFolder folder;
  AtomicFile file(folder / "a.csv");
  CsvWriter csv(file, {"time", "gauge"});
  csv.row().raw("t0").text("A").end_row();
  CsvRows rows;
  rows.raw("t1").text("B").end_row();
  csv.write(rows);
  csv.row().raw("t2").text("C").end_row();
  csv.finish();
  file.commit();
  EXPECT_EQ(read_file(folder / "a.csv"), "time,gauge\nt0,A\nt1,B\nt2,C\n");
}

TEST(CsvWriter, WritesTheSameGzipBytesEveryTime) {
  const TemporaryFolder folder;
  const auto write = [&](const std::string& name) {
    AtomicFile file(folder / name);
    CsvWriter csv(file, {"number"}, {.gzip = true});
    for (int i = 0; i < 300000; ++i) csv.row().integer(i).end_row();  // several members
    csv.finish();
    file.commit();
    return read_file(folder / name);
  };
  const std::string first = write("a.csv.gz");
  EXPECT_EQ(first, write("b.csv.gz"));
  EXPECT_EQ(first.substr(0, 8), std::string("\x1f\x8b\x08\0\0\0\0\0", 8));  // no name, no time
  std::string want = "number\n";
  for (int i = 0; i < 300000; ++i) want += std::to_string(i) + "\n";
  EXPECT_EQ(read_all(*open_text(first, "a"), std::size_t{1} << 30, "a"), want);
}

}  // namespace
}  // namespace gaugeloom
