#include "gaugeloom/checks/finding_changes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <tuple>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 9> kChangeWords = {"new",         "begins_anew", "ended",
                                                          "lasts_again", "surer",       "weaker",
                                                          "decided",     "asked_again", "gone"};

bool share_time(const ToldFinding& a, const ToldFinding& b) {
  return a.gauge == b.gauge && a.kind == b.kind && (!a.to || b.from < *a.to) &&
         (!b.to || a.from < *b.to);
}

// By finding_id. Of several that share one, the first.
using ById = std::map<std::string, const ToldFinding*>;

ById by_id(const std::vector<ToldFinding>& findings) {
  ById out;
  for (const ToldFinding& one : findings) out.emplace(one.finding_id, &one);
  return out;
}

ById by_id(const std::vector<SettledFinding>& settled) {
  ById out;
  for (const SettledFinding& one : settled) out.emplace(one.finding.finding_id, &one.finding);
  return out;
}

const ToldFinding* find(const ById& in, const std::string& id) {
  const auto found = in.find(id);
  return found == in.end() ? nullptr : found->second;
}

class Comparison {
 public:
  Comparison(const Told& last, const Told& now)
      : last_(by_id(last.findings)),
        last_settled_(by_id(last.settled)),
        now_(by_id(now.findings)),
        now_settled_(by_id(now.settled)) {
    for (const SettledFinding& one : now.settled)
      reason_.emplace(one.finding.finding_id, one.reason);
  }

  std::vector<FindingChange> changes() {
    for (const auto& [id, one] : now_) compare(*one);
    for (const auto& [id, one] : now_settled_) compare_settled(*one);
    for (const auto& [id, one] : last_)
      if (!is_known(id) && !renamed_.contains(id))
        add(*one, Change::gone, "The checks do not find it any more.");
    std::ranges::sort(changes_, [](const Row& a, const Row& b) {
      return std::tie(a.change.gauge, a.from, a.change.kind, a.change.change, a.change.finding_id) <
             std::tie(b.change.gauge, b.from, b.change.kind, b.change.change, b.change.finding_id);
    });
    std::vector<FindingChange> out;
    for (Row& row : changes_) out.push_back(std::move(row.change));
    return out;
  }

 private:
  struct Row {
    FindingChange change;
    Instant from;
  };

  void add(const ToldFinding& one, Change change, std::string sentence) {
    changes_.push_back(
        {{one.finding_id, one.gauge, one.kind, change, std::move(sentence)}, one.from});
  }

  bool is_known(const std::string& id) const {
    return now_.contains(id) || now_settled_.contains(id);
  }

  void compare(const ToldFinding& one) {
    if (const ToldFinding* before = find(last_, one.finding_id)) {
      compare(*before, one);
    } else if (const ToldFinding* settled = find(last_settled_, one.finding_id)) {
      add(one, Change::asked_again,
          fmt::format("It had been {}, which no longer holds; decide anew.", settled->decision));
    } else if (const ToldFinding* other = other_beginning(one)) {
      renamed_.insert(other->finding_id);
      add(one, Change::begins_anew,
          fmt::format("It was told as beginning at {} ({}).", format_utc(other->from),
                      other->finding_id));
      compare(*other, one);
    } else {
      add(one, Change::new_finding,
          fmt::format("A new finding, {}, {}.", word(one.tier),
                      one.to ? "ended at " + format_utc(*one.to) : std::string("and lasting")));
      if (!one.decision.empty()) add(one, Change::decided, decided(one));
    }
  }

  void compare(const ToldFinding& before, const ToldFinding& now) {
    if (!before.to && now.to)
      add(now, Change::ended, fmt::format("It ended at {}.", format_utc(*now.to)));
    if (before.to && !now.to)
      add(now, Change::lasts_again,
          fmt::format("It was told as ended at {}, and lasts.", format_utc(*before.to)));
    if (before.tier == Tier::provisional && now.tier == Tier::confirmed)
      add(now, Change::surer, "It was provisional, and is confirmed now.");
    if (before.tier == Tier::confirmed && now.tier == Tier::provisional)
      add(now, Change::weaker, "It was confirmed, and is provisional now.");
    if (before.decision == now.decision) return;
    if (now.decision.empty())
      add(now, Change::asked_again,
          fmt::format("It had been {}, which no longer holds; decide anew.", before.decision));
    else
      add(now, Change::decided, decided(now));
  }

  void compare_settled(const ToldFinding& one) {
    const ToldFinding* settled = find(last_settled_, one.finding_id);
    if (settled == nullptr || settled->decision != one.decision)
      add(one, Change::decided, decided(one));
  }

  std::string decided(const ToldFinding& one) const {
    const auto reason = reason_.find(one.finding_id);
    if (reason == reason_.end()) return fmt::format("It was {}.", one.decision);
    return fmt::format("It was {}: {}", one.decision, reason->second);
  }

  // The earliest finding of the last run that is the same but for its beginning.
  const ToldFinding* other_beginning(const ToldFinding& one) const {
    const ToldFinding* best = nullptr;
    for (const auto& [id, other] : last_) {
      if (is_known(id) || renamed_.contains(id) || !share_time(*other, one)) continue;
      if (best == nullptr || other->from < best->from) best = other;
    }
    return best;
  }

  ById last_, last_settled_, now_, now_settled_;
  std::map<std::string, std::string> reason_;
  std::set<std::string> renamed_;  // of the last run, known by another id now
  std::vector<Row> changes_;
};

ToldFinding told_finding(const Finding& finding, const Network& network, std::string decision) {
  const std::string& gauge = network.gauges[finding.gauge].id;
  return {finding_id(gauge, finding), gauge, finding.kind, finding.tier, finding.from, finding.to,
          std::move(decision)};
}

}  // namespace

std::string_view word(Change change) { return kChangeWords[static_cast<std::size_t>(change)]; }

Told told(std::span<const Finding> findings, std::span<const FindingReview> reviews,
          std::span<const ReplayedDecision> decisions, const Network& network) {
  Told out;
  std::set<std::string> still;
  for (std::size_t i = 0; i < findings.size(); ++i) {
    out.findings.push_back(told_finding(findings[i], network, reviews[i].decision));
    still.insert(reviews[i].finding_id);
  }
  for (const ReplayedDecision& one : decisions) {
    if (one.outcome != DecisionOutcome::applied || still.contains(one.decision.finding_id))
      continue;
    out.settled.push_back(
        {told_finding(*one.found, network, in_short(one.decision)), one.decision.reason});
  }
  return out;
}

std::vector<FindingChange> finding_changes(const Told& last, const Told& now) {
  return Comparison(last, now).changes();
}

}  // namespace gaugeloom
