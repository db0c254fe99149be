#include "gaugeloom/fill/held_back.hpp"

#include <algorithm>
#include <chrono>
#include <optional>
#include <tuple>

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kLatestBurst{48};  // as far as the check looks for one

bool is_block(const Finding& finding) {
  return finding.kind == FindingKind::blocked || finding.kind == FindingKind::partly_blocked;
}

constexpr std::chrono::hours kLongestBurst{1};  // a longer one begins with its outage

std::optional<HeldBack> spell_before(const Finding& burst, std::span<const Finding> findings) {
  std::optional<HeldBack> spell;
  if (*burst.to - burst.from > kLongestBurst) spell = {burst.gauge, {burst.from, *burst.to}};
  for (const Finding& block : findings) {
    if (!is_block(block) || block.gauge != burst.gauge || block.from >= burst.from) continue;
    if (block.to && *block.to + kLatestBurst < burst.from) continue;
    const Instant from = spell ? std::min(spell->over.from, block.from) : block.from;
    spell = {burst.gauge, {from, *burst.to}};
  }
  return spell;
}

}  // namespace

std::vector<HeldBack> held_back(std::span<const Finding> findings) {
  std::vector<HeldBack> spells;
  for (const Finding& finding : findings) {
    if (finding.kind != FindingKind::release_burst || !finding.to) continue;
    if (const auto spell = spell_before(finding, findings)) spells.push_back(*spell);
  }
  std::sort(spells.begin(), spells.end(), [](const HeldBack& a, const HeldBack& b) {
    return std::tie(a.gauge, a.over.from, a.over.to) < std::tie(b.gauge, b.over.from, b.over.to);
  });
  std::vector<HeldBack> whole;
  for (const HeldBack& spell : spells) {
    const bool touches = !whole.empty() && whole.back().gauge == spell.gauge &&
                         spell.over.from <= whole.back().over.to;
    if (touches)
      whole.back().over.to = std::max(whole.back().over.to, spell.over.to);
    else
      whole.push_back(spell);
  }
  return whole;
}

}  // namespace gaugeloom
