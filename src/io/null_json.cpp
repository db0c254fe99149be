#include "io/null_json_internal.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

using Json = nlohmann::json;  // its objects keep their keys sorted

[[noreturn]] void refuse(const std::string& sentence) {
  throw Error(ErrorCode::malformed_input, sentence);
}

Json law_json(const LawValues& law) {
  Json json;
  json["lists"] = law.lists;
  json["of_gauges"] = Json::object();
  for (const auto& [name, of] : law.of_gauges)
    json["of_gauges"][name] = {{"unknown", of.unknown}, {"values", of.values}};
  return json;
}

Json threshold_json(const LearnedThreshold& threshold) {
  return {{"finding", word(threshold.kind)},  {"provisional", threshold.provisional},
          {"confirmed", threshold.confirmed}, {"tail_scale", threshold.tail_scale},
          {"peaks", threshold.peaks},         {"scales", threshold.scales}};
}

const Json& part(const Json& json, const char* name, Json::value_t type) {
  const auto found = json.find(name);
  const bool is_there =
      json.is_object() && found != json.end() &&
      (found->type() == type || (type == Json::value_t::number_float && found->is_number()));
  if (!is_there) refuse(fmt::format("what was learned has no '{}', or something else there", name));
  return *found;
}

double number(const Json& json, const char* name) {
  return part(json, name, Json::value_t::number_float).get<double>();
}

std::size_t count(const Json& json, const char* name) {
  const double value = number(json, name);
  if (!(value >= 0 && value <= 1e15) || value != std::floor(value))
    refuse(fmt::format("'{}' is no count", name));
  return static_cast<std::size_t>(value);
}

std::vector<double> numbers(const Json& list, const std::string& name) {
  const bool all = list.is_array() && std::all_of(list.begin(), list.end(),
                                                  [](const Json& v) { return v.is_number(); });
  if (!all) refuse(fmt::format("'{}' is no list of numbers", name));
  return list.get<std::vector<double>>();
}

LawValues law_of(const Json& json) {
  LawValues law;
  for (const auto& [name, list] : part(json, "lists", Json::value_t::object).items())
    law.lists[name] = numbers(list, name);
  for (const auto& [name, of] : part(json, "of_gauges", Json::value_t::object).items())
    law.of_gauges[name] = {numbers(part(of, "values", Json::value_t::array), name),
                           number(of, "unknown")};
  return law;
}

LearnedThreshold threshold_of(const Json& json) {
  const auto& finding = part(json, "finding", Json::value_t::string).get_ref<const std::string&>();
  const auto kind = parse_finding_kind(finding);
  if (!kind) refuse("one of the thresholds is of a finding that is none of ours");
  return {*kind,
          number(json, "provisional"),
          number(json, "confirmed"),
          number(json, "tail_scale"),
          count(json, "peaks"),
          numbers(part(json, "scales", Json::value_t::array), "scales")};
}

void lay_out(const Json& json, const std::string& indent, std::string& text) {
  const auto leaf = [](const Json& j) {
    return j.dump(-1, ' ', false, Json::error_handler_t::replace);
  };
  const bool is_list = json.is_array();
  const bool is_plain = !json.is_structured() || json.empty() ||
                        (is_list && std::all_of(json.begin(), json.end(),
                                                [](const Json& v) { return v.is_number(); }));
  if (is_plain) {
    text += leaf(json);
    return;
  }
  const std::string inner = indent + "  ";
  text += is_list ? "[\n" : "{\n";
  bool first = true;
  for (const auto& [key, value] : json.items()) {
    text += (first ? "" : ",\n") + inner;
    if (!is_list) text += leaf(key) + ": ";
    lay_out(value, inner, text);
    first = false;
  }
  text += "\n" + indent + (is_list ? "]" : "}");
}

}  // namespace

Json null_json(const NullValues& values) {
  Json json;
  json["form"] = kNullForm;
  json["step_seconds"] = values.step.count();
  json["gauges"] = values.gauges;
  json["laws"] = Json::object();
  for (const auto& [name, law] : values.laws) json["laws"][name] = law_json(law);
  json["thresholds"] = Json::array();
  for (const LearnedThreshold& threshold : values.thresholds)
    json["thresholds"].push_back(threshold_json(threshold));
  return json;
}

NullValues null_values_of(const Json& json) {
  if (count(json, "form") != kNullForm)
    refuse(
        "what was learned has another form than this version writes; check once without it to "
        "learn anew");
  NullValues values;
  values.step = std::chrono::seconds(count(json, "step_seconds"));
  for (const Json& id : part(json, "gauges", Json::value_t::array)) {
    if (!id.is_string()) refuse("'gauges' is no list of ids");
    values.gauges.push_back(id.get<std::string>());
  }
  for (const auto& [name, law] : part(json, "laws", Json::value_t::object).items())
    values.laws[name] = law_of(law);
  for (const Json& threshold : part(json, "thresholds", Json::value_t::array))
    values.thresholds.push_back(threshold_of(threshold));
  return values;
}

std::string laid_out(const Json& json) {
  std::string text;
  lay_out(json, "", text);
  return text;
}

}  // namespace gaugeloom
