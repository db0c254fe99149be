#include "gaugeloom/expect/ratio_break.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostDifference = 8;  // squared, standardised
constexpr double kClearNats = 5;
constexpr int kMostTakenOut = 3;
constexpr double kPriorDifferences = 20;
constexpr std::size_t kLeastSeasonPoints = 5;
constexpr double kLeastSeasons = 3;  // in common, for two years to be held against each other
constexpr double kYearDays = 365.25;
constexpr double kMostExcess = 4;
constexpr std::size_t kMostStormDays = 4;

// Weighted sums over points of one season; t is the time before the last point of all, <= 0.
struct Moments {
  double w = 0, wt = 0, wtt = 0, wy = 0, wty = 0;

  void add(const RatioPoint& p, double t, double centre) {
    const double y = p.value - centre;
    w += p.weight;
    wt += p.weight * t;
    wtt += p.weight * t * t;
    wy += p.weight * y;
    wty += p.weight * t * y;
  }
};
using SeasonMoments = std::array<Moments, kSeasons>;

double mean_value(std::span<const RatioPoint> points) {
  double weights = 0;
  double sum = 0;
  for (const RatioPoint& p : points) {
    weights += p.weight;
    sum += p.weight * p.value;
  }
  return weights > 0 ? sum / weights : 0;
}

// Sums of x, x^2 and x y over the points of a change that are in `after`; x = (t - begin) / length
// on a ramp, 1 on a step.
struct Design {
  double x = 0, xx = 0, xy = 0;
};

Design design(const Moments& after, ChangeShape shape, double begin) {
  if (shape == ChangeShape::step) return {after.w, after.w, after.wy};
  const double length = -begin;
  const double x = (after.wt - begin * after.w) / length;
  const double xx =
      (after.wtt - 2 * begin * after.wt + begin * begin * after.w) / (length * length);
  return {x, xx, (after.wty - begin * after.wy) / length};
}

// Generalised least squares of y on a constant and x, where the points of a season share a random
// part: a' V^-1 b = sum over seasons of (ab) - (a)(b) / (w + 1/variance), with (.) weighted sums.
RatioChange fit(const SeasonMoments& all, const SeasonMoments& after, ChangeShape shape,
                std::size_t at, double begin, double season_variance) {
  double one_one = 0, one_x = 0, one_y = 0, x_x = 0, x_y = 0;
  for (std::size_t s = 0; s < kSeasons; ++s) {
    if (all[s].w <= 0) continue;
    const double shared = season_variance / (1 + season_variance * all[s].w);
    const double kept = 1 / (1 + season_variance * all[s].w);
    const Design d = design(after[s], shape, begin);
    one_one += all[s].w * kept;
    one_x += d.x * kept;
    one_y += all[s].wy * kept;
    x_x += d.xx - d.x * d.x * shared;
    x_y += d.xy - d.x * all[s].wy * shared;
  }
  RatioChange out;
  out.shape = shape;
  out.at = at;
  out.information = x_x - one_x * one_x / one_one;
  if (!(out.information > 1e-9 * x_x)) return {};
  const double numerator = x_y - one_x * one_y / one_one;
  out.change = numerator / out.information;
  out.score = 0.5 * numerator * out.change;
  return out;
}

struct Series {
  std::span<const RatioPoint> points;
  double centre = 0;
  double last_day = 0;
  SeasonMoments all{};

  explicit Series(std::span<const RatioPoint> of)
      : points(of), centre(mean_value(of)), last_day(of.empty() ? 0 : of.back().day) {
    for (const RatioPoint& p : points) add(all, p);
  }
  double time(const RatioPoint& p) const { return p.day - last_day; }
  void add(SeasonMoments& sums, const RatioPoint& p) const {
    sums[p.season].add(p, time(p), centre);
  }
};

