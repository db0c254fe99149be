#include "report/page_data_internal.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "report/base64_internal.hpp"

namespace gaugeloom {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostCurvePoints = 60;  // our choice: as fine as a chart of it shows

std::int64_t seconds_of(Instant instant) {
  return std::chrono::floor<std::chrono::seconds>(instant).time_since_epoch().count();
}

// Null for what is not finite; whole numbers without a point, since most depths are 0.
Json rounded(double value, double scale) {
  if (!std::isfinite(value)) return nullptr;
  const double near = std::round(value * scale) / scale;
  if (near == std::trunc(near) && std::abs(near) < 1e15) return static_cast<std::int64_t>(near);
  return near;
}
Json mm(double depth_mm) { return rounded(depth_mm, 100); }
Json share(double value) { return rounded(value, 10000); }
Json optional_time(const std::optional<Instant>& instant) {
  return instant ? Json(seconds_of(*instant)) : Json(nullptr);
}

// Positions as the map wants them.
class Places {
 public:
  explicit Places(const Network& network) : crs_(WorkCrs::from(network.working_crs)) {}
  bool on_earth() const { return !crs_.is_local(); }
  Json at(const LonLat& place) const {
    return {rounded(place.lat_deg, 1e5), rounded(place.lon_deg, 1e5)};
  }
  Json at(const MetricPoint& point) const {
    if (!on_earth()) return {rounded(point.y_m, 10), rounded(point.x_m, 10)};
    return at(crs_.inverse(point));
  }
  Json at(const Gauge& gauge) const {
    return gauge.lon_lat && on_earth() ? at(*gauge.lon_lat) : at(gauge.position);
  }

