// Rehearses on synthetic networks and prints all of them together: false calls per gauge-year on
// healthy gauges, what is found of every kind of fault, how gaps are filled. Not a test.
// Usage: rehearse_synthetic [networks] [gauges] [spacing_m] [days] [faults_per_kind]
#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <string>

#include "gaugeloom/rehearse/poisson_interval.hpp"
#include "gaugeloom/rehearse/rehearsal_table.hpp"
#include "support/synthetic_rain.hpp"

using namespace gaugeloom;

namespace {

constexpr std::chrono::minutes kStep(15);

support::SyntheticRain rain_of(int network, int gauges, double spacing_m, int days) {
  support::SyntheticRainOptions options;
  options.gauges = gauges;
  options.spacing_m = spacing_m;
  options.step = kStep;
  options.steps = static_cast<std::size_t>(days) * 96;
  options.seed = 1000 + static_cast<std::uint64_t>(network);
  return support::synthetic_rain(options);
}

double mean(double a, double a_weight, double b, double b_weight) {
  return (a * a_weight + b * b_weight) / (a_weight + b_weight);
}

// Sums of squares, so that networks add up.
void add(WayError& sum, double weight, const WayError& one, double more) {
  sum.rmse_mm = std::sqrt(mean(sum.rmse_mm * sum.rmse_mm, weight, one.rmse_mm * one.rmse_mm, more));
  sum.mae_mm = mean(sum.mae_mm, weight, one.mae_mm, more);
}

void add(BandScore& sum, const BandScore& one) {
  if (one.windows == 0) return;
  const auto weight = static_cast<double>(sum.windows);
  const auto more = static_cast<double>(one.windows);
  sum.coverage = mean(sum.coverage, weight, one.coverage, more);
  sum.below = mean(sum.below, weight, one.below, more);
  sum.above = mean(sum.above, weight, one.above, more);
  sum.windows += one.windows;
}

void add(WindowScore& sum, const WindowScore& one) {
  const auto weight = static_cast<double>(sum.windows);
  const auto more = static_cast<double>(one.windows);
  add(sum.fill, weight, one.fill, more);
  add(sum.nearest, weight, one.nearest, more);
  add(sum.normal_ratio, weight, one.normal_ratio, more);
  add(sum.inverse, weight, one.inverse, more);
  sum.hours = mean(sum.hours, weight, one.hours, more);
  sum.crps_mm = mean(sum.crps_mm, weight, one.crps_mm, more);
  add(sum.wet, one.wet);
  add(sum.heavy, one.heavy);
  sum.windows += one.windows;
}

void add(StepPit& sum, const StepPit& one) {
  for (std::size_t i = 0; i < kPitBins; ++i)
    sum.share[i] = mean(sum.share[i], static_cast<double>(sum.steps), one.share[i],
                        static_cast<double>(one.steps));
  sum.steps += one.steps;
}

void add(FillScore& sum, const FillScore& one) {
  const auto steps = static_cast<double>(sum.hidden);
  const auto more = static_cast<double>(one.hidden);
  sum.bias_error = std::hypot(sum.bias_error * sum.measured_mm, one.bias_error * one.measured_mm) /
                   (sum.measured_mm + one.measured_mm);
  sum.bias = mean(sum.bias, sum.measured_mm, one.bias, one.measured_mm);
  sum.wet_ratio = mean(sum.wet_ratio, steps, one.wet_ratio, more);
  sum.step_above = mean(sum.step_above, steps, one.step_above, more);
  sum.step_coverage = mean(sum.step_coverage, steps, one.step_coverage, more);
  sum.refused = mean(sum.refused, steps, one.refused, more);
  add(sum.pit, one.pit);
  add(sum.wet_pit, one.wet_pit);
  sum.measured_mm += one.measured_mm;
  sum.hidden += one.hidden;
  for (std::size_t i = 0; i < sum.windows.size(); ++i) add(sum.windows[i], one.windows[i]);
}

void add(Rehearsal& sum, const Rehearsal& one) {
  if (sum.neighbours.empty()) {
    sum = one;
    return;
  }
  sum.untouched.insert(sum.untouched.end(), one.untouched.begin(), one.untouched.end());
  sum.outcomes.insert(sum.outcomes.end(), one.outcomes.begin(), one.outcomes.end());
  sum.heavy.all += one.heavy.all;
  sum.heavy.suspect += one.heavy.suspect;
  sum.heavy.refused += one.heavy.refused;
  for (std::size_t i = 0; i < sum.neighbours.size(); ++i) {
    sum.neighbours[i].more += one.neighbours[i].more;
    sum.neighbours[i].fewer += one.neighbours[i].fewer;
    sum.neighbours[i].gauge_years += one.neighbours[i].gauge_years;
  }
  add(sum.fill, one.fill);
}

std::string percent(double share) {
  return std::isfinite(share) ? fmt::format("{:.0f} %", 100 * share) : "-";
}

std::string number(double value) {
  return std::isnan(value) ? "-" : std::isinf(value) ? "never" : fmt::format("{:.1f}", value);
}

void print_rate(const char* what, std::size_t count, double years) {
  const RateInterval rate = poisson_interval(count, years);
  fmt::print("{}: {} in {:.1f} gauge-years, {:.3f} a year ({:.3f} to {:.3f})\n", what, count, years,
             rate.rate, rate.low, rate.high);
}

void print(const Rehearsal& all) {
  const FalseCalls calls = false_calls(all);
  print_rate("false calls, any tier", calls.any, calls.gauge_years);
  print_rate("false calls, confirmed", calls.confirmed, calls.gauge_years);
  fmt::print("steps of 5 mm/h or more: {}; suspect {}, refused {}\n", all.heavy.all,
             all.heavy.suspect, all.heavy.refused);
  fmt::print(
      "| fault | planted | telling | found | confirmed | named rightly | mostly called | before 5 "
      "mm "
      "| before 10 mm | median mm | p90 mm | onset error mm | storms, median / p90 | shift right | "
      "dry sum before 10 mm | residual before 10 mm | found by CUSUM | neighbours' calls more / "
      "fewer |\n|{}\n",
      [] {
        std::string bars;
        for (int i = 0; i < 18; ++i) bars += " --- |";
        return bars;
      }());
  for (const RehearsalRow& r : rehearsal_rows(all, kStep))
    fmt::print(
        "| {} {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} / {} | {} | {} "
        "| {} | {} | {} / {} in {:.0f} years |\n",
        r.fault, r.size, r.planted, r.telling, percent(r.found), percent(r.confirmed),
        percent(r.named_right), r.called_as, percent(r.before_5_mm), percent(r.before_10_mm),
        number(r.median_mm), number(r.p90_mm), number(r.median_onset_error_mm),
        number(r.median_storms), number(r.p90_storms), percent(r.shift_right),
        percent(r.dry_sum_before_10_mm), percent(r.residual_before_10_mm),
        percent(r.found_by_cusum), r.neighbours.more, r.neighbours.fewer, r.neighbours.gauge_years);
  fmt::print("{}", as_text(all.fill));
}

}  // namespace

int main(int argc, char** argv) {
  const int networks = argc > 1 ? std::atoi(argv[1]) : 5;
  const int gauges = argc > 2 ? std::atoi(argv[2]) : 50;
  const double spacing_m = argc > 3 ? std::atof(argv[3]) : 10000;
  const int days = argc > 4 ? std::atoi(argv[4]) : 730;
  RehearsalOptions options;
  if (argc > 5) options.faults_per_kind = std::atoi(argv[5]);
  Rehearsal all;
  const auto begin = std::chrono::steady_clock::now();
  for (int network = 0; network < networks; ++network) {
    const auto rain = rain_of(network, gauges, spacing_m, days);
    RainRecord record;
    record.depths = rain.table;
    add(all, rehearse(rain.network, record, options));
  }
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
  fmt::print("{} networks of {} gauges at {:.1f} km, {} days of 15 min; {:.1f} s each\n", networks,
             gauges, spacing_m / 1000, days, took.count() / networks);
  print(all);
  return 0;
}
