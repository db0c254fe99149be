#include "gaugeloom/checks/registry.hpp"

#include <array>

#include "gaugeloom/checks/blocked.hpp"
#include "gaugeloom/checks/calibration_drift.hpp"
#include "gaugeloom/checks/calibration_step.hpp"
#include "gaugeloom/checks/clock_offset.hpp"
#include "gaugeloom/checks/counter_dead.hpp"
#include "gaugeloom/checks/double_count.hpp"
#include "gaugeloom/checks/impossible_rate.hpp"
#include "gaugeloom/checks/not_testable.hpp"
#include "gaugeloom/checks/partly_blocked.hpp"
#include "gaugeloom/checks/phantom_rain.hpp"
#include "gaugeloom/checks/reads_high.hpp"
#include "gaugeloom/checks/reads_low.hpp"
#include "gaugeloom/checks/release_burst.hpp"
#include "gaugeloom/checks/stuck.hpp"

namespace gaugeloom {
namespace {

constexpr std::array kChecks = {
    CheckInfo{FindingKind::impossible_rate, "impossible_rate",
              "more rain than was ever measured on Earth, or than the gauge can count",
              find_impossible_rate, find_impossible_rate},
    CheckInfo{FindingKind::stuck, "stuck", "the same depth over and over", find_stuck,
              find_stuck_suspects},
    CheckInfo{FindingKind::double_count, "double_count", "every tip twice", find_double_count,
              find_double_count},
    CheckInfo{FindingKind::partly_blocked, "partly_blocked",
              "a trickle while the neighbours are wet", find_partly_blocked,
              find_shortfall_suspects},
    CheckInfo{FindingKind::blocked, "blocked", "not a tip while the neighbours are wet",
              find_blocked, find_blocked},
    CheckInfo{FindingKind::phantom_rain, "phantom_rain", "tips while nothing near is wet",
              find_phantom_rain, find_phantom_rain_suspects},
    CheckInfo{FindingKind::release_burst, "release_burst", "stored water let go at once",
              find_release_burst, nullptr},
    CheckInfo{FindingKind::counter_dead, "counter_dead", "the counter or its link, not the funnel",
              find_counter_dead, nullptr},
    CheckInfo{FindingKind::clock_offset, "clock_offset", "the right rain at the wrong time",
              find_clock_offset, nullptr},
    CheckInfo{FindingKind::reads_low, "reads_low", "less than its neighbours explain",
              find_reads_low, nullptr},
    CheckInfo{FindingKind::reads_high, "reads_high", "more than its neighbours explain",
              find_reads_high, nullptr},
    CheckInfo{FindingKind::calibration_step, "calibration_step",
              "its ratio to the neighbours jumped a little", find_calibration_step, nullptr},
    CheckInfo{FindingKind::calibration_drift, "calibration_drift",
              "its ratio to the neighbours crept", find_calibration_drift, nullptr},
    CheckInfo{FindingKind::not_testable, "not_testable", "nothing to hold it against",
              find_not_testable, nullptr},
};

}  // namespace

std::span<const CheckInfo> checks() { return kChecks; }

}  // namespace gaugeloom
