#pragma once
// Changes in a series of log ratios of a gauge to its neighbours: a step or a ramp.
//
// Sources: H. Alexandersson, Journal of Climatology 6, 1986 (single-break statistic, SNHT);
// A. Scott and M. Knott, Biometrics 30, 1974 (several breaks by splitting again); R. DerSimonian
// and N. Laird, Controlled Clinical Trials 7, 1986 (variance between seasons, by moments);
// J. von Neumann, Annals of Mathematical Statistics 12, 1941 (variance by successive differences).

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace gaugeloom {

inline constexpr std::size_t kSeasons = 4;

struct RatioPoint {
  double day = 0;          // when, in days from any origin; points rise in it
  std::size_t season = 0;  // 0 .. kSeasons - 1
  double value = 0;        // log ratio
  double weight = 1;       // 1 / its variance, > 0
};

enum class ChangeShape {
  step,  // x = 1 from the first point of the change on, 0 before
  ramp,  // x rises in a straight line of time from 0 at that point to 1 at the last point of all
};

struct RatioChange {
  ChangeShape shape = ChangeShape::step;
  std::size_t at = 0;      // index of the first point of the change; 0 = none was found
  double score = 0;        // log-likelihood ratio against no change, in nats
  double change = 0;       // of the log ratio, from the beginning to the end of it
  double information = 0;  // 1 / variance of `change`
};

// How much of a change that begins at day `begin` has come by a day, 0 to 1; a ramp ends at `last`.
double share_come(ChangeShape shape, double begin, double last, double day);

struct ChangeOptions {
  // Variance of what a site does differently from season to season. The model of a value is mean +
  // season's own part (random, this variance) + change * x + noise of variance 1 / weight, so that
  // points before and after are compared within a season where both have it, and a difference that
  // seasons could make counts for less. 0: seasons play no part.
  double season_variance = 0;
  std::size_t least_side = 8;  // points on either side of a step, and on a ramp; 1 or more
  double least_ramp_days = 90;
};

// The change of that shape with the largest score. With equal weights, no season variance and
// least_side 1, twice the score of a step is Alexandersson's T0 on values of variance 1.
//
// Laws: (1) a constant added to the values changes nothing; (2) values times c and weights / c^2
//       give the same score; (3) values turned round in sign give the same score and place.
// Requires: points sorted by day, weights > 0. Cost: linear in the points.
RatioChange best_change(std::span<const RatioPoint> points, ChangeShape shape,
                        const ChangeOptions& options = {});

// Every change of that shape that the options allow, the latest first. Cost: as above.
std::vector<RatioChange> possible_changes(std::span<const RatioPoint> points, ChangeShape shape,
                                          const ChangeOptions& options = {});

// The change of that shape that begins at a given point. Requires 0 < at < points.size() for a
// step, at + 1 < points.size() for a ramp.
RatioChange change_at(std::span<const RatioPoint> points, ChangeShape shape, std::size_t at,
                      double season_variance = 0);

// The points with every clear change (score 5 or more, at most 3 of them) taken out of the values:
// what their noise is like without.
std::vector<RatioPoint> without_changes(std::span<const RatioPoint> points,
                                        const ChangeOptions& options = {});

// Variance of the values times their weights, from successive differences, which a change moves but
// once; 1 when the weights are right. Shrunk to 1 as if 20 more differences had said so; the square
// of a standardised difference counts at most 8.
double successive_variance(std::span<const RatioPoint> points);

// Variance between the seasons beyond what the weights explain, pooled over the gauges, each
// season with at least 5 points; never negative. One gauge's excess counts at most 4 times its
// degrees of freedom.
double season_variance(std::span<const std::vector<RatioPoint>> gauges);

// Variance between the seasons that comes back year after year at one gauge: the mean product of
// what a season of one year and the same season of another lie off their years. A change makes
// next to none of it. A season of a year needs 5 points, two years 3 such seasons in common,
// counted from day 0 in years of 365.25 days; absent when no two years have them; never negative.
std::optional<double> recurring_season_variance(std::span<const RatioPoint> points);

// The same days and seasons with the values and weights of each season put in another order:
// points on consecutive days (at most 4) stay together, as one storm. The same seed, the same
// order.
std::vector<RatioPoint> permuted_within_season(std::span<const RatioPoint> points,
                                               std::uint64_t seed);

}  // namespace gaugeloom
