#include "gaugeloom/io/csv_writer.hpp"

#include <libdeflate.h>

#include <memory>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/number_format.hpp"
#include "io/csv_fields_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kBlockBytes = std::size_t{1} << 20;

struct CompressorDeleter {
  void operator()(libdeflate_compressor* c) const { libdeflate_free_compressor(c); }
};

}  // namespace

CsvRows& CsvRows::text(std::string_view value) {
  separate();
  const bool plain = trimmed(value) == value;  // a reader takes blanks and tabs around a field away
  if (value.find_first_of(",\"\r\n") == std::string_view::npos && plain) {
    bytes_ += value;
    return *this;
  }
  bytes_ += '"';
  for (const char c : value) {
    if (c == '"') bytes_ += '"';
    bytes_ += c;
  }
  bytes_ += '"';
  return *this;
}

CsvRows& CsvRows::fixed(double value, int decimals) {
  separate();
  append_fixed(bytes_, value, decimals);
  return *this;
}

CsvRows& CsvRows::integer(long long value) {
  separate();
  append_integer(bytes_, value);
  return *this;
}

CsvRows& CsvRows::raw(std::string_view value) {
  separate();
  bytes_ += value;
  return *this;
}

void CsvRows::end_row() {
  bytes_ += '\n';
  row_begun_ = false;
}

void CsvRows::clear() {
  bytes_.clear();
  row_begun_ = false;
}

void CsvRows::separate() {
  if (row_begun_) bytes_ += ',';
  row_begun_ = true;
}

CsvWriter::CsvWriter(AtomicFile& file, std::initializer_list<std::string_view> header,
                     CsvWriterOptions options)
    : file_(file), options_(options) {
  for (const std::string_view name : header) rows_.text(name);
  if (header.size() > 0) rows_.end_row();
}

CsvWriter::~CsvWriter() = default;

CsvRows& CsvWriter::row() {
  if (rows_.bytes().size() >= kBlockBytes) flush_rows();
  return rows_;
}

void CsvWriter::write(const CsvRows& rows) {
  flush_rows();
  write_block(rows.bytes());
}

void CsvWriter::finish() {
  flush_rows();
  file_.finish();
}

void CsvWriter::flush_rows() {
  write_block(rows_.bytes());
  rows_.clear();
}

void CsvWriter::write_block(std::string_view bytes) {
  if (bytes.empty()) return;
  if (options_.gzip)
    file_.write(gzip_member(bytes, options_.level));
  else
    file_.write(bytes);
}

std::string gzip_member(std::string_view bytes, int level) {
  GAUGELOOM_ASSERT(level >= 1 && level <= 12);
  const std::unique_ptr<libdeflate_compressor, CompressorDeleter> compressor(
      libdeflate_alloc_compressor(level));
  if (!compressor) throw Error(ErrorCode::io_failure, "no memory to compress; free some");
  std::string member(libdeflate_gzip_compress_bound(compressor.get(), bytes.size()), '\0');
  member.resize(libdeflate_gzip_compress(compressor.get(), bytes.data(), bytes.size(),
                                         member.data(), member.size()));
  return member;
}

}  // namespace gaugeloom
