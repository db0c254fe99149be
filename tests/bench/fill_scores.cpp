// Prints how well hidden gaps are filled, beside plain ways. Not timed.
//   fill_scores                                   a synthetic network
//   fill_scores gauges.csv rain.csv[.gz] [ID FROM TO ...]   a real one; depths of gauge ID in
//                                                 [FROM, TO) are poor: known to be wrong
#include <fmt/format.h>

#include <cstdio>
#include <string>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/rehearse/fill_score.hpp"
#include "gaugeloom/rehearse/member_score.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/synthetic_rain.hpp"

namespace {

using namespace gaugeloom;

struct Spell {
  std::size_t gauge = 0;
  Interval over;
};

void mark_poor(const RainTable& depths, const std::vector<Spell>& spells, QualityTable& quality) {
  for (const Spell& spell : spells) {
    const auto range = depths.axis().within(spell.over);
    for (std::size_t s = range.first; s < range.last; ++s)
      if (depths.is_measured(spell.gauge, s)) quality.at(spell.gauge, s) = Quality::poor;
  }
}

void print_scores(const std::string& title, const Network& network, const RainRecord& truth,
                  const std::vector<HiddenGap>& gaps, const std::vector<Spell>& poor) {
  const RainRecord hidden = with_hidden(truth, gaps);
  QualityTable quality = all_good(hidden.depths);
  mark_poor(hidden.depths, poor, quality);
  const FillResult filled = fill_gaps(network, hidden, quality);
  const FillPlan& plan = filled.plan;
  fmt::print(
      "{}: {}{}, variogram {} nugget {} km; leave-one-out bands hold {:.1f} % at 1 h, "
      "{:.1f} % at 24 h\n",
      title, word(plan.method), plan.site_ratio ? " with site ratio" : "", plan.variogram_nugget,
      plan.variogram_range_m / 1000, 100 * plan.hourly_coverage, 100 * plan.daily_coverage);
  for (const MethodScore& score : plan.scores)
    fmt::print("  {:20} {:15} leave-one-out RMSE {:.4f} mm at 1 h, {:.4f} at the step\n",
               word(score.method), score.site_ratio ? "with site ratio" : "", score.rmse_mm,
               score.step_rmse_mm);
  fmt::print("  {:36} leave-one-out RMSE {:.4f} mm at 1 h\n", "nearest gauge",
             plan.nearest_rmse_mm);
  fmt::print("  {:36} leave-one-out RMSE {:.4f} mm at 1 h\n", "plain inverse distance",
             plan.plain_inverse_rmse_mm);
  fmt::print("{}", as_text(score_fill(network, truth, filled, gaps)));
  const Ensemble ensemble(network, hidden, filled, {199, 1, 0});
  fmt::print("{}", as_text(score_members(network, truth, filled, ensemble, gaps)));
}

void print_both(const std::string& name, const Network& network, const RainRecord& truth,
                const std::vector<Spell>& poor) {
  for (const char* draw : {"first", "second", "third"})
    print_scores(fmt::format("{}, anywhere, {} draw", name, draw), network, truth,
                 random_gaps(truth, 6, draw), poor);
  print_scores(name + ", heaviest storms", network, truth, storm_gaps(truth, 12, "storms"), poor);
}

void score_synthetic() {
  support::SyntheticRainOptions options;
  options.gauges = 50;
  options.spacing_m = 10000;
  options.steps = 120 * 288;
  options.step = std::chrono::minutes(5);
  const support::SyntheticRain rain = support::synthetic_rain(options);
  RainRecord truth;
  truth.depths = rain.table;
  print_both("synthetic", rain.network, truth, {});
}

}  // namespace

int main(int argc, char** argv) {
  try {
    if (argc < 3) {
      score_synthetic();
      return 0;
    }
    std::vector<std::string> said;
    const Network network = read_gauges(argv[1], {}, said);
    Notices notices;
    const std::vector<std::string> paths{argv[2]};
    const RainRecord truth = read_rain(paths, network, {}, notices);
    std::vector<Spell> poor;
    for (int i = 3; i + 2 < argc; i += 3)
      poor.push_back({network.find(argv[i]).value(),
                      {parse_iso8601(argv[i + 1])->utc(), parse_iso8601(argv[i + 2])->utc()}});
    print_both(argv[1], network, truth, poor);
    return 0;
  } catch (const std::exception& error) {
    std::fputs(error.what(), stderr);
    return 1;
  }
}
