// Prints how well the mean rain over areas is known from a part of a network, held against the
// means from all of it, and how well storm totals are told from the other gauges. Not timed.
//   area_scores                                     a synthetic network
//   area_scores gauges.csv rain.csv[.gz] [SHARE]    a real one; SHARE of the gauges is kept, 0.33
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "support/synthetic_rain.hpp"

namespace {

using namespace gaugeloom;

constexpr int kDraws = 20;
constexpr std::size_t kFewestInside = 5;  // gauges of the whole network in an area

struct Work {
  Network network;
  FillResult filled;
  std::vector<Storm> storms;
  std::vector<StormGauge> rows;
  AreaVariograms variograms;
};

Work worked(Network network, const RainRecord& rain) {
  Work work;
  work.filled = fill_gaps(network, rain, all_good(rain.depths));
  work.network = std::move(network);
  work.storms = find_storms(work.filled.record).storms;
  work.rows = storm_gauges(work.network, work.filled.record, work.filled.errors, work.storms);
  work.variograms =
      learn_area_variograms(work.network.positions(), work.filled.record, work.storms, work.rows);
  return work;
}

std::vector<StormArea> areas_of(const Work& work, const std::vector<Storm>& storms,
                                const std::vector<Area>& areas, AreaSeries& series) {
  const std::vector<MetricPoint> positions = work.network.positions();
  series =
      area_series(work.network, work.filled.record, work.filled.errors, areas, work.variograms);
  return storm_areas(work.network, work.filled.record.depth, storms, work.rows, areas,
                     storm_maps(positions, work.rows, work.variograms.maps), work.variograms,
                     series);
}

// Squares of `share` of the network's width at 5 x 5 places.
std::vector<Area> squares(const std::vector<MetricPoint>& gauges, double share) {
  MetricPoint low = gauges[0];
  MetricPoint high = gauges[0];
  for (const MetricPoint& p : gauges) {
    low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m)};
    high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m)};
  }
  const double side = share * std::max(high.x_m - low.x_m, high.y_m - low.y_m);
  std::vector<Area> areas;
  for (int i = 0; i < 25; ++i) {
    const double x = low.x_m + (high.x_m - low.x_m - side) * (i % 5) / 4;
    const double y = low.y_m + (high.y_m - low.y_m - side) * (i / 5) / 4;
    Area area;
    area.id = fmt::format("{}", i);
    area.polygon.parts = {{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}, {}}};
    std::size_t inside = 0;
    for (const MetricPoint& p : gauges) inside += contains(area.polygon, p) ? 1U : 0U;
    if (inside >= kFewestInside) areas.push_back(area);
  }
  return areas;
}

struct Score {
  std::size_t tested = 0, below = 0, above = 0;
  double squares = 0, bias = 0, truth = 0, thiessen = 0, inverse = 0;

  void add(double truth_mm, double mean_mm, double low_mm, double high_mm) {
    ++tested;
    below += truth_mm < low_mm ? 1 : 0;
    above += truth_mm > high_mm ? 1 : 0;
    squares += (mean_mm - truth_mm) * (mean_mm - truth_mm);
    bias += mean_mm - truth_mm;
    truth += truth_mm;
  }
  void print(const std::string& what) const {
    const auto n = static_cast<double>(tested);
    fmt::print(
        "  {:24} {:7} tested, bands hold {:.1f} % ({:.1f} % below, {:.1f} % above), RMSE "
        "{:.3f} mm of {:.2f}, bias {:+.1f} %",
        what, tested, 100 - 100 * static_cast<double>(below + above) / n,
        100 * static_cast<double>(below) / n, 100 * static_cast<double>(above) / n,
        std::sqrt(squares / n), truth / n, 100 * bias / truth);
    if (thiessen > 0)
      fmt::print("; Thiessen {:.3f}, inverse distance {:.3f}", std::sqrt(thiessen / n),
                 std::sqrt(inverse / n));
    fmt::print("\n");
  }
};

// The part of the record of some gauges.
RainRecord part_of(const RainRecord& rain, const std::vector<std::size_t>& kept) {
  RainRecord part;
  part.depths = RainTable(rain.depths.axis(), kept.size());
  for (std::size_t g = 0; g < kept.size(); ++g)
    for (std::size_t s = 0; s < rain.depths.step_count(); ++s)
      if (rain.depths.is_measured(kept[g], s))
        part.depths.set(g, s, rain.depths.depth_mm(kept[g], s));
  return part;
}

