#pragma once
// What became of one planted fault.

#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/rain/storm_spells.hpp"
#include "gaugeloom/rehearse/injection.hpp"

namespace gaugeloom {

struct FaultOutcome {
  static constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

  InjectedFault fault;
  double rain_mm = 0;    // that truly fell at the gauge while it lasted
  double hidden_mm = 0;  // the most that the series with the fault fell short by at any time
  bool found = false;    // the rest tells of the first call, NaN or false without one
  FindingKind kind = FindingKind::not_testable;
  bool confirmed = false;              // by any finding of the fault, sooner or later
  bool named_right = false;            // likewise
  double hidden_at_call_mm = kNone;    // hidden when it was called
  double rain_at_call_mm = kNone;      // fallen when it was called
  double onset_error_mm = kNone;       // true rain between the beginning found and the true one
  std::size_t storms_to_call = 0;      // with at least 2 mm at the gauge, begun before the call
  double shift_error_minutes = kNone;  // of a clock shift that was named
  // The same by the plain rules: NaN where they do not call.
  double dry_sum_hidden_mm = kNone;
  double residual_hidden_mm = kNone;
  bool found_by_cusum = false;

  // Enough rain fell for it to be told: 10 mm hidden; where nothing is hidden, 40 mm fallen (10 mm
  // of a total that was held back); phantom tips and decoys always.
  bool is_telling() const;
};

// Whether two findings are the same fault, seen twice.
bool same_episode(const Finding& a, const Finding& b);

// The most that was hidden at any time within `over`: the largest sum of truth less injected from
// its beginning on, over steps where both are measured. What a funnel lets out later is hidden
// until then. Never falls as `over` grows at its end; 0 when nothing is hidden.
double hidden_mm(const RainTable& truth, const RainTable& injected, std::size_t gauge,
                 Interval over);

// Scores one fault.
//   truth, injected  the same part of the record without and with it
//   before           findings of `truth`: what they say at that gauge is not due to the fault
//   after            findings of `injected`
//   storms           of `truth`
// A finding belongs to the fault when it is of its gauge, is not among `before`, overlaps it and
// was called after its beginning and at most 2 days after its end. not_testable is no call.
// Cost: one pass over the steps of the fault.
FaultOutcome fault_outcome(const RainTable& truth, const RainTable& injected,
                           const InjectedFault& fault, std::span<const Finding> before,
                           std::span<const Finding> after, std::span<const StormSpell> storms);

}  // namespace gaugeloom