template <typename Visit>
void each_change(std::span<const RatioPoint> points, ChangeShape shape,
                 const ChangeOptions& options, const Visit& visit) {
  const std::size_t least = std::max<std::size_t>(1, options.least_side);
  if (points.size() < 2 * least) return;
  const Series series(points);
  SeasonMoments after{};
  const std::size_t earliest = shape == ChangeShape::step ? least : 1;
  for (std::size_t at = points.size(); at-- > earliest;) {
    series.add(after, points[at]);
    if (points.size() - at < least) continue;
    const double begin = series.time(points[at]);
    if (shape == ChangeShape::ramp && !(-begin >= options.least_ramp_days)) continue;
    visit(fit(series.all, after, shape, at, begin, options.season_variance));
  }
}

struct Sample {
  double weights = 0;
  double sum = 0;
  std::size_t points = 0;

  void add(const RatioPoint& p) {
    weights += p.weight;
    sum += p.weight * p.value;
    ++points;
  }
  double mean() const { return sum / weights; }
};
using SeasonSamples = std::array<Sample, kSeasons>;

// Mean product of the seasons' deviations from their years, over the seasons that both years have;
// as a covariance, with one degree of freedom less.
std::optional<double> season_product(const SeasonSamples& a, const SeasonSamples& b) {
  double seasons = 0, sum_a = 0, sum_b = 0, products = 0;
  for (std::size_t s = 0; s < kSeasons; ++s) {
    if (a[s].points < kLeastSeasonPoints || b[s].points < kLeastSeasonPoints) continue;
    seasons += 1;
    sum_a += a[s].mean();
    sum_b += b[s].mean();
    products += a[s].mean() * b[s].mean();
  }
  if (seasons < kLeastSeasons) return std::nullopt;
  return (products - sum_a * sum_b / seasons) / (seasons - 1);
}

// Cochran's Q of the season means of one gauge, its degrees of freedom, and the factor that
// multiplies the variance between seasons in Q's expectation.
struct SeasonSpread {
  double q = 0, freedom = 0, factor = 0;
};

SeasonSpread season_spread(std::span<const RatioPoint> points) {
  SeasonSamples samples{};
  for (const RatioPoint& p : points) samples[p.season].add(p);
  double weights = 0, squares = 0, sum = 0;
  std::size_t seasons = 0;
  for (const Sample& s : samples) {
    if (s.points < kLeastSeasonPoints) continue;
    weights += s.weights;
    squares += s.weights * s.weights;
    sum += s.sum;
    ++seasons;
  }
  if (seasons < 2) return {};
  SeasonSpread out{0, static_cast<double>(seasons - 1), weights - squares / weights};
  for (const Sample& s : samples) {
    if (s.points < kLeastSeasonPoints) continue;
    const double off = s.mean() - sum / weights;
    out.q += s.weights * off * off;
  }
  return out;
}

struct Storm {
  std::size_t first = 0;
  std::size_t last = 0;  // [first, last)
};

std::array<std::vector<Storm>, kSeasons> storms_by_season(std::span<const RatioPoint> points) {
  std::array<std::vector<Storm>, kSeasons> storms;
  for (std::size_t i = 0; i < points.size();) {
    std::size_t end = i + 1;
    while (end < points.size() && end - i < kMostStormDays &&
           points[end].season == points[i].season && points[end].day - points[end - 1].day < 1.5) {
      ++end;
    }
    storms[points[i].season].push_back({i, end});
    i = end;
  }
  return storms;
}

}  // namespace

RatioChange best_change(std::span<const RatioPoint> points, ChangeShape shape,
                        const ChangeOptions& options) {
  RatioChange best;
  best.shape = shape;
  each_change(points, shape, options, [&](const RatioChange& found) {
    if (found.score > best.score) best = found;
  });
  return best;
}

std::vector<RatioChange> possible_changes(std::span<const RatioPoint> points, ChangeShape shape,
                                          const ChangeOptions& options) {
  std::vector<RatioChange> all;
  each_change(points, shape, options, [&](const RatioChange& found) { all.push_back(found); });
  return all;
}