void score_part(const Work& all, const RainRecord& rain, const std::vector<std::size_t>& kept,
                const std::vector<Area>& areas, const AreaSeries& true_series,
                const std::vector<StormArea>& truth, std::array<Score, 4>& scores) {
  Work part;
  for (const std::size_t g : kept) part.network.gauges.push_back(all.network.gauges[g]);
  part.network.working_crs = all.network.working_crs;
  const RainRecord some = part_of(rain, kept);
  part.filled = fill_gaps(part.network, some, all_good(some.depths));
  part.rows = storm_gauges(part.network, part.filled.record, part.filled.errors, all.storms);
  part.variograms =
      learn_area_variograms(part.network.positions(), part.filled.record, all.storms, part.rows);
  AreaSeries series;
  const auto rows = areas_of(part, all.storms, areas, series);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!std::isfinite(rows[i].mean_mm) || rows[i].supported_share < 0.9) continue;
    for (std::size_t k = 0; k < (rows[i].mean_mm > 10 ? 2U : 1U); ++k) {
      scores[k].add(truth[i].mean_mm, rows[i].mean_mm, rows[i].low_mm, rows[i].high_mm);
      scores[k].thiessen += std::pow(rows[i].thiessen_mm - truth[i].mean_mm, 2);
      scores[k].inverse += std::pow(rows[i].inverse_distance_mm - truth[i].mean_mm, 2);
    }
  }
  for (std::size_t i = 0; i < series.mean_mm.size(); ++i) {
    if (!(series.mean_mm[i] > 0)) continue;
    if (!(series.supported_share[i] >= 0.9F)) continue;
    const auto at = [i](const BulkVector<float>& values) { return static_cast<double>(values[i]); };
    scores[2].add(at(true_series.mean_mm), at(series.mean_mm), at(series.low_mm),
                  at(series.high_mm));
    if (at(series.mean_mm) > 0.5)
      scores[3].add(at(true_series.mean_mm), at(series.mean_mm), at(series.low_mm),
                    at(series.high_mm));
  }
}

void score_areas(const Work& all, const RainRecord& rain, double keep, double side) {
  const std::vector<MetricPoint> positions = all.network.positions();
  const std::vector<Area> areas = squares(positions, side);
  AreaSeries series;
  const auto truth = areas_of(all, all.storms, areas, series);
  std::array<Score, 4> scores;
  Random random("area scores");
  for (int draw = 0; draw < kDraws; ++draw) {
    std::vector<std::size_t> kept;
    for (std::size_t g = 0; g < positions.size(); ++g)
      if (random.chance(keep)) kept.push_back(g);
    score_part(all, rain, kept, areas, series, truth, scores);
  }
  fmt::print("{:.0f} % of {} gauges, {} squares of {:.0f} km2, {} storms, {} draws\n", 100 * keep,
             positions.size(), areas.size(), area_m2(areas[0].polygon) / 1e6, all.storms.size(),
             kDraws);
  scores[0].print("storms");
  scores[1].print("storms told above 10 mm");
  scores[2].print("steps told to be wet");
  scores[3].print("steps told above 0.5 mm");
}

// Each gauge's storm totals from the others.
void score_points(const Work& all) {
  const std::vector<MetricPoint> positions = all.network.positions();
  Score ok;
  double inverse = 0;
  for (std::size_t s = 0; s < all.storms.size(); ++s) {
    std::vector<double> totals;
    for (std::size_t g = 0; g < positions.size(); ++g)
      totals.push_back(all.rows[s * positions.size() + g].total_mm);
    KrigingOptions options;
    options.negative_weights = NegativeWeights::drop;
    const auto kriged =
        leave_one_out_kriging(positions, totals, {}, all.variograms.options.storm, options);
    const auto plain = leave_one_out_inverse_distance(positions, totals);
    for (std::size_t g = 0; g < positions.size(); ++g) {
      if (!std::isfinite(totals[g])) continue;
      ok.add(totals[g], kriged[g].value, 0, 1e9);
      inverse += std::pow(plain[g].value - totals[g], 2);
    }
  }
  fmt::print(
      "storm totals left out in turn: {} of them, RMSE {:.3f} mm by kriging, {:.3f} mm by "
      "inverse distance; variogram {} ({}), of steps {} ({})\n",
      ok.tested, std::sqrt(ok.squares / static_cast<double>(ok.tested)),
      std::sqrt(inverse / static_cast<double>(ok.tested)), describe(all.variograms.options.storm),
      all.variograms.storm_learned ? "learned" : "default", describe(all.variograms.options.step),
      all.variograms.step_learned ? "learned" : "default");
}

void score(Network network, const RainRecord& rain, double keep) {
  const Work all = worked(std::move(network), rain);
  score_points(all);
  for (const double side : {0.3, 0.5}) score_areas(all, rain, keep, side);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) {
    support::SyntheticRainOptions options;
    options.gauges = 60;
    options.steps = 120 * 144;
    const support::SyntheticRain made = support::synthetic_rain(options);
    RainRecord rain;
    rain.depths = made.table;
    score(made.network, rain, 0.33);
    return 0;
  }
  std::vector<std::string> notes;
  Notices notices;
  const Network network = read_gauges(argv[1], {}, notes);
  const std::vector<std::string> files{argv[2]};
  score(network, read_rain(files, network, {}, notices), argc > 3 ? std::atof(argv[3]) : 0.33);
  return 0;
}
