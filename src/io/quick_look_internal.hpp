#pragma once
// The parts of the quick look. Internal.

#include <span>
#include <string>
#include <vector>

#include "gaugeloom/io/quick_look_writer.hpp"
#include "io/canvas_internal.hpp"

namespace gaugeloom::quick_look {

inline constexpr Rgb kPaper{252, 250, 245};
inline constexpr Rgb kInk{27, 31, 46};
inline constexpr Rgb kQuietInk{94, 94, 104};
inline constexpr Rgb kHatch{205, 200, 188};
// Of the marks of gauges, here and in the styles of storms.gpkg.
inline constexpr Rgb kWhite{255, 255, 255};
inline constexpr Rgb kAmber{247, 181, 0};
inline constexpr Rgb kVermilion{222, 70, 22};

inline constexpr TextStyle kTitle{46, Weight::bold};
inline constexpr TextStyle kSubtitle{32, Weight::regular};
inline constexpr TextStyle kLegend{30, Weight::regular};
inline constexpr TextStyle kSmall{26, Weight::regular};
inline constexpr double kLineHeight = 1.25;  // of the em

// How a gauge's total came about.
enum class Mark { measured, partly_filled, mostly_filled, left_out };
inline constexpr Mark kMarks[] = {Mark::measured, Mark::partly_filled, Mark::mostly_filled,
                                  Mark::left_out};
Mark mark_of(const QuickLookGauge& gauge);
void draw_mark(Canvas& canvas, Mark mark, SheetPoint centre, double radius);

// A gauge within the map.
struct PlacedGauge {
  const QuickLookGauge* gauge = nullptr;
  Mark mark = Mark::measured;
  SheetPoint at;
};
std::vector<PlacedGauge> gauges_on(const QuickLook& look, const PixelBox& map);
// Smaller where there are many.
double mark_radius(const PixelBox& map, std::size_t gauges);
void draw_gauges(Canvas& canvas, std::span<const PlacedGauge> gauges, double radius);

// Draws the labels for which there is room, and returns their boxes.
std::vector<PixelBox> draw_labels(Canvas& canvas, const Lettering& letters, const PixelBox& map,
                                  std::span<const PlacedGauge> gauges, double radius);

// The colour of class `index` of so many.
Rgb class_colour(std::size_t index, std::size_t classes);
std::size_t class_count(std::span<const double> bounds_mm);
// Bare paper with slanting lines, at a pixel.
Rgb hatch_colour(std::size_t column, std::size_t row);
void draw_frame(Canvas& canvas, const PixelBox& box);
// Fills the map: classes, light, isohyets, hatching.
void paint_map(Canvas& canvas, const QuickLook& look, std::span<const double> bounds_mm,
               const PixelBox& map, int threads);

// The legend below the map or beside it. Without a canvas it is only measured.
struct Legend {
  const Lettering* letters;
  std::span<const double> bounds_mm;
  std::span<const PlacedGauge> gauges;
  double cell_m;      // of a pixel of the map
  double widest_bar;  // of the scale, pixels
  bool upright;       // the highest class on top, else the lowest at the left
  bool north_up;
  // Returns the height it takes, and the boxes of the classes.
  int draw(Canvas* canvas, int left, int top, int width, std::vector<PixelBox>& classes) const;
};

}  // namespace gaugeloom::quick_look
