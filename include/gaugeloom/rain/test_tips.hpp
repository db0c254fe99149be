#pragma once
// Test tips: what a gauge counts while somebody works at it is no rain.

#include <cstddef>
#include <span>

#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/rain/site_visit.hpp"

namespace gaugeloom {

struct TestTips {
  std::size_t steps = 0;   // held more than 0, now missing
  double depth_mm = 0;     // what they held
  std::size_t zeros = 0;   // beside a pour, now missing
  std::size_t totals = 0;  // accumulated totals with a pour in them, now left out
};

// Makes missing what the gauges cannot have measured during their visits: every depth above 0 whose
// step shares time with a visit; with a pour, the zeros too, and every accumulated total over such
// time. What they held is kept in record.refused; the visits join record.visits.
// Laws: (1) the order of the visits does not matter; (2) doing it twice changes nothing more in the
//       depths.
// Requires visits[i].gauge < record.depths.gauge_count(). Cost: the steps within the visits.
TestTips mask_test_tips(RainRecord& record, std::span<const SiteVisit> visits);

}  // namespace gaugeloom
