#include "gaugeloom/interp/variogram.hpp"

#include <fmt/format.h>

#include <array>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "interp/matern_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 4> kShapeWords = {"spherical", "exponential", "gaussian",
                                                         "matern"};

double spherical(double ratio) {
  return ratio >= 1 ? 0.0 : 1.0 - ratio * (1.5 - 0.5 * ratio * ratio);
}

// Calls use(correlation) with the correlation of the shape, a function of h / a for h > 0.
template <typename Use>
void with_correlation(const Variogram& v, Use use) {
  switch (v.shape) {
    case VariogramShape::spherical:
      return use([](double ratio) { return spherical(ratio); });
    case VariogramShape::exponential:
      return use([](double ratio) { return portable_exp(-ratio); });
    case VariogramShape::gaussian:
      return use([](double ratio) { return portable_exp(-ratio * ratio); });
    case VariogramShape::matern:
      return use(
          [matern = MaternCorrelation(v.smoothness)](double ratio) { return matern(ratio); });
  }
}

void fill_covariances(const Variogram& v, std::span<const double> distances_m, double at_zero,
                      std::span<double> out) {
  GAUGELOOM_ASSERT(distances_m.size() == out.size());
  with_correlation(v, [&](const auto& correlation) {
    for (std::size_t i = 0; i < out.size(); ++i) {
      const double h_m = distances_m[i];
      out[i] = h_m > 0 ? v.partial_sill * correlation(h_m / v.range_m) : at_zero;
    }
  });
}

bool within(double value, double low, double high) { return value >= low && value <= high; }

}  // namespace

double Variogram::gamma(double h_m) const {
  if (h_m <= 0) return 0;
  double value = 0;
  with_correlation(*this, [&](const auto& correlation) {
    value = nugget + partial_sill * (1 - correlation(h_m / range_m));
  });
  return value;
}

double Variogram::covariance(double h_m) const {
  return h_m > 0 ? structured_covariance(h_m) : sill();
}

double Variogram::structured_covariance(double h_m) const {
  if (h_m <= 0) return partial_sill;
  double value = 0;
  with_correlation(
      *this, [&](const auto& correlation) { value = partial_sill * correlation(h_m / range_m); });
  return value;
}

void covariances(const Variogram& variogram, std::span<const double> distances_m,
                 std::span<double> out) {
  fill_covariances(variogram, distances_m, variogram.sill(), out);
}

void structured_covariances(const Variogram& variogram, std::span<const double> distances_m,
                            std::span<double> out) {
  fill_covariances(variogram, distances_m, variogram.partial_sill, out);
}

std::optional<std::string> Variogram::problem() const {
  constexpr double kHuge = 1e100;  // beyond it squares overflow
  if (!within(nugget, 0, kHuge))
    return fmt::format("nugget is {}; give a number from 0 on", nugget);
  if (!within(partial_sill, 0, kHuge))
    return fmt::format("partial sill is {}; give a number from 0 on", partial_sill);
  if (!(sill() > 0)) return "nugget and partial sill are both 0; give at least one above 0";
  if (!(range_m > 0 && range_m <= kHuge))
    return fmt::format("range is {} m; give a length above 0", range_m);
  if (shape == VariogramShape::matern && !within(smoothness, 0.1, 10))
    return fmt::format("smoothness is {}; give a number from 0.1 to 10", smoothness);
  return std::nullopt;
}

std::string_view word(VariogramShape shape) { return kShapeWords[static_cast<std::size_t>(shape)]; }

std::optional<VariogramShape> parse_variogram_shape(std::string_view text) {
  for (std::size_t i = 0; i < kShapeWords.size(); ++i)
    if (kShapeWords[i] == text) return static_cast<VariogramShape>(i);
  return std::nullopt;
}

std::string describe(const Variogram& v) {
  std::string text = fmt::format("{:.6g} nugget + {:.6g} {} {:.1f} km", v.nugget, v.partial_sill,
                                 word(v.shape), v.range_m / 1000);
  if (v.shape == VariogramShape::matern) text += fmt::format(" smoothness {:.6g}", v.smoothness);
  return text;
}

}  // namespace gaugeloom
