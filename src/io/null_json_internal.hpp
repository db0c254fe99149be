#pragma once
// What was learned, as the part learned.nulls of run.json.

#include <nlohmann/json.hpp>

#include "gaugeloom/checks/null_values.hpp"

namespace gaugeloom {

// {"form": 1, "step_seconds": 900, "gauges": ["A", ...],
//  "laws": {"misses": {"lists": {"dry": [...], ...},
//                      "of_gauges": {"factor": {"unknown": 1, "values": [...]}}}, ...},
//  "thresholds": [{"finding": "blocked", "provisional": ..., "confirmed": ..., "tail_scale": ...,
//                  "peaks": ..., "scales": [...]}, ...]}
// The form is raised by one whenever the laws or their lists change.
inline constexpr int kNullForm = 1;

nlohmann::json null_json(const NullValues& values);

// Undoes null_json(). Throws Error{malformed_input} without a position for anything else.
NullValues null_values_of(const nlohmann::json& json);

// Indented by two, objects and lists of objects or texts one entry a line, lists of numbers on one
// line; bytes that are not text are replaced.
std::string laid_out(const nlohmann::json& json);

}  // namespace gaugeloom
