#include "fill/whole_tips_internal.hpp"

namespace gaugeloom::fill_internal {

void to_whole_tips(std::span<long> thousandths, long bucket, bool keep_total) {
  long fallen = 0;
  long tipped = 0;
  long* last_wet = nullptr;
  for (long& depth : thousandths) {
    if (depth > 0) last_wet = &depth;
    fallen += depth;
    const long tips = (fallen + bucket / 2) / bucket * bucket;
    depth = tips - tipped;
    tipped = tips;
  }
  if (!keep_total || last_wet == nullptr) return;
  long rest = fallen - tipped;
  if (rest >= 0) {
    *last_wet += rest;
    return;
  }
  // The last bucket tipped early: it holds less than a whole one.
  for (long* depth = last_wet; rest < 0; --depth) {
    const long taken = *depth < -rest ? *depth : -rest;
    *depth -= taken;
    rest += taken;
  }
}

}  // namespace gaugeloom::fill_internal
