#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "gaugeloom/storms/rain_classes.hpp"
#include "io/quick_look_internal.hpp"

namespace gaugeloom::quick_look {
namespace {

// Levels of light per class: the colours stay few, and the file small. Our choice.
constexpr std::size_t kLights = 24;
constexpr double kFlat = 0.70710678118654752;  // the light on flat ground
constexpr double kDarker = 0.09;               // of lightness, on ground in shadow
constexpr double kLighter = 0.06;              // on ground that faces the light
constexpr double kIsohyetHalfWidth = 1.1;      // pixels
constexpr double kIsohyetInk = 0.5;            // share of ink in an isohyet

Rgb mixed(const Rgb& colour, const Rgb& ink, double share) {
  const auto mix = [share](std::uint8_t from, std::uint8_t to) {
    return static_cast<std::uint8_t>(std::floor(from + (to - from) * share + 0.5));
  };
  return {mix(colour.red, ink.red), mix(colour.green, ink.green), mix(colour.blue, ink.blue)};
}

class Painter {
 public:
  Painter(const QuickLook& look, std::span<const double> bounds_mm)
      : look_(look), bounds_mm_(bounds_mm) {
    for (std::size_t c = 0; c < class_count(bounds_mm); ++c) {
      const OkLab plain = oklab(class_colour(c, class_count(bounds_mm)));
      std::array<Rgb, kLights> lights;
      for (std::size_t i = 0; i < kLights; ++i) {
        const double shade = static_cast<double>(i) / (kLights - 1);
        const double change = shade < kFlat ? kDarker * (shade - kFlat) / kFlat
                                            : kLighter * (shade - kFlat) / (1 - kFlat);
        lights[i] = rgb({plain.lightness + change, plain.a, plain.b});
      }
      lit_.push_back(lights);
      plain_.push_back(class_colour(c, class_count(bounds_mm)));
    }
  }

  Rgb colour(std::size_t column, std::size_t row) const {
    const double total_mm = total(column, row);
    if (std::isnan(total_mm)) return hatch_colour(column, row);
    const std::size_t of = class_of(bounds_mm_, total_mm);
    return mixed(in_light(of, column, row), kInk, kIsohyetInk * isohyet(column, row, total_mm));
  }

 private:
  double total(std::size_t column, std::size_t row) const {
    return static_cast<double>(look_.totals_mm[row * look_.grid.columns + column]);
  }

  Rgb in_light(std::size_t of, std::size_t column, std::size_t row) const {
    if (look_.shade.empty()) return plain_[of];
    const auto shade = static_cast<double>(look_.shade[row * look_.grid.columns + column]);
    if (std::isnan(shade)) return plain_[of];
    return lit_[of][static_cast<std::size_t>(
        std::floor(std::clamp(shade, 0.0, 1.0) * (kLights - 1) + 0.5))];
  }

  // How much of the pixel an isohyet covers, 0 to 1: by its distance to the nearest bound, which is
  // the difference in rain over the slope.
  double isohyet(std::size_t column, std::size_t row, double total_mm) const {
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 1; i + 1 < bounds_mm_.size(); ++i)
      nearest = std::min(nearest, std::abs(bounds_mm_[i] - total_mm));
    const double across = slope(column, row, 1, 0), down = slope(column, row, 0, 1);
    const double steepness = std::sqrt(across * across + down * down);
    if (!(nearest < 2 * steepness)) return 0;
    return std::clamp(kIsohyetHalfWidth + 0.5 - nearest / steepness, 0.0, 1.0);
  }

  // mm per pixel; 0 at the edge of what is known.
  double slope(std::size_t column, std::size_t row, std::size_t across, std::size_t down) const {
    if (column < across || row < down || column + across >= look_.grid.columns ||
        row + down >= look_.grid.rows)
      return 0;
    const double by = (total(column + across, row + down) - total(column - across, row - down)) / 2;
    return std::isnan(by) ? 0 : by;
  }

  const QuickLook& look_;
  std::span<const double> bounds_mm_;
  std::vector<std::array<Rgb, kLights>> lit_;  // by class and light
  std::vector<Rgb> plain_;
};

}  // namespace

std::size_t class_count(std::span<const double> bounds_mm) {
  return std::max<std::size_t>(1, bounds_mm.size() - 1);
}

Rgb class_colour(std::size_t index, std::size_t classes) {
  return rain_colour(classes < 2 ? 0
                                 : static_cast<double>(index) / static_cast<double>(classes - 1));
}

Rgb hatch_colour(std::size_t column, std::size_t row) {
  constexpr std::size_t kEvery = 16, kWide = 2;
  return (column + row) % kEvery < kWide ? kHatch : kPaper;
}

void paint_map(Canvas& canvas, const QuickLook& look, std::span<const double> bounds_mm,
               const PixelBox& map, int threads) {
  const Painter painter(look, bounds_mm);
  canvas.fill_pixels(map, threads, [&](std::size_t column, std::size_t row) {
    return painter.colour(column, row);
  });
}

}  // namespace gaugeloom::quick_look
