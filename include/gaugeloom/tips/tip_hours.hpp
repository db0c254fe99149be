#pragma once
// What the neighbours' tips lead one to expect of a gauge's: a plain, robust measure for choosing
// between its counters. Nothing is judged or corrected here.

#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/time/instant.hpp"
#include "gaugeloom/tips/gauge_facts.hpp"
#include "gaugeloom/tips/tip_record.hpp"

namespace gaugeloom {

class TipHours {
 public:
  // Takes its own counts; `facts` must live as long. Of a gauge with several counters a day's hours
  // are those of the one that has most tips in it.
  TipHours(const TipRecord& record, std::span<const GaugeFacts> facts, int threads = 0);

  // The median, over the nearest 8 gauges within 60 km, of their tips in the hours that touch
  // `over`, each times the usual ratio: the median, over stretches of 30 days in which both have 20
  // tips or more, of the tips of the gauge over those of the neighbour. NaN with fewer than 3 such
  // gauges that have 100 tips in the time common to both, as the gauge itself, and were alive in
  // these hours: between their first and last tip, in none of their outages.
  double expected_tips(std::size_t gauge, const Interval& over) const;

 private:
  struct Hour {
    std::int64_t hour;         // since 1970
    std::uint64_t tips_until;  // of all hours through this one
  };
  struct GaugeHours {
    std::vector<Hour> wet;  // hours with tips, by time
    std::uint64_t through(std::int64_t hour) const;
    std::uint64_t within(std::int64_t first, std::int64_t last) const;  // both included
  };
  static GaugeHours hours_of(const GaugeTips& tips);
  double usual_ratio(const GaugeHours& own, const GaugeHours& other) const;

  std::span<const GaugeFacts> facts_;
  std::vector<GaugeHours> gauges_;
  struct Beside {
    std::size_t gauge;
    double ratio;
  };
  std::vector<std::vector<Beside>> beside_;  // of gauges with several counters, nearest first
};

}  // namespace gaugeloom
