#include "gaugeloom/rain/site_visit.hpp"

#include <array>

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 4> kActionWords = {"cleaned", "calibrated", "repaired",
                                                          "inspected"};

}  // namespace

std::string_view word(VisitAction action) { return kActionWords[static_cast<std::size_t>(action)]; }

std::optional<VisitAction> parse_visit_action(std::string_view text) {
  for (std::size_t i = 0; i < kActionWords.size(); ++i)
    if (kActionWords[i] == text) return static_cast<VisitAction>(i);
  return std::nullopt;
}

}  // namespace gaugeloom
