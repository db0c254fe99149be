#include "gaugeloom/io/findings_writer.hpp"

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

std::string ids_of(std::span<const std::size_t> rows, const Network& network) {
  std::string text;
  for (const std::size_t row : rows) {
    if (!text.empty()) text += ';';
    text += network.gauges[row].id;
  }
  return text;
}

}  // namespace

void write_findings(AtomicFile& file, std::span<const Finding> findings, const Network& network,
                    std::span<const FindingReview> reviews) {
  GAUGELOOM_ASSERT(reviews.empty() || reviews.size() == findings.size());
  CsvWriter csv(file, {"finding_id", "gauge", "from", "to", "called", "finding", "tier", "score",
                       "observed_mm", "expected_mm", "neighbours", "reason", "innocent_explanation",
                       "evidence_hash", "decision"});
  for (std::size_t i = 0; i < findings.size(); ++i) {
    const Finding& finding = findings[i];
    const FindingReview review = reviews.empty() ? FindingReview() : reviews[i];
    const std::string& id = network.gauges[finding.gauge].id;
    csv.row()
        .text(finding_id(id, finding))
        .text(id)
        .raw(format_utc(finding.from))
        .raw(finding.to ? format_utc(*finding.to) : "")
        .raw(format_utc(finding.called))
        .raw(word(finding.kind))
        .raw(word(finding.tier))
        .fixed(finding.score, 2)
        .fixed(finding.observed_mm, 3)
        .fixed(finding.expected_mm, 3)
        .text(ids_of(finding.neighbours, network))
        .text(finding.reason)
        .text(finding.innocent_explanation)
        .raw(review.evidence_hash)
        .text(review.decision)
        .end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