RatioChange change_at(std::span<const RatioPoint> points, ChangeShape shape, std::size_t at,
                      double season_variance) {
  GAUGELOOM_ASSERT(at > 0 && at < points.size());
  const Series series(points);
  SeasonMoments after{};
  for (std::size_t i = at; i < points.size(); ++i) series.add(after, points[i]);
  return fit(series.all, after, shape, at, series.time(points[at]), season_variance);
}

double share_come(ChangeShape shape, double begin, double last, double day) {
  if (day < begin) return 0;
  if (shape == ChangeShape::step || day >= last) return 1;
  return (day - begin) / (last - begin);
}

std::vector<RatioPoint> without_changes(std::span<const RatioPoint> points,
                                        const ChangeOptions& options) {
  std::vector<RatioPoint> out(points.begin(), points.end());
  for (int i = 0; i < kMostTakenOut; ++i) {
    const RatioChange step = best_change(out, ChangeShape::step, options);
    const RatioChange ramp = best_change(out, ChangeShape::ramp, options);
    const RatioChange& best = ramp.score > step.score ? ramp : step;
    if (best.score < kClearNats) break;
    const double begin = out[best.at].day;
    for (RatioPoint& p : out)
      p.value -= best.change * share_come(best.shape, begin, out.back().day, p.day);
  }
  return out;
}

double successive_variance(std::span<const RatioPoint> points) {
  double sum = kPriorDifferences;
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double step = points[i].value - points[i - 1].value;
    const double variance = 1 / points[i].weight + 1 / points[i - 1].weight;
    sum += std::min(step * step / variance, kMostDifference);
  }
  const double differences = points.empty() ? 0 : static_cast<double>(points.size() - 1);
  return sum / (kPriorDifferences + differences);
}

double season_variance(std::span<const std::vector<RatioPoint>> gauges) {
  std::vector<double> excesses;  // summed in an order of their own, not of the gauges
  std::vector<double> factors;
  for (const auto& points : gauges) {
    const SeasonSpread s = season_spread(points);
    if (s.freedom <= 0) continue;
    excesses.push_back(std::min(s.q, (1 + kMostExcess) * s.freedom) - s.freedom);
    factors.push_back(s.factor);
  }
  std::sort(excesses.begin(), excesses.end());
  std::sort(factors.begin(), factors.end());
  double excess = 0, factor = 0;
  for (std::size_t i = 0; i < factors.size(); ++i) {
    excess += excesses[i];
    factor += factors[i];
  }
  return factor > 0 ? std::max(0.0, excess / factor) : 0;
}

std::optional<double> recurring_season_variance(std::span<const RatioPoint> points) {
  std::vector<SeasonSamples> years;
  for (const RatioPoint& p : points) {
    const auto year = static_cast<std::size_t>(std::max(0.0, p.day) / kYearDays);
    if (year >= years.size()) years.resize(year + 1);
    years[year][p.season].add(p);
  }
  double sum = 0, products = 0;
  for (std::size_t a = 0; a < years.size(); ++a)
    for (std::size_t b = a + 1; b < years.size(); ++b)
      if (const auto product = season_product(years[a], years[b])) {
        sum += *product;
        products += 1;
      }
  if (products == 0) return std::nullopt;
  return std::max(0.0, sum / products);
}

std::vector<RatioPoint> permuted_within_season(std::span<const RatioPoint> points,
                                               std::uint64_t seed) {
  Random random(seed);
  std::array<std::vector<RatioPoint>, kSeasons> mixed;
  auto storms = storms_by_season(points);
  for (std::size_t s = 0; s < kSeasons; ++s) {
    auto& order = storms[s];
    for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[random.below(i)]);
    for (const Storm& storm : order)
      mixed[s].insert(mixed[s].end(), points.begin() + static_cast<std::ptrdiff_t>(storm.first),
                      points.begin() + static_cast<std::ptrdiff_t>(storm.last));
  }
  std::vector<RatioPoint> out(points.begin(), points.end());
  std::array<std::size_t, kSeasons> next{};
  for (RatioPoint& p : out) {
    const RatioPoint& from = mixed[p.season][next[p.season]++];
    p.value = from.value;
    p.weight = from.weight;
  }
  return out;
}

}  // namespace gaugeloom
