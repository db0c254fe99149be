#pragma once
// What the scripts of the page draw from. Internal.

#include <string>

#include <nlohmann/json.hpp>

#include "report/page_parts_internal.hpp"

namespace gaugeloom {

// JSON that nothing in it can end as the text of a script element: ASCII only, < > & as \u00XX.
// Bytes that are no UTF-8 become U+FFFD.
std::string script_json(const nlohmann::ordered_json& json);

// Times are seconds since 1970 (UTC), depths mm with two decimals, what is not known null.
//   title, version, step_s, from, to
//   place   "earth": positions are [latitude, longitude] in degrees; "plane": [y, x] in metres
//   gauges    id, name, at, quality, total_mm, share_missing, share_estimated, visit_rank,
//             days {begin, step_s, quality: a letter each}, months [begin, total, low, high,
//             share estimated, share missing], double_mass [neighbours, own, time]
//   findings  id, gauge (row), kind, tier, from, to, called, score, observed_mm, expected_mm,
//             shift_minutes, neighbours (rows), reason, innocent, evidence_hash, levels
//             [provisional, confirmed], evidence {begin, step_s, own, expected, neighbours: lists
//             of bars, score [time, score]}
//   storms    those told in detail: id, from, to, mean_mm, max_mm, picture {png, bounds of its
//   edges}, scale of
//             {from_mm, to_mm, colour}, totals, low, high, quality: one per gauge
//   decisions the ten columns of the decisions as texts, outcome, why
//   areas     id, name, rings of positions
std::string page_data(const PageView& view);

}  // namespace gaugeloom
