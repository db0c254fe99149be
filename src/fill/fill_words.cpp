#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/fill/reporting_totals.hpp"

namespace gaugeloom {

std::string_view word(Replace replace) {
  switch (replace) {
    case Replace::none:
      return "none";
    case Replace::confirmed:
      return "confirmed";
    case Replace::provisional:
      return "provisional";
  }
  return "";
}

std::optional<Replace> parse_replace(std::string_view text) {
  for (const Replace replace : {Replace::none, Replace::confirmed, Replace::provisional})
    if (text == word(replace)) return replace;
  return std::nullopt;
}

std::string_view word(FillMethod method) {
  switch (method) {
    case FillMethod::inverse_distance:
      return "inverse_distance";
    case FillMethod::kriging:
      return "kriging";
    case FillMethod::kriging_square_root:
      return "kriging_square_root";
  }
  return "";
}

std::string_view word(Refusal refusal) {
  switch (refusal) {
    case Refusal::few_neighbours:
      return "few_neighbours";
    case Refusal::one_sided:
      return "one_sided";
    case Refusal::no_skill:
      return "no_skill";
    case Refusal::nothing_learned:
      return "nothing_learned";
  }
  return "";
}

std::string_view sentence(Refusal refusal) {
  switch (refusal) {
    case Refusal::few_neighbours:
      return "Fewer than 3 usable neighbours were there at that time.";
    case Refusal::one_sided:
      return "All usable neighbours lie far away on one side.";
    case Refusal::no_skill:
      return "The usable neighbours say no more about this gauge than its own mean does.";
    case Refusal::nothing_learned:
      return "The record holds too little rain to learn how far an estimate can be trusted.";
  }
  return "";
}

std::string_view word(ReportingPeriod period) {
  switch (period) {
    case ReportingPeriod::window:
      return "window";
    case ReportingPeriod::storm:
      return "storm";
    case ReportingPeriod::day:
      return "day";
    case ReportingPeriod::month:
      return "month";
    case ReportingPeriod::year:
      return "year";
  }
  return "";
}

std::optional<std::string> FillOptions::problem() const {
  if (neighbours < 3 || neighbours > 64) return "neighbours must be 3 to 64";
  if (threads < 0) return "threads must be 0 or more";
  if (!(max_lone_side_km > 0)) return "max_lone_side_km must be above 0";
  return std::nullopt;
}

}  // namespace gaugeloom
