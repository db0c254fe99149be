#pragma once
// From findings and the growth of their scores to the evidence of each.

#include <span>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"
#include "gaugeloom/checks/finding_evidence.hpp"

namespace gaugeloom {

// A score that grew, and the finding it is of as its check made it: gauge, kind, beginning and
// score stay, whatever overlaps are settled.
struct GrownFinding {
  std::size_t gauge = 0;
  FindingKind kind = FindingKind::not_testable;
  Instant from;
  double score = 0;
  ScoreGrowth growth;
};

// One per finding, in their order; empty ones beyond context.options.most_evidence.
std::vector<FindingEvidence> finding_evidence(const CheckContext& context,
                                              std::span<const Finding> findings,
                                              std::span<const GrownFinding> grown);

}  // namespace gaugeloom
