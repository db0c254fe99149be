#include "gaugeloom/checks/consistency.hpp"

#include <algorithm>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/expect/combined_evidence.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastTellingMm = 0.05;
constexpr double kLowBound = 0.05;

// What one window of the gauge says.
struct Said {
  StepAxis::Range over;
  double p_low = 0.5;
  double p_high = 0.5;
};

// Of one kind, in order of time; only windows that speak.
struct SaidByKind {
  WindowKind kind;
  std::vector<Said> windows;
};

bool speaks(const JudgedWindow& window) {
  return window.usable_share >= kLeastWindowShare && window.neighbours >= kLeastNeighbours &&
         window.expected_mm >= kLeastTellingMm;
}

class GaugeRows {
 public:
  GaugeRows(const JudgedKinds& windows, const DurationLaws& laws, std::size_t gauge)
      : windows_(windows), laws_(laws), gauge_(gauge) {}

  std::vector<ConsistencyRow> made(const std::vector<bool>& telling_storms) {
    std::vector<ConsistencyRow> rows;
    for (const JudgedKind& judged : windows_) {
      if (!laws_.knows(judged.kind)) continue;
      std::vector<Said> said;
      for (std::size_t w = 0; w < judged.windows.count(); ++w) {
        const JudgedWindow window = judged.windows.at(gauge_, w);
        const HealthyReading healthy = reading(judged.kind, window);
        const bool listed =
            judged.kind == WindowKind::storm ? telling_storms[w] : judged.kind == WindowKind::month;
        if (listed) add_row(judged, w, window, healthy, rows);
        if (speaks(window))
          said.push_back({judged.windows.range(w), healthy.low(window.observed_mm),
                          healthy.high(window.observed_mm)});
      }
      said_.push_back({judged.kind, std::move(said)});
    }
    return rows;
  }

 private:
  HealthyReading reading(WindowKind kind, const JudgedWindow& window) const {
    return laws_.at(kind).reading(windows_.front().windows.network().gauges[gauge_], gauge_,
                                  window);
  }

  void add_row(const JudgedKind& judged, std::size_t w, const JudgedWindow& window,
               const HealthyReading& healthy, std::vector<ConsistencyRow>& rows) const {
    if (!(window.usable_share > 0) || window.neighbours < kLeastNeighbours) return;
    ConsistencyRow row;
    row.gauge = gauge_;
    row.window = judged.kind;
    row.over = judged.windows.over(w);
    row.observed_mm = window.observed_mm;
    row.expected_mm = window.expected_mm;
    row.low_mm = healthy.quantile_mm(kLowBound);
    row.high_mm = healthy.quantile_mm(1 - kLowBound);
    row.p_low = healthy.low(window.observed_mm);
    row.p_high = healthy.high(window.observed_mm);
    row.neighbours = window.neighbours;
    row.share_measured = window.usable_share;
    combine(judged.windows.range(w), row);
    rows.push_back(row);
  }

  // The window itself and the shorter ones that touch it.
  void combine(const StepAxis::Range& over, ConsistencyRow& row) const {
    std::vector<WeightedProbability> low = {{row.p_low, 1}};
    std::vector<WeightedProbability> high = {{row.p_high, 1}};
    std::vector<WindowKind> kinds = {row.window};
    for (const SaidByKind& said : said_) {
      const auto first =
          std::partition_point(said.windows.begin(), said.windows.end(),
                               [&](const Said& s) { return s.over.last <= over.first; });
      const auto last = std::partition_point(
          first, said.windows.end(), [&](const Said& s) { return s.over.first < over.last; });
      const double weight = 1 / static_cast<double>(std::max<std::ptrdiff_t>(1, last - first));
      for (auto s = first; s != last; ++s) {
        low.push_back({s->p_low, weight});
        high.push_back({s->p_high, weight});
        kinds.push_back(said.kind);
      }
    }
    const CombinedEvidence as_low = combined_evidence(low);
    const CombinedEvidence as_high = combined_evidence(high);
    const CombinedEvidence& found = as_low.probability <= as_high.probability ? as_low : as_high;
    row.combined_p = std::min(1.0, 2 * found.probability);
    row.driven_by = kinds[found.strongest];
  }

  const JudgedKinds& windows_;
  const DurationLaws& laws_;
  std::size_t gauge_;
  std::vector<SaidByKind> said_;  // of the kinds so far
};

// Which storms brought enough rain over the network.
std::vector<bool> telling_storms(const JudgedKinds& windows) {
  const auto storms = std::find_if(windows.begin(), windows.end(), [](const JudgedKind& judged) {
    return judged.kind == WindowKind::storm;
  });
  if (storms == windows.end()) return {};
  std::vector<bool> telling;
  for (std::size_t w = 0; w < storms->windows.count(); ++w)
    telling.push_back(storms->windows.mean_observed_mm(w) >= kLeastStormMm);
  return telling;
}

}  // namespace

std::vector<ConsistencyRow> consistency_rows(const JudgedKinds& windows, const DurationLaws& laws,
                                             int threads) {
  if (windows.empty()) return {};
  const std::vector<bool> telling = telling_storms(windows);
  std::vector<std::vector<ConsistencyRow>> of(windows.front().windows.gauges());
  parallel_for(of.size(), threads, [&](std::size_t gauge) {
    of[gauge] = GaugeRows(windows, laws, gauge).made(telling);
  });
  std::vector<ConsistencyRow> rows;
  for (const auto& gauge : of) rows.insert(rows.end(), gauge.begin(), gauge.end());
  return rows;
}

}  // namespace gaugeloom
