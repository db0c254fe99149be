#include "io/line_blocks_internal.hpp"

#include <algorithm>
#include <cstring>

#include "io/csv_fields_internal.hpp"

namespace gaugeloom {
namespace {

// Makes room for `bytes` and the slack, keeping the first `kept` bytes.
void reserve(LineBlock& block, std::size_t bytes, std::size_t kept) {
  if (block.capacity >= bytes) return;
  auto larger = std::make_unique_for_overwrite<char[]>(bytes + LineBlock::kSlack + 1);
  if (kept > 0) std::memcpy(larger.get(), block.buffer.get(), kept);
  std::memset(larger.get() + bytes, 0, LineBlock::kSlack + 1);
  block.buffer = std::move(larger);
  block.capacity = bytes;
}

}  // namespace

bool LineBlocks::next(LineBlock& block) {
  const std::scoped_lock lock(mutex_);
  if (ended_) return false;
  block.text = {};
  block.too_long = false;
  block.failure = nullptr;
  try {
    fill(block);
  } catch (...) {
    block.failure = std::current_exception();
    ended_ = true;
  }
  if (block.text.empty() && !block.too_long && !block.failure) return false;
  block.index = blocks_++;
  return true;
}

bool LineBlocks::ended() {
  const std::scoped_lock lock(mutex_);
  return ended_;
}

void LineBlocks::fill(LineBlock& block) {
  std::size_t size = carry_.size();
  reserve(block, std::max(size + block_bytes_, block_bytes_), 0);
  std::memcpy(block.buffer.get(), carry_.data(), size);
  std::size_t whole = 0;  // bytes up to and with the last newline
  while (whole == 0 && !ended_) {
    if (size == block.capacity) reserve(block, size + block_bytes_, size);
    const std::size_t got = source_.read({block.buffer.get() + size, block.capacity - size});
    ended_ = got < block.capacity - size;
    if (const void* last = got == 0 ? nullptr : ::memrchr(block.buffer.get() + size, '\n', got))
      whole = static_cast<std::size_t>(static_cast<const char*>(last) - block.buffer.get()) + 1;
    size += got;
    if (whole == 0 && size > kLongestLine) break;
  }
  const auto first_line = std::string_view(block.buffer.get(), size).find('\n');
  block.too_long = std::min(first_line, size) > kLongestLine;
  if (block.too_long) {
    ended_ = true;
    return;
  }
  if (ended_ && whole < size) {
    block.buffer[size] = '\n';
    whole = ++size;
  }
  carry_.assign(block.buffer.get() + whole, size - whole);
  block.text = {block.buffer.get(), whole};
}

}  // namespace gaugeloom
