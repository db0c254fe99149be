#include "fill/course_internal.hpp"

#include <algorithm>

namespace gaugeloom::fill_internal {
namespace {

constexpr double kWetShare = 0.1;

std::vector<char> wet_steps(const RainTable& depths, const Donors& donors) {
  const std::size_t steps = depths.step_count();
  std::vector<int> usable(steps, 0);
  std::vector<int> wet(steps, 0);
  for (std::size_t g = 0; g < depths.gauge_count(); ++g)
    for (std::size_t s = 0; s < steps; ++s)
      if (donors.is_good(g, s)) {
        ++usable[s];
        wet[s] += depths.depth_mm(g, s) > 0 ? 1 : 0;
      }
  std::vector<char> result(steps, 0);
  for (std::size_t s = 0; s < steps; ++s)
    result[s] = wet[s] > 0 && wet[s] >= kWetShare * usable[s] ? 1 : 0;
  return result;
}

}  // namespace

std::vector<std::size_t> spell_ends(const RainTable& depths, const Donors& donors,
                                    std::size_t dry_steps) {
  const std::vector<char> wet = wet_steps(depths, donors);
  std::vector<std::size_t> ends;
  std::size_t dry = 0;
  for (std::size_t s = 0; s < wet.size(); ++s) {
    if (wet[s] != 0 && dry >= dry_steps && s > 0) ends.push_back(s);
    dry = wet[s] != 0 ? 0 : dry + 1;
  }
  if (!wet.empty()) ends.push_back(wet.size());
  return ends;
}

namespace {

double shape(const NeighbourEstimates& e, std::size_t step, FillMethod method) {
  if (method != FillMethod::kriging_square_root) return e.amount[step];
  const double root = e.root[step];
  return root * root;
}

// Lays `amount` mm on the wet asked steps of [first, last); returns what could not be laid.
double lay_piece(const NeighbourEstimates& e, std::span<const char> asked, std::size_t first,
                 std::size_t last, double amount, const CourseRule& rule,
                 std::span<float> depth_mm) {
  double total_shape = 0;
  bool any = false;
  for (std::size_t s = first; s < last; ++s) {
    if (asked[s] == 0) continue;
    any = true;
    amount += rule.factor * static_cast<double>(e.amount[s]);
    if (e.root[s] > rule.threshold) total_shape += shape(e, s, rule.method);
  }
  if (!any) return 0;
  const double scale = total_shape > 0 ? amount / total_shape : 0;
  for (std::size_t s = first; s < last; ++s)
    if (asked[s] != 0)
      depth_mm[s] =
          e.root[s] > rule.threshold ? static_cast<float>(scale * shape(e, s, rule.method)) : 0.0F;
  return total_shape > 0 ? 0 : amount;
}

}  // namespace

void lay_course(const NeighbourEstimates& estimates, std::span<const char> asked,
                std::span<const std::size_t> spells, const CourseRule& rule,
                std::span<float> depth_mm) {
  std::size_t first = 0;
  for (const std::size_t end : spells) {
    double rest = 0;
    while (first < end) {
      const std::size_t last = std::min(end, (first / rule.mass_steps + 1) * rule.mass_steps);
      rest = lay_piece(estimates, asked, first, last, rest, rule, depth_mm);
      first = last;
    }
  }
}

}  // namespace gaugeloom::fill_internal
