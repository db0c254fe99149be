#include "gaugeloom/checks/check_options.hpp"

namespace gaugeloom {

std::optional<std::string> CheckOptions::problem() const {
  if (!(provisional_calls_per_gauge_year > 0) || provisional_calls_per_gauge_year > 20) {
    return "provisional false calls per gauge-year must be above 0 and at most 20";
  }
  if (!(confirmed_calls_per_gauge_year > 0) ||
      confirmed_calls_per_gauge_year > provisional_calls_per_gauge_year) {
    return "confirmed false calls per gauge-year must be above 0 and at most the provisional ones";
  }
  if (blame_rounds < 1) return "blame rounds must be 1 or more";
  if (!(cold_celsius >= -20 && cold_celsius <= 10))
    return "the cold begins between -20 and 10 degrees Celsius";
  if (threads < 0) return "threads must be 0 (all cores) or more";
  return std::nullopt;
}

}  // namespace gaugeloom
