#pragma once
// Isotropic variogram models: how unlike two places are, by their distance.
// Source: J.-P. Chiles and P. Delfiner, Geostatistics, 2nd ed., Wiley 2012, section 2.5.

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace gaugeloom {

enum class VariogramShape {
  spherical,    // s (1.5 h/a - 0.5 (h/a)^3) up to h = a, then s
  exponential,  // s (1 - exp(-h/a)): a is the e-folding distance, not the practical range
  gaussian,     // s (1 - exp(-(h/a)^2))
  matern,       // s (1 - 2^(1-v)/Gamma(v) (h/a)^v K_v(h/a)), v the smoothness
};

// Values are in the square of the field's unit (mm2 for depths); a scaled variogram has sill 1.
struct Variogram {
  VariogramShape shape = VariogramShape::exponential;
  double nugget = 0;        // >= 0; applies at h > 0, so that kriging is exact at a data point
  double partial_sill = 1;  // > 0, or 0 for a pure nugget
  double range_m = 15000;   // the model's own range parameter a, > 0
  double smoothness = 0.5;  // Matern only, 0.1 to 10; 0.5 is the exponential

  double sill() const { return nugget + partial_sill; }
  // The semivariance at distance h_m >= 0; 0 at h = 0. Same bits on every processor.
  double gamma(double h_m) const;
  // sill() - gamma(h_m), which is sill() at h = 0.
  double covariance(double h_m) const;
  // The part without the nugget: partial_sill at h = 0, covariance(h_m) at every other distance.
  double structured_covariance(double h_m) const;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
  bool operator==(const Variogram&) const = default;
};

// Many distances at once; out[i] has the same bits as the member functions give for distances_m[i],
// which are >= 0. Requires: equal sizes.
void covariances(const Variogram& variogram, std::span<const double> distances_m,
                 std::span<double> out);
void structured_covariances(const Variogram& variogram, std::span<const double> distances_m,
                            std::span<double> out);

std::string_view word(VariogramShape shape);
std::optional<VariogramShape> parse_variogram_shape(std::string_view text);
// "0.1 nugget + 0.9 spherical 60.0 km": for run.json, metadata and messages.
std::string describe(const Variogram& variogram);

}  // namespace gaugeloom
