#pragma once
// A source of bytes cut into blocks of whole lines, for several threads.

#include <cstddef>
#include <exception>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>

#include "io/byte_source_internal.hpp"

namespace gaugeloom {

// One block. Every line of `text` ends with a newline (one is added at the end of the file where it
// is missing), and kSlack readable bytes follow it.
struct LineBlock {
  static constexpr std::size_t kSlack = 64;

  std::size_t index = 0;  // blocks count from 0
  std::string_view text;
  bool too_long = false;       // the first line is longer than kLongestLine; text is empty
  std::exception_ptr failure;  // reading failed after the earlier blocks; text is empty

  std::unique_ptr<char[]> buffer;
  std::size_t capacity = 0;
};

class LineBlocks {
 public:
  explicit LineBlocks(ByteSource& source, std::size_t block_bytes = std::size_t{2} << 20)
      : source_(source), block_bytes_(block_bytes) {}

  // Fills the next block, using the buffer it brings. False at the end. Safe from several threads.
  bool next(LineBlock& block);
  // Whether the end has been reached, so that further threads are not worth starting.
  bool ended();

 private:
  void fill(LineBlock& block);
  ByteSource& source_;
  std::size_t block_bytes_;
  std::mutex mutex_;
  std::string carry_;  // the beginning of a line whose end is not read yet
  std::size_t blocks_ = 0;
  bool ended_ = false;
};

}  // namespace gaugeloom
