#include "gaugeloom/checks/reviewed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "checks/rejected_findings_internal.hpp"
#include "checks/shifted_readings_internal.hpp"
#include "checks/verdict_internal.hpp"
#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 3> kOutcomeWords = {"applied", "stale", "not_found"};

std::string as_found(const Finding& finding) {
  return fmt::format("{}, score {:.2f}", word(finding.tier), finding.score);
}

std::string accepted(const Finding& finding) {
  if (finding.tier == Tier::confirmed) return "The checks had confirmed it too.";
  return fmt::format("It is confirmed by this decision; the checks made it {}.", as_found(finding));
}

constexpr std::string_view kOnlyAlone =
    " What was rejected leaves the checks no reason for it; it stands as it was found without "
    "that.";

std::string rejected(const Finding& finding) {
  return fmt::format(
      "It is not among the findings, and what was read stands; the checks made it "
      "{}.",
      as_found(finding));
}

std::string moved(const ShiftedReadings& done, double minutes) {
  std::string text = fmt::format("{} readings stand {:g} minutes {} now.", done.moved,
                                 std::abs(minutes), minutes > 0 ? "earlier" : "later");
  if (done.left_out > 0)
    text += fmt::format(
        " {} with {:.1f} mm met readings that stay, or left the record, and are "
        "left out.",
        done.left_out, done.left_out_mm);
  return text;
}

// The decisions of one run, and what becomes of them as the findings are known.
class Replay {
 public:
  Replay(const Network& network, const EvidenceHash& evidence, std::span<const Decision> decisions)
      : network_(network), evidence_(evidence) {
    for (const Decision& one : decisions)
      replayed_.push_back({one, DecisionOutcome::not_found, "Nothing was checked.", {}, {}});
    std::ranges::sort(replayed_, [&](const ReplayedDecision& a, const ReplayedDecision& b) {
      return std::tie(id_of(a.decision), a.decision.finding_id) <
             std::tie(id_of(b.decision), b.decision.finding_id);
    });
  }

  // Matches the shifts; whether any of them is to be made.
  bool match_shifts(const std::vector<Finding>& findings) {
    bool any = false;
    for (ReplayedDecision& one : replayed_) {
      if (one.decision.verdict != Verdict::shift) continue;
      match(one, findings);
      any = any || one.outcome == DecisionOutcome::applied;
    }
    return any;
  }

  // Returns the gauges of which readings were moved.
  std::vector<std::size_t> make_shifts(RainRecord& record) {
    std::vector<ReplayedDecision*> made;
    for (ReplayedDecision& one : replayed_)
      if (one.decision.verdict == Verdict::shift && one.outcome == DecisionOutcome::applied)
        made.push_back(&one);
    std::ranges::sort(made, [](const ReplayedDecision* a, const ReplayedDecision* b) {
      return std::tie(a->decision.gauge, a->decision.from) <
             std::tie(b->decision.gauge, b->decision.from);
    });
    std::vector<TimeShift> shifts;
    for (const ReplayedDecision* one : made) {
      shifts.push_back(shift_of(*one, record.depths.axis()));
      const bool follows =
          shifts.size() > 1 && shifts[shifts.size() - 2].gauge == one->decision.gauge;
      if (follows && shifts.back().steps.first < shifts[shifts.size() - 2].steps.last)
        throw Error(ErrorCode::inconsistent_input,
                    "this shift shares time with another one of its gauge; let the earlier one end "
                    "where the later one begins",
                    one->decision.written);
    }
    const auto done = shift_readings(record, shifts);
    for (std::size_t i = 0; i < made.size(); ++i)
      made[i]->why = moved(done[i], made[i]->decision.shift_minutes);
    std::vector<std::size_t> gauges;
    for (const TimeShift& shift : shifts) gauges.push_back(shift.gauge);
    return gauges;
  }

  // Matches all but the shifts that is not applied yet; whether more is rejected than before.
  bool match_rest(const std::vector<Finding>& findings) {
    bool more = false;
    for (ReplayedDecision& one : replayed_) {
      if (one.decision.verdict == Verdict::shift || one.outcome == DecisionOutcome::applied)
        continue;
      match(one, findings);
      if (one.outcome != DecisionOutcome::applied) continue;
      const bool is_reject = one.decision.verdict == Verdict::reject;
      one.why = is_reject ? rejected(*one.found) : accepted(*one.found);
      if (is_reject) rejected_.add(*one.found, findings);
      more = more || is_reject;
    }
    return more;
  }

  std::vector<GaugeSpan> right_rain() const { return rejected_.right_rain(); }

  // Those rejected go, those accepted are confirmed.
  void settle(std::vector<Finding>& findings) {
    rejected_.take_out_of(findings);
    for (ReplayedDecision& one : replayed_)
      if (one.decision.verdict == Verdict::accept && one.outcome == DecisionOutcome::applied)
        confirm(one, findings);
    sort_findings(findings);
  }

  std::vector<FindingReview> reviews(const std::vector<Finding>& findings) const {
    std::vector<FindingReview> out;
    for (const Finding& finding : findings) {
      FindingReview review;
      review.finding_id = finding_id(network_.gauges[finding.gauge].id, finding);
      review.evidence_hash = evidence_.of(finding);
      const auto by = std::ranges::find_if(replayed_, [&](const ReplayedDecision& one) {
        return one.outcome == DecisionOutcome::applied &&
               one.decision.finding_id == review.finding_id;
      });
      if (by != replayed_.end()) {
        review.decision = in_short(by->decision);
        review.accepted = by->decision.verdict == Verdict::accept;
      }
      out.push_back(std::move(review));
    }
    return out;
  }

  std::vector<ReplayedDecision> take() { return std::move(replayed_); }

