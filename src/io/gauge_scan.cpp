#include <bit>
#include <cstring>

#include "io/depth_scan_internal.hpp"
#include "io/gauge_scan_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::uint64_t kAllOnes = ~std::uint64_t{0};
constexpr std::uint64_t kEachByte = 0x0101010101010101U;

std::uint64_t eight_bytes(const char* at) {
  std::uint64_t bytes = 0;
  std::memcpy(&bytes, at, sizeof bytes);  // little-endian: the first byte is the lowest
  return bytes;
}

// The highest bit of each byte that equals `c`, right up to the lowest such byte.
// Source: the well-known test for a zero byte (common practice).
std::uint64_t bytes_equal_to(std::uint64_t bytes, char c) {
  const std::uint64_t differs = bytes ^ (kEachByte * static_cast<unsigned char>(c));
  return (differs - kEachByte) & ~differs & (kEachByte << 7);
}

}  // namespace

GaugeScan::GaugeScan(const GaugeIds& ids) : ids_(ids), next_(ids.count()), ends_(ids.count()) {
  for (std::uint32_t g = 0; g < ids.count(); ++g) {
    next_[g] = g + 1 == ids.count() ? 0 : g + 1;
    text_ += ids.id(g);
    text_ += ',';
    ends_[g] = text_.size();
  }
  text_.append(8, '\0');
  if (ids.count() > 0) last_ = static_cast<std::uint32_t>(ids.count()) - 1;
  slots_.resize(std::bit_ceil(4 * ids.count() + 1));
  for (std::uint32_t g = 0; g < ids.count(); ++g) {
    std::string id(ids.id(g));
    if (id.empty() || id.size() > 7) continue;
    id.resize(8);
    const std::uint64_t key = eight_bytes(id.data());
    Slot& slot = slots_[slot_of(key)];
    if (slot.key == 0) slot = {key, g};
  }
}

std::uint32_t GaugeScan::scan(const char*& at) {
  if (next_.empty()) return kNoGauge;
  const std::uint32_t guess = next_[last_];
  const std::size_t begin = guess == 0 ? 0 : ends_[guess - 1];
  const std::size_t guess_length = ends_[guess] - begin;
  if (guess_length <= kLongestField && same_bytes(at, text_.data() + begin, guess_length)) {
    at += guess_length;
    return guess;
  }
  std::size_t length = 0;
  while (length < kLongestField && at[length] != ',' && at[length] != '\n') ++length;
  if (at[length] != ',') return kNoGauge;
  const std::uint32_t gauge = ids_.find({at, length});
  if (gauge == kNoGauge) return kNoGauge;
  next_[last_] = gauge;
  at += length + 1;
  return gauge;
}

std::size_t GaugeScan::slot_of(std::uint64_t key) const {
  std::size_t slot = (key * 0x9E3779B97F4A7C15U >> 32) & (slots_.size() - 1);
  while (slots_[slot].key != key && slots_[slot].key != 0) slot = (slot + 1) & (slots_.size() - 1);
  return slot;
}

std::uint32_t GaugeScan::field(const char*& at) const {
  const std::uint64_t bytes = eight_bytes(at);
  const std::uint64_t ends =
      bytes_equal_to(bytes, ',') | bytes_equal_to(bytes, '\n') | bytes_equal_to(bytes, '\r');
  if (ends == 0) {
    std::size_t length = 8;
    while (length < kLongestField && at[length] != ',' && at[length] != '\n' && at[length] != '\r')
      ++length;
    const std::uint32_t gauge = ids_.find({at, length});
    at += length;
    return gauge;
  }
  const auto length = static_cast<std::size_t>(std::countr_zero(ends)) / 8;
  at += length;
  if (length == 0) return kNoGauge;
  return slots_[slot_of(bytes & kAllOnes >> (64 - 8 * length))].gauge;
}

}  // namespace gaugeloom
