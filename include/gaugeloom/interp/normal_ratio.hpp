#pragma once
// The handbooks' normal ratio: neighbours' depths scaled by the ratio of long-term normals.
// Source: J. Paulhus and M. Kohler, Mon. Weather Rev. 80 (1952), p. 129.

#include <span>
#include <vector>

namespace gaugeloom {

// One weight per neighbour, target_normal / (n normals[i]); the estimate is the sum of weight times
// depth. The weights sum to 1 only if all normals are equal.
// Requires: normals > 0 and finite. Throws: Error{invalid_option} otherwise.
std::vector<double> normal_ratio_weights(double target_normal, std::span<const double> normals);

// The estimate itself from the neighbours whose depth is not NaN; NaN when there is none.
// Law (a test): neighbours that read the same share of their normals give the target that share.
double normal_ratio(double target_normal, std::span<const double> normals,
                    std::span<const double> depths);

// True if every normal lies within `tolerance` of the target's: a plain mean then serves as well
// (common practice).
bool normals_alike(double target_normal, std::span<const double> normals, double tolerance = 0.1);

}  // namespace gaugeloom
