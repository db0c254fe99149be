#pragma once
// The bytes of an input, one block after another: of a file, plain or gzip, or of a text in memory.

#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace gaugeloom {

class ByteSource {
 public:
  virtual ~ByteSource() = default;
  // Fills `out` as far as it can and returns the number of bytes; 0 only at the end.
  // Throws Error{io_failure} or Error{malformed_input} (damaged gzip) naming the file.
  virtual std::size_t read(std::span<char> out) = 0;
};

// A file as it is. Throws Error{io_failure} for what is not there, not readable, or a folder.
std::unique_ptr<ByteSource> open_raw_file(const std::string& path);
// A file or a text, decompressed when it begins with the two bytes of gzip.
std::unique_ptr<ByteSource> open_file(const std::string& path);
std::unique_ptr<ByteSource> open_text(std::string_view text, const std::string& name);

// Everything from `source`, at most `limit` bytes.
// Throws Error{malformed_input} naming `name` beyond the limit.
std::string read_all(ByteSource& source, std::size_t limit, const std::string& name);

}  // namespace gaugeloom
