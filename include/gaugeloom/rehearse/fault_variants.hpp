#pragma once
// The faults of a rehearsal, in the order of its table.

#include <span>
#include <string>
#include <string_view>

#include "gaugeloom/rain/finding.hpp"

namespace gaugeloom {

enum class InjectedKind {
  full_block,
  partial_block,
  release_burst,
  stored_zeros,
  held_back_total,
  gain_step,
  gain_ramp,
  double_count,
  bounce,
  unit_slip,
  clock_shift,
  phantom_tips,
  swapped_gauges,
  missed_shower,  // a decoy: nothing is wrong
  outage_total,
};
std::string_view word(InjectedKind kind);

struct FaultVariant {
  InjectedKind kind = InjectedKind::full_block;
  double size = 0;        // in `unit`
  std::string_view unit;  // empty where the kind has no size
  // How long it lasts; most_days 0 = from early in a part of the record to its end.
  double least_days = 0;
  double most_days = 0;
  bool everywhere = false;               // once at every gauge and part, not at a sample
  std::span<const FindingKind> names{};  // findings that name it rightly; empty: any does

  bool is_decoy() const { return kind == InjectedKind::missed_shower; }
  bool hides_rain() const;  // rain is lost for good
  bool lasts_to_the_end() const { return most_days == 0; }
  std::string size_text() const;  // "1.5 mm/h", "-20 %", ""
};

std::span<const FaultVariant> fault_variants();

}  // namespace gaugeloom
