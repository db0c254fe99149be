#include <cairo.h>

#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "io/canvas_internal.hpp"
#include "io/palette_png_internal.hpp"

namespace gaugeloom {

struct Canvas::Sheet {
  cairo_surface_t* surface;
  cairo_t* pen;

  Sheet(int width, int height)
      : surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height)),
        pen(cairo_create(surface)) {}
  ~Sheet() {
    cairo_destroy(pen);
    cairo_surface_destroy(surface);
  }
  Sheet(const Sheet&) = delete;
  Sheet& operator=(const Sheet&) = delete;

  void colour(const Rgb& colour) {
    cairo_set_source_rgb(pen, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
  }
  void stroke(const Stroke& stroke) {
    if (stroke.width > 0) {
      colour(stroke.colour);
      cairo_set_line_width(pen, stroke.width);
      cairo_stroke_preserve(pen);
    }
  }
  // Fills the path and draws its stroke, and forgets it.
  void finish(const Rgb& fill, const Stroke& edge) {
    colour(fill);
    cairo_fill_preserve(pen);
    stroke(edge);
    cairo_new_path(pen);
  }
};

Canvas::Canvas(int width, int height, const Rgb& paper)
    : sheet_(std::make_unique<Sheet>(width, height)) {
  if (cairo_status(sheet_->pen) != CAIRO_STATUS_SUCCESS)
    throw Error(ErrorCode::io_failure, "there is no memory for the picture; free some");
  cairo_set_line_join(sheet_->pen, CAIRO_LINE_JOIN_ROUND);
  sheet_->colour(paper);
  cairo_paint(sheet_->pen);
}

Canvas::~Canvas() = default;

int Canvas::width() const { return cairo_image_surface_get_width(sheet_->surface); }
int Canvas::height() const { return cairo_image_surface_get_height(sheet_->surface); }

void Canvas::fill_pixels(const PixelBox& box, int threads,
                         const std::function<Rgb(std::size_t column, std::size_t row)>& colour) {
  cairo_surface_flush(sheet_->surface);
  unsigned char* const bytes = cairo_image_surface_get_data(sheet_->surface);
  const std::ptrdiff_t stride = cairo_image_surface_get_stride(sheet_->surface);
  parallel_for(static_cast<std::size_t>(box.height), threads, [&](std::size_t row) {
    unsigned char* at =
        bytes + (box.top + static_cast<std::ptrdiff_t>(row)) * stride + box.left * 4;
    for (std::size_t column = 0; column < static_cast<std::size_t>(box.width); ++column, at += 4) {
      const Rgb of = colour(column, row);
      const std::uint32_t pixel = static_cast<std::uint32_t>(of.red) << 16U |
                                  static_cast<std::uint32_t>(of.green) << 8U | of.blue;
      std::memcpy(at, &pixel, sizeof pixel);
    }
  });
  cairo_surface_mark_dirty(sheet_->surface);
}

void Canvas::polygon(std::span<const SheetPoint> corners, const Rgb& fill, const Stroke& stroke) {
  for (const SheetPoint& corner : corners) cairo_line_to(sheet_->pen, corner.x, corner.y);
  cairo_close_path(sheet_->pen);
  sheet_->finish(fill, stroke);
}

void Canvas::disc(SheetPoint centre, double radius, const Rgb& fill, const Stroke& stroke) {
  constexpr double kFullTurn = 6.283185307179586;
  cairo_arc(sheet_->pen, centre.x, centre.y, radius, 0, kFullTurn);
  cairo_close_path(sheet_->pen);
  sheet_->finish(fill, stroke);
}

void Canvas::line(SheetPoint from, SheetPoint to, const Stroke& stroke) {
  cairo_move_to(sheet_->pen, from.x, from.y);
  cairo_line_to(sheet_->pen, to.x, to.y);
  sheet_->stroke(stroke);
  cairo_new_path(sheet_->pen);
}

void Canvas::text(const Lettering& letters, const std::u32string& text, SheetPoint base,
                  const TextStyle& style, const Rgb& colour, const Stroke& halo) {
  cairo_t* const pen = sheet_->pen;
  const auto x = [&](double along) { return base.x + along; };
  const auto y = [&](double down) { return base.y + down; };
  for (const OutlinePart& part : letters.outlines(text, style)) switch (part.kind) {
      case OutlinePart::Kind::move:
        cairo_close_path(pen);
        cairo_move_to(pen, x(part.x[0]), y(part.y[0]));
        break;
      case OutlinePart::Kind::line:
        cairo_line_to(pen, x(part.x[0]), y(part.y[0]));
        break;
      case OutlinePart::Kind::curve:
        cairo_curve_to(pen, x(part.x[0]), y(part.y[0]), x(part.x[1]), y(part.y[1]), x(part.x[2]),
                       y(part.y[2]));
        break;
    }
  cairo_close_path(pen);
  sheet_->stroke(halo);
  sheet_->finish(colour, {});
}

std::string Canvas::png() {
  cairo_surface_flush(sheet_->surface);
  const auto columns = static_cast<std::size_t>(width()), rows = static_cast<std::size_t>(height());
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(sheet_->surface));
  std::vector<std::uint32_t> pixels(columns * rows);
  for (std::size_t row = 0; row < rows; ++row)
    std::memcpy(pixels.data() + row * columns,
                cairo_image_surface_get_data(sheet_->surface) + row * stride, columns * 4);
  for (std::uint32_t& pixel : pixels) pixel &= 0xFFFFFFU;
  return palette_png(columns, rows, pixels);
}

}  // namespace gaugeloom
