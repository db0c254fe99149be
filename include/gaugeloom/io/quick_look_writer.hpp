#pragma once
// A picture of a map of rain totals for reports and messengers: classes of colour over light and
// shadow of the ground, isohyets, gauges, a legend, and a caution that stays with it. PNG.

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/io/atomic_file.hpp"

namespace gaugeloom {

struct QuickLookGauge {
  std::string id;  // any bytes; what cannot be shown is replaced, what is too long is cut
  MetricPoint position;
  double total_mm = 0;         // NaN: the gauge is left out of the map
  double share_estimated = 0;  // of its steps, 0 to 1
};

struct QuickLookTexts {  // UTF-8; long ones are broken into lines
  std::string title;
  std::string subtitle;
  std::string caution;
  std::string crs;  // its name
};

struct QuickLook {
  Grid grid;                         // a cell is a pixel: quick_look_grid()
  std::span<const float> totals_mm;  // one per cell, row by row; NaN = no value
  std::span<const float> shade;      // geo/hillshade.hpp, NaN = unknown; empty = plain colours
  std::span<const QuickLookGauge> gauges;
  QuickLookTexts texts;
  bool north_up = true;  // false for coordinates without a place on Earth: no arrow then
};

// Pixels from the upper left corner of the picture.
struct PixelBox {
  int left = 0;
  int top = 0;
  int width = 0;
  int height = 0;
};

// Where things stand in the picture.
struct QuickLookLayout {
  int width = 0;
  int height = 0;
  PixelBox map;
  std::vector<double> bounds_mm;  // of the classes, storms/rain_classes.hpp
  std::vector<PixelBox> classes;  // their boxes in the legend, lowest class first
  std::vector<PixelBox> labels;   // of gauges
};

// Square cells over `bounds`, 1200 on the longer side (our choice: sharp on a telephone and in a
// report, and small).
// Throws: as grid_over.
Grid quick_look_grid(const MetricBounds& bounds);

// Draws the picture into `file`; the caller commits it. Class i of n has rain_colour(i / (n - 1)),
// a little lighter or darker with the light of the ground; cells without a value are bare and
// hatched. Marks of gauges differ by shape and colour: a disc where all steps were measured, a
// lozenge where some were estimated, a triangle where half or more were, a cross where the gauge
// is left out. Labels stand beside their marks: the wettest and the driest, over other marks where
// there is no better place, then up to 12 more that cover neither marks nor labels, each as far as
// possible from those before it. The same input gives the same bytes for any number of threads, on
// any machine with the same versions of the drawing libraries: the letters are built in, no font is
// looked up.
//
// Requires:  totals_mm.size() == grid.cell_count(), totals >= 0, square cells; shade empty or as
//            many.
// Throws:    Error{io_failure} when the file cannot be written or the picture has no room in
//            memory; Error{invalid_option} for a grid of more than 4000 cells on a side.
QuickLookLayout write_quick_look(AtomicFile& file, const QuickLook& look, int threads = 0);

}  // namespace gaugeloom
