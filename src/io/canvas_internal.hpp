#pragma once
// A sheet of pixels to draw on. Lengths are pixels from the upper left corner, y downwards.
// Internal.

#include <cstddef>
#include <functional>
#include <memory>
#include <span>
#include <string>

#include "gaugeloom/io/quick_look_writer.hpp"
#include "gaugeloom/io/rain_ramp.hpp"
#include "io/lettering_internal.hpp"

namespace gaugeloom {

struct SheetPoint {
  double x = 0;
  double y = 0;
};

struct Stroke {
  Rgb colour;
  double width = 0;  // 0: none
};

class Canvas {
 public:
  // Throws Error{io_failure} when there is no memory.
  Canvas(int width, int height, const Rgb& paper);
  ~Canvas();
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;

  int width() const;
  int height() const;
  // Sets every pixel of a box; `colour` is called once for each, from several threads.
  void fill_pixels(const PixelBox& box, int threads,
                   const std::function<Rgb(std::size_t column, std::size_t row)>& colour);
  // A closed outline; the stroke lies half outside.
  void polygon(std::span<const SheetPoint> corners, const Rgb& fill, const Stroke& stroke);
  void disc(SheetPoint centre, double radius, const Rgb& fill, const Stroke& stroke);
  void line(SheetPoint from, SheetPoint to, const Stroke& stroke);
  // From the left end of its base line; `halo` is drawn around the letters, before them.
  void text(const Lettering& letters, const std::u32string& text, SheetPoint base,
            const TextStyle& style, const Rgb& colour, const Stroke& halo = {});
  std::string png();

 private:
  struct Sheet;
  std::unique_ptr<Sheet> sheet_;
};

}  // namespace gaugeloom
