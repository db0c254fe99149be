#include "gaugeloom/checks/finding_evidence.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

#include "checks/finding_evidence_internal.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kLeastMargin{48};
constexpr std::chrono::hours kMostMargin{30 * 24};
constexpr double kLeastShare = 2.0 / 3;  // as gathered_depths
constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();

// Sums over bars, and how many values of each are known.
struct Bars {
  std::vector<double> sum_mm;
  std::vector<double> share;  // counts until they are shared out

  explicit Bars(std::size_t count) : sum_mm(count, kNothing), share(count, 0.0) {}

  void add(std::size_t bar, double value_mm) {
    if (std::isnan(value_mm)) return;
    if (share[bar] == 0) sum_mm[bar] = 0;
    sum_mm[bar] += value_mm;
    share[bar] += 1;
  }
  void share_out(double values_per_bar) {
    for (double& s : share) s = std::min(1.0, s / values_per_bar);
  }
};

// Windows [first, last) of context.hours in bars of `per_bar`.
struct Frame {
  std::size_t first = 0;
  std::size_t last = 0;
  std::size_t per_bar = 1;

  std::size_t bars() const { return (last - first + per_bar - 1) / per_bar; }
  std::size_t bar_of(std::size_t hour) const { return (hour - first) / per_bar; }
};

Frame frame_of(const CheckContext& context, const Finding& finding, const ScoreGrowth& growth) {
  const StepAxis& axis = context.hours.axis();
  const Interval record = axis.span();
  Instant end = finding.to.value_or(record.to);
  const Duration margin = std::clamp<Duration>((end - finding.from) / 3, kLeastMargin, kMostMargin);
  end = std::max(end, finding.called);
  Instant begin = finding.from;
  if (!growth.points.empty()) {
    begin = std::min(begin, growth.points.front().time);
    end = std::max(end, growth.points.back().time);
  }
  const auto range = axis.touching({begin - margin, end + margin});
  Frame frame{range.first, range.last, 1};
  if (frame.last <= frame.first) return frame;
  frame.per_bar = (frame.last - frame.first + kMostEvidenceBars - 1) / kMostEvidenceBars;
  frame.last = std::min(frame.first + frame.bars() * frame.per_bar, axis.count());
  return frame;
}

// What a gauge read, from its steps: each belongs to the window that it begins in.
Bars read_bars(const CheckContext& context, const Frame& frame, std::size_t gauge) {
  const StepAxis& steps = context.steps.axis();
  const StepAxis& hours = context.hours.axis();
  Bars bars(frame.bars());
  const auto range = steps.touching({hours.begin(frame.first), hours.end(frame.last - 1)});
  for (std::size_t i = range.first; i < range.last; ++i) {
    if (steps.begin(i) < hours.begin(frame.first)) continue;
    const auto since = (steps.begin(i) - hours.begin(0)) / hours.step();
    bars.add(frame.bar_of(static_cast<std::size_t>(since)), context.steps.depth_mm(gauge, i));
  }
  const double steps_per_hour =
      static_cast<double>(hours.step().count()) / static_cast<double>(steps.step().count());
  bars.share_out(steps_per_hour * static_cast<double>(frame.per_bar));
  return bars;
}

Bars expected_bars(const CheckContext& context, const Frame& frame, std::size_t gauge) {
  Bars bars(frame.bars());
  for (std::size_t hour = frame.first; hour < frame.last; ++hour)
    bars.add(frame.bar_of(hour), context.expected.depth_at(gauge, hour));
  bars.share_out(static_cast<double>(frame.per_bar));
  return bars;
}

// As gathered windows hold it.
std::vector<double> scaled_up(Bars bars) {
  for (std::size_t i = 0; i < bars.share.size(); ++i) {
    if (bars.share[i] < kLeastShare) bars.sum_mm[i] = kNothing;
    if (bars.share[i] < 1) bars.sum_mm[i] /= bars.share[i];
  }
  return std::move(bars.sum_mm);
}

void add_compared(const CheckContext& context, const Frame& frame, std::size_t gauge,
                  FindingEvidence& out) {
  Bars own(frame.bars()), expected(frame.bars());
  for (std::size_t hour = frame.first; hour < frame.last; ++hour) {
    const double read_mm = context.hours.depth_mm(gauge, hour);
    const double expected_mm = context.expected.depth_at(gauge, hour);
    if (std::isnan(read_mm) || std::isnan(expected_mm)) continue;
    own.add(frame.bar_of(hour), read_mm);
    expected.add(frame.bar_of(hour), expected_mm);
  }
  out.own_compared_mm = std::move(own.sum_mm);
  out.expected_compared_mm = std::move(expected.sum_mm);
}

FindingEvidence evidence_of(const CheckContext& context, const Finding& finding,
                            const ScoreGrowth& growth) {
  const Frame frame = frame_of(context, finding, growth);
  FindingEvidence out;
  out.score = growth;
  if (frame.last <= frame.first) return out;
  const StepAxis& axis = context.hours.axis();
  out.begin = axis.begin(frame.first);
  out.bar = axis.step() * static_cast<long>(frame.per_bar);
  Bars own = read_bars(context, frame, finding.gauge);
  out.own_mm = std::move(own.sum_mm);
  out.own_share = std::move(own.share);
  Bars expected = expected_bars(context, frame, finding.gauge);
  out.expected_mm = std::move(expected.sum_mm);
  out.expected_share = std::move(expected.share);
  add_compared(context, frame, finding.gauge, out);
  const std::size_t count = std::min(kMostEvidenceNeighbours, finding.neighbours.size());
  out.neighbours.assign(finding.neighbours.begin(),
                        finding.neighbours.begin() + static_cast<std::ptrdiff_t>(count));
  for (const std::size_t n : out.neighbours)
    out.neighbours_mm.push_back(scaled_up(read_bars(context, frame, n)));
  return out;
}

// Those to be looked at first.
std::vector<std::size_t> chosen(const CheckContext& context, std::span<const Finding> findings) {
  std::vector<std::size_t> order(findings.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto rank = [&](std::size_t i) {
    const Finding& f = findings[i];
    return std::make_tuple(f.kind == FindingKind::not_testable, f.to.has_value(),
                           f.tier == Tier::provisional, -f.called.time_since_epoch(),
                           std::string_view(context.network.gauges[f.gauge].id), f.from, f.kind);
  };
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return rank(a) < rank(b); });
  order.resize(std::min(order.size(), context.options.most_evidence));
  return order;
}

ScoreGrowth growth_of(const Finding& finding, std::span<const GrownFinding> grown) {
  const auto found = std::find_if(grown.begin(), grown.end(), [&](const GrownFinding& g) {
    return g.gauge == finding.gauge && g.kind == finding.kind && g.from == finding.from &&
           g.score == finding.score;
  });
  return found == grown.end() ? ScoreGrowth{} : found->growth;
}

}  // namespace

std::vector<FindingEvidence> finding_evidence(const CheckContext& context,
                                              std::span<const Finding> findings,
                                              std::span<const GrownFinding> grown) {
  std::vector<FindingEvidence> out(findings.size());
  const std::vector<std::size_t> those = chosen(context, findings);
  parallel_for(those.size(), context.options.threads, [&](std::size_t i) {
    const Finding& finding = findings[those[i]];
    out[those[i]] = evidence_of(context, finding, growth_of(finding, grown));
  });
  return out;
}

}  // namespace gaugeloom
