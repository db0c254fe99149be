#include "gaugeloom/fill/band_law.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kOutside = 0.05;  // of the law, below the band; above it likewise
constexpr double kMostPower = 50;
constexpr int kShares = 100;
constexpr int kHalvings = 40;

double square(double x) { return x * x; }

// The last x in [from, to] at which `is_below` still holds; it holds up to there and no further.
template <typename Predicate>
double last_below(double from, double to, const Predicate& is_below) {
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (from + to) / 2;
    (is_below(middle) ? from : to) = middle;
  }
  return from;
}

double inside(const BandLaw& law) { return 1 - kOutside - law.tail_share; }

// The power that makes the mean `mean_mm`, within its limits.
double power_for(const BandLaw& law, double mean_mm) {
  const double outside = kOutside * law.low_mm / 2 + law.tail_share * (law.high_mm + law.tail_mm);
  const double share =
      ((mean_mm - outside) / inside(law) - law.low_mm) / (law.high_mm - law.low_mm);
  const double least = 1 / (kMostPower + 1);
  return 1 / std::clamp(share, least, 1 - least) - 1;
}

// The second moment rises with the tail, though the power then gives way to keep the mean.
void shape_wet(double estimate_mm, double error_mm, BandLaw& law) {
  if (law.high_mm <= law.low_mm) return;
  const double wanted = square(estimate_mm) + square(error_mm);
  const auto with_tail = [&](double tail_mm) {
    BandLaw shaped = law;
    shaped.tail_mm = tail_mm;
    shaped.power = power_for(shaped, estimate_mm);
    return shaped;
  };
  const double longest = estimate_mm / law.tail_share - law.high_mm;
  const auto leaves_room = [&](double tail_mm) {
    const BandLaw shaped = with_tail(tail_mm);
    return shaped.power < kMostPower && shaped.mean_square_mm2() < wanted;
  };
  law = with_tail(last_below(0, std::max(0.0, longest), leaves_room));
}

// Share q of rain with mean depth m: q exp(-high / m) = 0.05 and 2 q m^2 = error^2.
void shape_dry(double error_mm, BandLaw& law) {
  const double bound = law.high_mm;
  law.high_mm = 0;
  const double wanted = square(error_mm) / (2 * kOutside);
  const auto is_below = [&](double mean_mm) {
    return square(mean_mm) * portable_exp(bound / mean_mm) < wanted;
  };
  law.tail_mm = bound > 0 ? last_below(bound / 2, std::max(bound / 2, std::sqrt(wanted)), is_below)
                          : std::sqrt(wanted);
  if (bound > 0) law.tail_share = kOutside * portable_exp(bound / law.tail_mm);
}

}  // namespace

double BandLaw::quantile_mm(double share) const {
  if (share > 1 - tail_share) return high_mm - tail_mm * portable_log((1 - share) / tail_share);
  if (share < kOutside) return low_mm * share / kOutside;
  if (high_mm <= low_mm) return low_mm;
  return low_mm + (high_mm - low_mm) * portable_pow((share - kOutside) / inside(*this), power);
}

double BandLaw::share_up_to(double mm) const {
  if (mm < 0) return 0;
  if (mm < low_mm) return kOutside * mm / low_mm;
  if (mm >= high_mm && tail_mm <= 0) return 1;
  if (mm >= high_mm) return 1 - tail_share * portable_exp((high_mm - mm) / tail_mm);
  return kOutside + inside(*this) * portable_pow((mm - low_mm) / (high_mm - low_mm), 1 / power);
}

double BandLaw::mean_mm() const {
  return kOutside * low_mm / 2 + inside(*this) * (low_mm + (high_mm - low_mm) / (power + 1)) +
         tail_share * (high_mm + tail_mm);
}

double BandLaw::mean_square_mm2() const {
  const double width = high_mm - low_mm;
  return kOutside * square(low_mm) / 3 +
         inside(*this) *
             (square(low_mm) + 2 * low_mm * width / (power + 1) + square(width) / (2 * power + 1)) +
         tail_share * (square(high_mm + tail_mm) + square(tail_mm));
}

double BandLaw::crps_mm(double measured_mm) const {
  double sum = 0;
  for (int i = 0; i < kShares; ++i) {
    const double share = (i + 0.5) / kShares;
    const double short_mm = measured_mm - quantile_mm(share);
    sum += short_mm > 0 ? share * short_mm : (share - 1) * short_mm;
  }
  return 2 * sum / kShares;
}

BandLaw band_law(double estimate_mm, const DepthError& band) {
  GAUGELOOM_ASSERT(!(band.low_mm < 0 || band.high_mm < band.low_mm));
  BandLaw law;
  law.low_mm = band.low_mm;
  law.high_mm = band.high_mm;
  if (estimate_mm > 0)
    shape_wet(estimate_mm, band.standard_error_mm, law);
  else
    shape_dry(band.standard_error_mm, law);
  return law;
}

}  // namespace gaugeloom
