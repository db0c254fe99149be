#include "gaugeloom/io/rain_ramp.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

double cube(double x) { return x * x * x; }

// portable_pow is for bases from 0 on; light is never below but by rounding.
double cube_root(double x) { return portable_pow(std::max(x, 0.0), 1.0 / 3); }

double to_light(std::uint8_t channel) {
  const double value = channel / 255.0;
  return value <= 0.04045 ? value / 12.92 : portable_pow((value + 0.055) / 1.055, 2.4);
}

std::uint8_t to_channel(double light) {
  const double within = std::clamp(light, 0.0, 1.0);
  const double value =
      within <= 0.0031308 ? 12.92 * within : 1.055 * portable_pow(within, 1 / 2.4) - 0.055;
  return static_cast<std::uint8_t>(std::floor(255 * value + 0.5));
}

// The hues the ramp passes, at equal distances, our choice: a and b of OKLab.
struct Hue {
  double a;
  double b;
};
constexpr std::array<Hue, 6> kHues = {{{0.019, 0.023},
                                       {0.059, -0.010},
                                       {0.057, -0.082},
                                       {0.023, -0.133},
                                       {-0.015, -0.109},
                                       {-0.027, -0.059}}};
constexpr double kLightest = 0.945;
constexpr double kDarkest = 0.27;

// Through the hues without corners (Catmull and Rom's spline).
double through(double before, double from, double to, double after, double t) {
  return 0.5 * (2 * from + (to - before) * t + (2 * before - 5 * from + 4 * to - after) * t * t +
                (3 * from - before - 3 * to + after) * t * t * t);
}

}  // namespace

OkLab oklab(const Rgb& colour) {
  const double red = to_light(colour.red), green = to_light(colour.green),
               blue = to_light(colour.blue);
  const double l = cube_root(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue);
  const double m = cube_root(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue);
  const double s = cube_root(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue);
  return {0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
          1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
          0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

Rgb rgb(const OkLab& colour) {
  const double l = cube(colour.lightness + 0.3963377774 * colour.a + 0.2158037573 * colour.b);
  const double m = cube(colour.lightness - 0.1055613458 * colour.a - 0.0638541728 * colour.b);
  const double s = cube(colour.lightness - 0.0894841775 * colour.a - 1.2914855480 * colour.b);
  return {to_channel(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
          to_channel(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
          to_channel(-0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s)};
}

Rgb rain_colour(double share) {
  const double within = std::clamp(share, 0.0, 1.0);
  const double along = within * (kHues.size() - 1);
  const std::size_t part = std::min(static_cast<std::size_t>(along), kHues.size() - 2);
  const Hue& before = kHues[part == 0 ? 0 : part - 1];
  const Hue &from = kHues[part], &to = kHues[part + 1];
  const Hue& after = kHues[std::min(part + 2, kHues.size() - 1)];
  const double t = along - static_cast<double>(part);
  return rgb({kLightest + (kDarkest - kLightest) * within,
              through(before.a, from.a, to.a, after.a, t),
              through(before.b, from.b, to.b, after.b, t)});
}

}  // namespace gaugeloom