 private:
  WorkCrs crs_;
};

Json months_json(const PageView& view, std::size_t row) {
  Json months = Json::array();
  for (const CourseSpan& month : view.months) {
    const ReportingTotal total =
        total_over(view.in.filled.record, view.in.filled.errors, row, month.steps);
    months.push_back({seconds_of(month.begin), mm(total.depth_mm), mm(total.low_mm),
                      mm(total.high_mm), share(total.share_estimated), share(total.share_missing)});
  }
  return months;
}

Json double_mass_json(const PageView& view, std::size_t row) {
  Json curve = Json::array();
  for (const GaugeDoubleMass& point : thinned(view.double_mass(row), kMostCurvePoints))
    curve.push_back({mm(point.neighbours_mm), mm(point.own_mm), seconds_of(point.time)});
  return curve;
}

Json days_json(const PageView& view, std::size_t row) {
  if (view.days.spans.empty()) return nullptr;
  return {{"begin", seconds_of(view.days.spans.front().begin)},
          {"step_s", std::chrono::seconds(view.days.length).count()},
          {"quality", quality_letters(view.in.filled.record.quality, row, view.days.spans)}};
}

Json gauge_json(const PageView& view, const Places& places, std::size_t row) {
  const Gauge& gauge = view.gauge(row);
  const GaugeOverview& overview = view.overview[row];
  const std::size_t rank = view.visit_ranks[row];
  return {{"id", gauge.id},
          {"name", gauge.name},
          {"at", places.at(gauge)},
          {"quality", word(state_of(view, row))},
          {"total_mm", mm(overview.total_mm)},
          {"share_missing", share(overview.share_missing)},
          {"share_estimated", share(overview.share_estimated)},
          {"visit_rank", rank == 0 ? Json(nullptr) : Json(rank)},
          {"days", days_json(view, row)},
          {"months", months_json(view, row)},
          {"double_mass", double_mass_json(view, row)}};
}

Json depths_json(std::span<const double> depths_mm) {
  Json depths = Json::array();
  for (const double depth_mm : depths_mm) depths.push_back(mm(depth_mm));
  return depths;
}

// What may be held against each other, bar by bar; nothing where own and expected are that already.
Json compared_json(const FindingEvidence& evidence) {
  const auto same = [](double a, double b) { return std::abs(a - b) < 0.005; };  // no NaN is
  bool plain = true;
  for (std::size_t i = 0; i < evidence.bars() && plain; ++i) {
    if (std::isnan(evidence.own_mm[i]) || std::isnan(evidence.expected_mm[i])) continue;
    plain = same(evidence.own_mm[i], evidence.own_compared_mm[i]) &&
            same(evidence.expected_mm[i], evidence.expected_compared_mm[i]);
  }
  if (plain) return nullptr;
  return {{"own", depths_json(evidence.own_compared_mm)},
          {"expected", depths_json(evidence.expected_compared_mm)}};
}

Json evidence_json(const FindingEvidence& evidence) {
  Json neighbours = Json::array(), score = Json::array();
  for (const auto& depths_mm : evidence.neighbours_mm) neighbours.push_back(depths_json(depths_mm));
  for (const ScorePoint& point : evidence.score.points)
    score.push_back(Json::array({seconds_of(point.time), mm(point.score)}));
  return {{"begin", seconds_of(evidence.begin)},
          {"step_s", evidence.bar.count()},
          {"own", depths_json(evidence.own_mm)},
          {"expected", depths_json(evidence.expected_mm)},
          {"compared", compared_json(evidence)},
          {"neighbours", std::move(neighbours)},
          {"score", std::move(score)}};
}

Json levels_json(const ScoreGrowth& score) {
  const auto level = [](const std::optional<double>& one) {
    return one ? mm(*one) : Json(nullptr);
  };
  return Json::array({level(score.provisional), level(score.confirmed)});
}

Json finding_json(const PageView& view, std::size_t row) {
  const Finding& finding = view.in.findings[row];
  const FindingEvidence* evidence = view.evidence(row);
  return {{"id", view.finding_ids[row]},
          {"gauge", finding.gauge},
          {"kind", word(finding.kind)},
          {"tier", word(finding.tier)},
          {"from", seconds_of(finding.from)},
          {"to", optional_time(finding.to)},
          {"called", seconds_of(finding.called)},
          {"score", mm(finding.score)},
          {"observed_mm", mm(finding.observed_mm)},
          {"expected_mm", mm(finding.expected_mm)},
          {"shift_minutes", mm(finding.shift_minutes)},
          {"neighbours", finding.neighbours},
          {"reason", finding.reason},
          {"innocent", finding.innocent_explanation},
          {"evidence_hash",
           row < view.in.reviews.size() ? Json(view.in.reviews[row].evidence_hash) : Json(nullptr)},
          {"levels", evidence ? levels_json(evidence->score) : Json(nullptr)},
          {"evidence", evidence ? evidence_json(*evidence) : Json(nullptr)}};
}

Json picture_json(const StormPicture& picture) {
  return {{"png", "data:image/png;base64," + base64(picture.png)},
          {"bounds",
           Json::array({Json::array({rounded(picture.south, 1e6), rounded(picture.west, 1e6)}),
                        Json::array({rounded(picture.north, 1e6), rounded(picture.east, 1e6)})})}};
}

Json scale_json(const StormPicture& picture) {
  Json scale = Json::array();
  for (std::size_t i = 0; i + 1 < picture.bounds_mm.size(); ++i) {
    const Rgb colour = class_colour(i, picture.bounds_mm.size() - 1);
    scale.push_back(
        {{"from_mm", mm(picture.bounds_mm[i])},
         {"to_mm", mm(picture.bounds_mm[i + 1])},
         {"colour", fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue)}});
  }
  return scale;
}

const StormPicture* picture_of(const PageView& view, std::size_t storm) {
  const auto found = std::ranges::find(view.in.pictures, storm, &StormPicture::storm);
  return found == view.in.pictures.end() ? nullptr : &*found;
}

