#include "quick_look.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/hillshade.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/io/elevation_reader.hpp"
#include "gaugeloom/io/quick_look_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr const char* kPictureCaution =
    "Estimated between gauges; not a measurement; not for warnings or design without review.";

std::vector<QuickLookGauge> marks_of(const Network& network, std::span<const StormGauge> gauges,
                                     const MapPlane& plane) {
  std::vector<QuickLookGauge> marks;
  for (const StormGauge& gauge : gauges)
    marks.push_back({network.gauges[gauge.gauge].id, plane.points[gauge.gauge], gauge.total_mm,
                     gauge.share_filled});
  return marks;
}

std::vector<float> shade_over(const Grid& grid, const MapPlane& plane, const std::string& elevation,
                              int threads) {
  const double unit_x = plane.like ? plane.like->units_per_metre_x : 1;
  const double unit_y = plane.like ? plane.like->units_per_metre_y : 1;
  const CellFrame cells{grid.x_min_m * unit_x, grid.y_max_m * unit_y, grid.cell_width_m * unit_x,
                        grid.cell_height_m * unit_y};
  const std::vector<float> heights =
      elevation_over(elevation, plane.crs, cells, grid.columns, grid.rows);
  HillshadeOptions light;
  light.exaggeration = telling_exaggeration(grid, heights);
  return hillshade(grid, heights, light, threads);
}

}  // namespace

std::vector<float> totals_over(const Grid& grid, const RainMap& map, int threads) {
  constexpr std::size_t kRowsAtOnce = 16;
  constexpr std::array kTotal{MapBand::total};
  std::vector<float> totals(grid.cell_count());
  parallel_for((grid.rows + kRowsAtOnce - 1) / kRowsAtOnce, threads, [&](std::size_t part) {
    const std::size_t first = part * kRowsAtOnce;
    const GridBlock block{0, first, grid.columns, std::min(kRowsAtOnce, grid.rows - first)};
    map.fill(grid, block, kTotal,
             std::span(totals).subspan(first * grid.columns, block.cell_count()));
  });
  return totals;
}

namespace {

// "2023-06-14 02:10": the seconds only where there are any.
std::string minutes_of(Instant instant) {
  std::string text = format_utc(instant);
  text.pop_back();
  if (text.ends_with(":00")) text.resize(text.size() - 3);
  std::replace(text.begin(), text.end(), 'T', ' ');
  return text;
}

// The date of the end only where it differs.
std::string words_of(const Interval& window) {
  constexpr std::size_t kDate = 10;
  const std::string from = minutes_of(window.from), to = minutes_of(window.to);
  const bool one_day = from.substr(0, kDate) == to.substr(0, kDate);
  return from + " to " + (one_day ? to.substr(kDate + 1) : to);
}

// Also for the plane made for a network (WorkCrs::centred_on), which has no name of its own.
std::string crs_words(const std::string& crs) {
  if (crs == kLocalCrs) return "Local metres, without a place on Earth";
  const std::string name = describe_crs(crs).name;
  if (name != "unknown") return "CRS: " + name;
  const auto value = [&crs](const std::string& key) {
    const std::size_t at = crs.find(key) + key.size();
    return crs.substr(at, crs.find(' ', at) - at);
  };
  if (!crs.starts_with("+proj=laea +lat_0=")) return "CRS: " + crs;
  return fmt::format(
      "CRS: Lambert azimuthal equal-area, WGS 84, centred on latitude {}, longitude {}",
      value("+lat_0="), value("+lon_0="));
}

QuickLookTexts texts_of(std::span<const QuickLookGauge> gauges, const Interval& window,
                        const std::string& crs) {
  double sum_mm = 0;
  std::size_t used = 0;
  const QuickLookGauge* wettest = nullptr;
  for (const QuickLookGauge& gauge : gauges) {
    if (gauge.total_mm != gauge.total_mm) continue;
    sum_mm += gauge.total_mm;
    ++used;
    if (!wettest || gauge.total_mm > wettest->total_mm) wettest = &gauge;
  }
  QuickLookTexts texts;
  texts.title = "Rain, " + words_of(window) + " UTC";
  if (wettest && wettest->total_mm == 0)
    texts.subtitle = fmt::format("No rain at {} gauges", used);
  else if (wettest)
    texts.subtitle =
        fmt::format("Mean of {} gauges {:.1f} mm, most at {}: {:.1f} mm", used,
                    sum_mm / static_cast<double>(used), wettest->id, wettest->total_mm);
  texts.caution = kPictureCaution;
  texts.crs = crs_words(crs);
  return texts;
}

}  // namespace

void add_quick_look(OutputFolder& folder, const std::string& name, const std::string& elevation,
                    const Network& network, std::span<const StormGauge> gauges,
                    const Interval& window, const MapPlane& plane, const MetricBounds& bounds,
                    const RainMap& map, int threads) {
  const Grid grid = quick_look_grid(bounds);
  const std::vector<float> shade =
      elevation.empty() ? std::vector<float>{} : shade_over(grid, plane, elevation, threads);
  const std::vector<float> totals = totals_over(grid, map, threads);
  const std::vector<QuickLookGauge> marks = marks_of(network, gauges, plane);
  write_quick_look(
      folder.file(name),
      {grid, totals, shade, marks, texts_of(marks, window, plane.crs), plane.crs != kLocalCrs},
      threads);
}

}  // namespace gaugeloom
