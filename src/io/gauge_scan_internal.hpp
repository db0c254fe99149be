#pragma once
// Finds the gauge of a plain row fast: it is most often the one that followed the last one before.
// Internal.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "io/rain_layout_internal.hpp"

namespace gaugeloom {

class GaugeScan {
 public:
  static constexpr std::size_t kLongestField = 48;  // within LineBlock::kSlack

  explicit GaugeScan(const GaugeIds& ids);

  // The gauge whose id stands at `at` with a comma behind, which are passed over; else kNoGauge.
  std::uint32_t scan(const char*& at);
  // The gauge `id`, or kNoGauge.
  std::uint32_t find(std::string_view id);
  // Its row was taken.
  void follow(std::uint32_t gauge) { last_ = gauge; }

 private:
  const GaugeIds& ids_;
  std::vector<std::uint32_t> next_;  // what followed each gauge last time
  std::string text_;                 // the ids, each with a comma behind
  std::vector<std::size_t> ends_;
  std::uint32_t last_ = 0;
};

}  // namespace gaugeloom
