#include "io/depth_scan_internal.hpp"
#include "io/gauge_scan_internal.hpp"

namespace gaugeloom {

GaugeScan::GaugeScan(const GaugeIds& ids) : ids_(ids), next_(ids.count()), ends_(ids.count()) {
  for (std::uint32_t g = 0; g < ids.count(); ++g) {
    next_[g] = g + 1 == ids.count() ? 0 : g + 1;
    text_ += ids.id(g);
    text_ += ',';
    ends_[g] = text_.size();
  }
  text_.append(8, '\0');
  if (ids.count() > 0) last_ = static_cast<std::uint32_t>(ids.count()) - 1;
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
  const std::uint32_t gauge = find({at, length});
  if (gauge != kNoGauge) at += length + 1;
  return gauge;
}

std::uint32_t GaugeScan::find(std::string_view id) {
  if (next_.empty()) return kNoGauge;
  std::uint32_t& guess = next_[last_];
  if (ids_.id(guess) == id) return guess;
  const std::uint32_t gauge = ids_.find(id);
  if (gauge != kNoGauge) guess = gauge;
  return gauge;
}

}  // namespace gaugeloom