Json storm_json(const PageView& view, std::size_t row) {
  const Storm& storm = view.in.storms[row];
  const StormPicture* picture = picture_of(view, row);
  const std::size_t gauges = view.in.network.size();
  Json totals = Json::array(), low = Json::array(), high = Json::array(), quality = Json::array();
  for (const StormGauge& one : view.in.storm_gauges.subspan(row * gauges, gauges)) {
    totals.push_back(mm(one.total_mm));
    low.push_back(mm(one.low_mm));
    high.push_back(mm(one.high_mm));
    quality.push_back(word(one.quality));
  }
  return {{"id", storm.id},
          {"from", seconds_of(storm.over.from)},
          {"to", seconds_of(storm.over.to)},
          {"mean_mm", mm(view.in.overviews[row].mean_mm)},
          {"max_mm", mm(view.in.overviews[row].max_mm)},
          {"picture", picture ? picture_json(*picture) : Json(nullptr)},
          {"scale", picture ? scale_json(*picture) : Json::array()},
          {"totals", std::move(totals)},
          {"low", std::move(low)},
          {"high", std::move(high)},
          {"quality", std::move(quality)}};
}

// The columns of the decisions as texts, so that they can be saved again as they were.
Json decision_json(const PageView& view, const ReplayedDecision& one) {
  const Decision& decision = one.decision;
  const bool shift = decision.verdict == Verdict::shift;
  return {{"finding_id", decision.finding_id},
          {"gauge", view.gauge(decision.gauge).id},
          {"from", format_utc(decision.from)},
          {"to", decision.to ? format_utc(*decision.to) : std::string()},
          {"verdict", word(decision.verdict)},
          {"shift_minutes", shift ? fmt::format("{}", decision.shift_minutes) : std::string()},
          {"reason", decision.reason},
          {"by", decision.by},
          {"on", decision.on},
          {"evidence_hash", decision.evidence_hash},
          {"outcome", word(one.outcome)},
          {"why", one.why}};
}

Json area_json(const Area& area, const Places& places) {
  Json rings = Json::array();
  for (const PolygonPart& part : area.polygon.parts) {
    std::vector<const Ring*> all = {&part.outer};
    for (const Ring& hole : part.holes) all.push_back(&hole);
    for (const Ring* ring : all) {
      Json corners = Json::array();
      for (const MetricPoint& corner : *ring) corners.push_back(places.at(corner));
      rings.push_back(std::move(corners));
    }
  }
  return {{"id", area.id}, {"name", area.name}, {"rings", std::move(rings)}};
}

}  // namespace

std::string script_json(const Json& json) {
  std::string text;
  for (const char c : json.dump(-1, ' ', true, Json::error_handler_t::replace)) {
    if (c == '<')
      text += "\\u003c";
    else if (c == '>')
      text += "\\u003e";
    else if (c == '&')
      text += "\\u0026";
    else
      text += c;
  }
  return text;
}

std::string page_data(const PageView& view) {
  const Places places(view.in.network);
  const StepAxis& axis = view.in.filled.record.depth.axis();
  Json data = {
      {"title", view.in.title},           {"version", view.in.run.version},
      {"step_s", axis.step().count()},    {"from", seconds_of(axis.span().from)},
      {"to", seconds_of(axis.span().to)}, {"place", places.on_earth() ? "earth" : "plane"}};
  for (const char* list : {"gauges", "findings", "storms", "areas", "decisions"})
    data[list] = Json::array();
  for (std::size_t row = 0; row < view.in.network.size(); ++row)
    data["gauges"].push_back(gauge_json(view, places, row));
  for (const std::size_t row : view.findings) data["findings"].push_back(finding_json(view, row));
  for (const std::size_t row : view.storms) data["storms"].push_back(storm_json(view, row));
  for (const Area& area : view.in.areas) data["areas"].push_back(area_json(area, places));
  for (const ReplayedDecision& one : view.in.decisions)
    data["decisions"].push_back(decision_json(view, one));
  return script_json(data);
}

}  // namespace gaugeloom
