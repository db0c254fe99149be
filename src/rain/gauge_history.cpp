#include "gaugeloom/rain/gauge_history.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kNamedGauges = 5;

bool holds(const Gauge& row, Instant step_end) {
  return (!row.opened || *row.opened < step_end) && (!row.closed || step_end <= *row.closed);
}

// Measured depths of a gauge by the row that held, and those without one.
struct Coverage {
  std::vector<std::size_t> depths;  // by row
  std::size_t unlisted = 0;
  Instant first_unlisted{};
};

Coverage cover(const RainTable& depths, std::size_t gauge, const std::vector<Gauge>& rows) {
  Coverage coverage{std::vector<std::size_t>(rows.size()), 0, {}};
  for (std::size_t step = 0; step < depths.step_count(); ++step) {
    if (!depths.is_measured(gauge, step)) continue;
    const Instant end = depths.axis().end(step);
    const auto row =
        std::find_if(rows.begin(), rows.end(), [&](const Gauge& one) { return holds(one, end); });
    if (row != rows.end()) {
      ++coverage.depths[static_cast<std::size_t>(row - rows.begin())];
    } else if (coverage.unlisted++ == 0) {
      coverage.first_unlisted = end;
    }
  }
  return coverage;
}

std::size_t chosen_row(const Coverage& coverage, const std::vector<Gauge>& rows,
                       const Interval& record) {
  std::size_t best = 0;
  for (std::size_t row = 1; row < rows.size(); ++row)
    if (coverage.depths[row] >= coverage.depths[best]) best = row;
  if (coverage.depths[best] > 0) return best;
  best = 0;  // the last row that opens before the record ends
  for (std::size_t row = 1; row < rows.size(); ++row)
    if (*rows[row].opened < record.to) best = row;
  return best;
}

std::string row_text(const Gauge& row, const Gauge& used, std::size_t depths) {
  const std::string from = row.opened ? "from " + format_utc(*row.opened) : "from its beginning";
  const std::string to = row.closed ? " to " + format_utc(*row.closed) : " on";
  return fmt::format("{}{} {:.2f} km from the used place, bucket {} mm ({} depths)", from, to,
                     distance_m(row.position, used.position) / 1000, row.bucket_mm, depths);
}

std::string change_text(const std::vector<Gauge>& rows, const Coverage& coverage,
                        std::size_t used) {
  std::string text = fmt::format("gauge {} was changed during the record: ", rows[used].id);
  for (std::size_t row = 0; row < rows.size(); ++row) {
    if (coverage.depths[row] == 0) continue;
    text += row_text(rows[row], rows[used], coverage.depths[row]);
    text += row == used ? ", used for the whole record; " : "; ";
  }
  return text + "for each place in its own time, cut the record there and run the parts apart";
}

// What was found over all gauges.
struct Found {
  std::size_t changed = 0;
  std::size_t unlisted_depths = 0;
  std::string first_unlisted;

  void add_unlisted(const Gauge& gauge, const Coverage& coverage) {
    if (coverage.unlisted == 0) return;
    if (unlisted_depths == 0)
      first_unlisted = fmt::format("gauge {} at {}", gauge.id, format_utc(coverage.first_unlisted));
    unlisted_depths += coverage.unlisted;
  }
};

void settle(Network& network, const GaugeHistory& history, const RainTable& depths, Found& found,
            std::vector<std::string>& notices) {
  const std::vector<Gauge>& rows = history.rows;
  const Coverage coverage = cover(depths, history.gauge, rows);
  const std::size_t used = chosen_row(coverage, rows, depths.axis().span());
  Gauge& gauge = network.gauges[history.gauge];
  gauge = rows[used];
  gauge.opened = rows.front().opened;
  gauge.closed = rows.back().closed;
  found.add_unlisted(gauge, coverage);
  const auto held = [](std::size_t count) { return count > 0; };
  if (std::count_if(coverage.depths.begin(), coverage.depths.end(), held) < 2) return;
  if (++found.changed <= kNamedGauges) notices.push_back(change_text(rows, coverage, used));
}

}  // namespace

void settle_histories(Network& network, const RainTable& depths,
                      std::vector<std::string>& notices) {
  GAUGELOOM_ASSERT(depths.gauge_count() == network.size());
  Found found;
  std::vector<bool> has_history(network.size());
  for (const GaugeHistory& history : network.histories) {
    has_history[history.gauge] = true;
    settle(network, history, depths, found, notices);
  }
  for (std::size_t g = 0; g < network.size(); ++g) {
    const Gauge& gauge = network.gauges[g];
    if (has_history[g] || (!gauge.opened && !gauge.closed)) continue;
    found.add_unlisted(gauge, cover(depths, g, {gauge}));
  }
  if (found.changed > kNamedGauges)
    notices.push_back(
        fmt::format("{} more gauges were changed during the record; each is used "
                    "with the row that covers most of its depths",
                    found.changed - kNamedGauges));
  if (found.unlisted_depths > 0)
    notices.push_back(
        fmt::format("depths of gauges that were not open, by the gauge list: {} (first: {}); "
                    "they are used: correct opened and closed, or the record",
                    found.unlisted_depths, found.first_unlisted));
}

}  // namespace gaugeloom