 private:
  const std::string& id_of(const Decision& decision) const {
    return network_.gauges[decision.gauge].id;
  }

  static void confirm(ReplayedDecision& one, std::vector<Finding>& findings) {
    auto at = std::ranges::find_if(
        findings, [&](const Finding& finding) { return is_same(finding, *one.found); });
    if (at == findings.end()) {
      std::erase_if(findings, [&](const Finding& finding) {
        return finding.kind == one.found->kind && overlap(finding, *one.found);
      });
      at = findings.insert(findings.end(), *one.found);
      one.why += kOnlyAlone;
    }
    at->tier = Tier::confirmed;
  }

  // Finds what was decided about and says whether it still holds.
  void match(ReplayedDecision& one, const std::vector<Finding>& findings) const {
    const Decision& decision = one.decision;
    const auto found = std::ranges::find_if(findings, [&](const Finding& finding) {
      return finding.gauge == decision.gauge &&
             finding_id(id_of(decision), finding) == decision.finding_id;
    });
    if (found == findings.end()) {
      one = {decision,
             DecisionOutcome::not_found,
             "The checks do not find it now" + instead(decision, findings) + ".",
             {},
             {}};
      return;
    }
    one.found = *found;
    one.evidence_hash = evidence_.of(*found);
    const bool holds =
        decision.evidence_hash.empty() || evidence_.holds(*found, decision.evidence_hash);
    one.outcome = holds ? DecisionOutcome::applied : DecisionOutcome::stale;
    if (!holds)
      one.why =
          "The depths it was called by are others now than when it was decided; look again, "
          "and decide anew.";
  }

  // The finding that shares time with it, if there is one.
  std::string instead(const Decision& decision, const std::vector<Finding>& findings) const {
    for (const Finding& other : findings) {
      if (other.gauge != decision.gauge) continue;
      const bool before = other.to && *other.to <= decision.from;
      const bool after = decision.to && *decision.to <= other.from;
      if (before || after || other.kind == FindingKind::not_testable) continue;
      return fmt::format(", but {}, which shares time with it; decide about that one",
                         finding_id(id_of(decision), other));
    }
    return {};
  }

  static TimeShift shift_of(const ReplayedDecision& one, const StepAxis& axis) {
    const Decision& decision = one.decision;
    const double steps = decision.shift_minutes * 60 / static_cast<double>(axis.step().count());
    if (steps != std::round(steps))
      throw Error(ErrorCode::inconsistent_input,
                  fmt::format("a shift of {:g} minutes is no whole number of steps of {}; round it "
                              "to one",
                              decision.shift_minutes, format_duration(axis.step())),
                  decision.written);
    const auto to = decision.to ? decision.to : one.found->to;
    const Interval over{decision.from, to.value_or(axis.span().to)};
    return {decision.gauge, axis.within(over), static_cast<long>(steps)};
  }

  const Network& network_;
  const EvidenceHash& evidence_;
  std::vector<ReplayedDecision> replayed_;
  RejectedFindings rejected_;
};

// Moves readings of the record before its masks, and masks them then.
void shift_unmasked(Replay& replay, RainRecord& record, Unmasked unmasked) {
  record = std::move(unmasked.record);
  const std::vector<std::size_t> shifted = replay.make_shifts(record);
  unmasked.mask(record);
  const auto is_shifted = [&](std::size_t gauge) {
    return std::ranges::find(shifted, gauge) != shifted.end();
  };
  std::erase_if(record.refused, [&](const RefusedDepth& one) { return is_shifted(one.gauge); });
  for (std::size_t gauge = 0; gauge < record.depths.gauge_count(); ++gauge) {
    if (is_shifted(gauge)) continue;
    for (std::size_t step = 0; step < record.depths.step_count(); ++step)
      record.counted.set(gauge, step, record.depths.depth_mm(gauge, step));
  }
}

bool has_shift(std::span<const Decision> decisions) {
  return std::ranges::any_of(decisions,
                             [](const Decision& d) { return d.verdict == Verdict::shift; });
}

}  // namespace

std::string_view word(DecisionOutcome outcome) {
  return kOutcomeWords[static_cast<std::size_t>(outcome)];
}

ReviewedCheck check_reviewed(const Network& network, RainRecord& record,
                             std::span<const Decision> decisions, TextHash hash,
                             const CheckOptions& options, const LearnedNulls* frozen,
                             std::optional<Unmasked> unmasked) {
  const RainTable as_read = has_shift(decisions) ? record.depths : RainTable();
  const EvidenceHash evidence(network, has_shift(decisions) ? as_read : record.depths, hash);
  Replay replay(network, evidence, decisions);
  ReviewedCheck out;
  CheckOptions reviewed = options;
  const auto check = [&] {
    return frozen == nullptr ? check_network(network, record, reviewed)
                             : check_with_frozen_nulls(network, record, *frozen, reviewed);
  };
  bool again = false;  // as more is rejected than the check knew
  const auto settle = [&](std::vector<Finding>& findings) {
    again = replay.match_rest(findings);
    if (!again) replay.settle(findings);
    return !again;
  };
  reviewed.review = [&](std::vector<Finding>& findings) {
    out.moved = replay.match_shifts(findings);
    return !out.moved && settle(findings);
  };
  out.result = check();
  reviewed.review = settle;
  if (out.moved) {
    if (unmasked)
      shift_unmasked(replay, record, *std::move(unmasked));
    else
      replay.make_shifts(record);
    out.result = check();
  }
  while (again) {
    reviewed.right_rain = replay.right_rain();
    out.result = check();
  }
  out.reviews = replay.reviews(out.result.findings);
  out.decisions = replay.take();
  return out;
}

}  // namespace gaugeloom
