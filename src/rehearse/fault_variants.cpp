#include "gaugeloom/rehearse/fault_variants.hpp"

#include <fmt/format.h>

#include <array>

namespace gaugeloom {
namespace {

using Finding = FindingKind;
constexpr std::array kBlock = {Finding::blocked, Finding::counter_dead};
constexpr std::array kPartial = {Finding::partly_blocked, Finding::blocked};
constexpr std::array kBurst = {Finding::release_burst, Finding::blocked};
constexpr std::array kHeldBack = {Finding::impossible_rate, Finding::release_burst,
                                  Finding::blocked, Finding::counter_dead};
constexpr std::array kOutageTotal = {Finding::release_burst};
constexpr std::array kLow = {Finding::reads_low, Finding::calibration_step,
                             Finding::calibration_drift};
constexpr std::array kHigh = {Finding::reads_high, Finding::calibration_step,
                              Finding::calibration_drift, Finding::double_count};
constexpr std::array kClock = {Finding::clock_offset};
constexpr std::array kPhantom = {Finding::phantom_rain};

using Kind = InjectedKind;
constexpr std::array kVariants = {
    FaultVariant{Kind::full_block, 0, "", 3, 60, true, kBlock},
    FaultVariant{Kind::partial_block, 0.5, "mm/h", 20, 60, false, kPartial},
    FaultVariant{Kind::partial_block, 1.5, "mm/h", 20, 60, false, kPartial},
    FaultVariant{Kind::partial_block, 4, "mm/h", 20, 60, false, kPartial},
    FaultVariant{Kind::release_burst, 50, "mm", 3, 20, false, kBurst},
    FaultVariant{Kind::stored_zeros, 0, "", 0.25, 10, false, kBlock},
    FaultVariant{Kind::held_back_total, 0, "", 1, 3, false, kHeldBack},
    FaultVariant{Kind::gain_step, -10, "%", 0, 0, false, kLow},
    FaultVariant{Kind::gain_step, -20, "%", 0, 0, false, kLow},
    FaultVariant{Kind::gain_step, 10, "%", 0, 0, false, kHigh},
    FaultVariant{Kind::gain_ramp, -20, "%", 0, 0, false, kLow},
    FaultVariant{Kind::double_count, 0, "", 20, 60, false, kHigh},
    FaultVariant{Kind::unit_slip, 27, "%", 0, 0, false, kHigh},
    FaultVariant{Kind::clock_shift, -15, "min", 30, 30, false, kClock},
    FaultVariant{Kind::clock_shift, 15, "min", 30, 30, false, kClock},
    FaultVariant{Kind::clock_shift, -60, "min", 30, 30, false, kClock},
    FaultVariant{Kind::clock_shift, 60, "min", 30, 30, false, kClock},
    FaultVariant{Kind::clock_shift, 720, "min", 30, 30, false, kClock},
    FaultVariant{Kind::phantom_tips, 5, "mm", 0.05, 0.15, false, kPhantom},
    FaultVariant{Kind::phantom_tips, 20, "mm", 0.05, 0.15, false, kPhantom},
    FaultVariant{Kind::swapped_gauges, 0, "", 0, 0, false, {}},
    FaultVariant{Kind::missed_shower, 0, "", 0.05, 0.2, false, {}},
    // New ones come last: what is drawn for a variant goes by its place.
    FaultVariant{Kind::bounce, 30, "%", 20, 60, false, kHigh},
    FaultVariant{Kind::outage_total, 0, "", 0.5, 5, false, kOutageTotal},
};

}  // namespace

std::string_view word(InjectedKind kind) {
  constexpr std::array<std::string_view, 15> kWords = {
      "full_block",  "partial_block", "release_burst",  "stored_zeros",  "held_back_total",
      "gain_step",   "gain_ramp",     "double_count",   "bounce",        "unit_slip",
      "clock_shift", "phantom_tips",  "swapped_gauges", "missed_shower", "outage_total"};
  return kWords[static_cast<std::size_t>(kind)];
}

bool FaultVariant::hides_rain() const {
  return kind == Kind::full_block || kind == Kind::partial_block || kind == Kind::release_burst ||
         kind == Kind::stored_zeros;
}

std::string FaultVariant::size_text() const {
  return unit.empty() ? std::string() : fmt::format("{} {}", size, unit);
}

std::span<const FaultVariant> fault_variants() { return kVariants; }

}  // namespace gaugeloom
