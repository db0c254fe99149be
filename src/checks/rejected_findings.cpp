#include <algorithm>

#include "checks/rejected_findings_internal.hpp"

namespace gaugeloom {
namespace {

Interval span_of(const Finding& finding) {
  return {finding.from, finding.to.value_or(Instant::max())};
}

bool makes_doubtful(const Finding& finding) {
  return finding.kind != FindingKind::not_testable && !keeps_its_depths(finding.kind);
}

// What is left of `spans` outside `hole`.
std::vector<Interval> without(const std::vector<Interval>& spans, const Interval& hole) {
  std::vector<Interval> left;
  for (const Interval& span : spans) {
    const Interval before{span.from, std::min(span.to, hole.from)};
    const Interval after{std::max(span.from, hole.to), span.to};
    if (before.from < before.to) left.push_back(before);
    if (after.from < after.to) left.push_back(after);
  }
  return left;
}

}  // namespace

bool is_same(const Finding& a, const Finding& b) {
  return a.gauge == b.gauge && a.kind == b.kind && a.from == b.from;
}

void RejectedFindings::add(const Finding& finding, std::span<const Finding> all) {
  Rejected rejected{finding, {}};
  for (const Finding& other : all)
    if (overlap(finding, other) && !is_same(finding, other)) rejected.beside.push_back(other);
  rejected_.push_back(std::move(rejected));
}

std::vector<GaugeSpan> RejectedFindings::right_rain() const {
  std::vector<GaugeSpan> out;
  for (const Rejected& rejected : rejected_) {
    std::vector<Interval> spans = {span_of(rejected.finding)};
    for (const Finding& other : rejected.beside)
      if (makes_doubtful(other) && !is_rejected(other)) spans = without(spans, span_of(other));
    for (const Interval& span : spans) out.push_back({rejected.finding.gauge, span});
  }
  return out;
}

void RejectedFindings::take_out_of(std::vector<Finding>& findings) const {
  std::erase_if(findings, [&](const Finding& finding) {
    return std::ranges::any_of(rejected_, [&](const Rejected& one) { return takes(one, finding); });
  });
}

bool RejectedFindings::is_rejected(const Finding& finding) const {
  return std::ranges::any_of(rejected_,
                             [&](const Rejected& one) { return is_same(one.finding, finding); });
}

bool RejectedFindings::takes(const Rejected& rejected, const Finding& finding) {
  if (is_same(rejected.finding, finding)) return true;
  return finding.kind != FindingKind::not_testable && overlap(rejected.finding, finding) &&
         std::ranges::none_of(rejected.beside,
                              [&](const Finding& other) { return other.kind == finding.kind; });
}

}  // namespace gaugeloom
