#include "gaugeloom/io/quick_look_writer.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/storms/rain_classes.hpp"
#include "io/quick_look_internal.hpp"

namespace gaugeloom {
namespace {

using namespace quick_look;

constexpr double kLongSide = 1200;
constexpr std::size_t kMostSide = 4000;
constexpr int kMargin = 40;
constexpr int kNarrowest = 960;  // content of the picture, so that the texts have room
constexpr int kBeside = 340;     // width of a legend beside the map

std::vector<double> bounds_of(std::span<const float> totals_mm) {
  float lowest = std::numeric_limits<float>::infinity(), highest = 0;
  for (const float total : totals_mm) {
    if (std::isnan(total)) continue;
    lowest = std::min(lowest, total);
    highest = std::max(highest, total);
  }
  return class_bounds_mm(std::min(lowest, highest), highest);
}

// Lines of one text, one under the other.
struct Paragraph {
  std::vector<std::u32string> lines;
  TextStyle style;
  Rgb colour;

  int height() const {
    return static_cast<int>(
        std::ceil(static_cast<double>(lines.size()) * style.size * kLineHeight));
  }
  void draw(Canvas& canvas, const Lettering& letters, int left, int top) const {
    for (std::size_t i = 0; i < lines.size(); ++i)
      canvas.text(letters, lines[i],
                  {1.0 * left, top + style.size * (0.95 + kLineHeight * static_cast<double>(i))},
                  style, colour);
  }
};

struct Paragraphs {
  std::vector<Paragraph> parts;

  int height() const {
    int sum = 0;
    for (const Paragraph& part : parts) sum += part.height();
    return sum;
  }
  void draw(Canvas& canvas, const Lettering& letters, int left, int top) const {
    for (const Paragraph& part : parts) {
      part.draw(canvas, letters, left, top);
      top += part.height();
    }
  }
};

}  // namespace

Grid quick_look_grid(const MetricBounds& bounds) {
  const double longer = std::max(bounds.x_max_m - bounds.x_min_m, bounds.y_max_m - bounds.y_min_m);
  return grid_over(bounds, longer / kLongSide);
}

QuickLookLayout write_quick_look(AtomicFile& file, const QuickLook& look, int threads) {
  GAUGELOOM_ASSERT(look.totals_mm.size() == look.grid.cell_count());
  GAUGELOOM_ASSERT(look.shade.empty() || look.shade.size() == look.totals_mm.size());
  if (look.grid.columns > kMostSide || look.grid.rows > kMostSide)
    throw Error(ErrorCode::invalid_option, "a picture has at most 4000 cells on a side");
  const Lettering letters;
  QuickLookLayout layout;
  layout.bounds_mm = bounds_of(look.totals_mm);
  layout.map = {kMargin, 0, static_cast<int>(look.grid.columns), static_cast<int>(look.grid.rows)};
  const bool beside = layout.map.width + kMargin + kBeside <= kNarrowest + kMargin;
  const int content = std::max(kNarrowest, layout.map.width + (beside ? kMargin + kBeside : 0));
  if (!beside) layout.map.left += (content - layout.map.width) / 2;

  const auto paragraph = [&](const std::string& text, const TextStyle& style, const Rgb& colour) {
    return Paragraph{letters.lines(shown_characters(text), style, content), style, colour};
  };
  const Paragraphs head{
      {paragraph(look.texts.title, kTitle, kInk), paragraph(look.texts.subtitle, kSubtitle, kInk)}};
  const Paragraphs foot{
      {paragraph(look.texts.caution, kSmall, kInk), paragraph(look.texts.crs, kSmall, kQuietInk)}};
  layout.map.top = kMargin + head.height() + kMargin / 2;
  const std::vector<PlacedGauge> gauges = gauges_on(look, layout.map);
  const Legend legend{
      &letters,
      layout.bounds_mm,
      gauges,
      look.grid.cell_width_m,
      std::min(0.4 * std::max(layout.map.width, layout.map.height), beside ? 0.5 * kBeside : 320.0),
      beside,
      look.north_up};
  const int legend_left = beside ? layout.map.left + layout.map.width + kMargin : kMargin;
  const int legend_top = beside ? layout.map.top : layout.map.top + layout.map.height + kMargin / 2;
  const int legend_width = beside ? kBeside : content;
  const int legend_height =
      legend.draw(nullptr, legend_left, legend_top, legend_width, layout.classes);
  const int foot_top =
      std::max(layout.map.top + layout.map.height, legend_top + legend_height) + kMargin / 2;
  layout.width = content + 2 * kMargin;
  layout.height = foot_top + foot.height() + kMargin;

  Canvas canvas(layout.width, layout.height, kPaper);
  paint_map(canvas, look, layout.bounds_mm, layout.map, threads);
  draw_frame(canvas, layout.map);
  const double radius = mark_radius(layout.map, gauges.size());
  draw_gauges(canvas, gauges, radius);
  layout.labels = draw_labels(canvas, letters, layout.map, gauges, radius);
  head.draw(canvas, letters, kMargin, kMargin);
  legend.draw(&canvas, legend_left, legend_top, legend_width, layout.classes);
  foot.draw(canvas, letters, kMargin, foot_top);
  file.write(canvas.png());
  return layout;
}

}  // namespace gaugeloom
