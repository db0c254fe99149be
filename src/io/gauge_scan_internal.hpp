#pragma once
// Finds the gauge of a plain row fast. Internal.

#include <cstdint>
#include <string>
#include <vector>

#include "io/rain_layout_internal.hpp"

namespace gaugeloom {

// What is read may lie up to kLongestField bytes beyond the row (LineBlock::kSlack).
class GaugeScan {
 public:
  static constexpr std::size_t kLongestField = 48;  // within LineBlock::kSlack

  explicit GaugeScan(const GaugeIds& ids);

  // For rows by time: the gauge whose id stands at `at` with a comma behind, which are passed over;
  // else kNoGauge. It is most often the one that followed the last one before.
  std::uint32_t scan(const char*& at);
  // Its row was taken.
  void follow(std::uint32_t gauge) { last_ = gauge; }

  // For rows in no order: the gauge whose id stands at `at`, up to a comma or the end of the row,
  // which is then the place of `at`; else kNoGauge. Ids of up to 7 bytes are found as one number.
  std::uint32_t field(const char*& at) const;

 private:
  struct Slot {
    std::uint64_t key = 0;  // the bytes of a short id; 0 = free
    std::uint32_t gauge = kNoGauge;
  };
  std::size_t slot_of(std::uint64_t key) const;

  const GaugeIds& ids_;
  std::vector<std::uint32_t> next_;  // what followed each gauge last time
  std::string text_;                 // the ids, each with a comma behind
  std::vector<std::size_t> ends_;
  std::uint32_t last_ = 0;
  std::vector<Slot> slots_;  // open addressing; a power of two, at most a quarter full
};

}  // namespace gaugeloom
