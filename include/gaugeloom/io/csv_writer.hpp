#pragma once
// Tables as CSV with fixed decimals: UTF-8, comma, LF; quoted only where RFC 4180 asks for it.
// Source: RFC 4180 (quoting), RFC 1952 (gzip).

#include <initializer_list>
#include <memory>
#include <string>
#include <string_view>

#include "gaugeloom/io/atomic_file.hpp"

namespace gaugeloom {

// Formats rows into memory; several can be filled in parallel and written in order.
class CsvRows {
 public:
  CsvRows& text(std::string_view value);       // quoted where it must be
  CsvRows& fixed(double value, int decimals);  // NaN is an empty field (io/number_format.hpp)
  CsvRows& integer(long long value);
  CsvRows& raw(std::string_view value);  // known to need no quoting: times, words
  CsvRows& empty() { return raw({}); }
  void end_row();

  const std::string& bytes() const { return bytes_; }
  void clear();

 private:
  void separate();
  std::string bytes_;
  bool row_begun_ = false;
};

struct CsvWriterOptions {
  bool gzip =
      false;      // one gzip member per block of rows, no name and no time: same rows, same bytes
  int level = 6;  // of Deflate, 1 to 12
};

// Writes a header and rows to an AtomicFile; the caller commits that file after finish().
//
//   AtomicFile file("out/crossval.csv");
//   CsvWriter csv(file, {"time", "gauge"});
//   csv.row().raw(time).text(gauge).end_row();
//   csv.finish();
//   file.commit();
//
// Throws: Error{io_failure} naming the file.
class CsvWriter {
 public:
  CsvWriter(AtomicFile& file, std::initializer_list<std::string_view> header,
            CsvWriterOptions options = {});
  ~CsvWriter();

  // The rows being filled; written out as they grow, always at the end of a row.
  CsvRows& row();
  // Rows formatted elsewhere, after those of row().
  void write(const CsvRows& rows);
  void finish();

 private:
  void flush_rows();
  void write_block(std::string_view bytes);

  AtomicFile& file_;
  CsvWriterOptions options_;
  CsvRows rows_;
};

// `bytes` as one gzip member with a fixed header. Level 1 to 12.
std::string gzip_member(std::string_view bytes, int level = 6);

}  // namespace gaugeloom
