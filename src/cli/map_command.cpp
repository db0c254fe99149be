#include <fmt/format.h>

#include <cmath>

#include "commands.hpp"
#include "gaugeloom/interp/depth_variogram.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/storms/total_fields.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "loading.hpp"
#include "map_raster.hpp"
#include "output_folder.hpp"
#include "quick_look.hpp"

namespace gaugeloom {
namespace {

constexpr int kCompressionLevel = 3;  // our choice, see map.md

[[noreturn]] void misuse(const std::string& sentence) {
  throw Error(ErrorCode::invalid_option, sentence);
}

// What the map is made of.
struct WindowTotals {
  Interval window;
  StepAxis::Range steps;
  std::vector<std::size_t> rows;  // of the gauges that have a total, in the network
  std::vector<MetricPoint> points;
  std::vector<double> totals_mm, standard_error_mm;
  std::size_t left_out = 0;  // gauges without a total
};

struct MapVariogram {
  DepthVariogram depth;
  std::string source;  // in words, after its description; empty where it was given
};

class MapCommand : public Command {
 public:
  MapCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    options_.heading("Window");
    declare_instant(options_, "from", from_, "Begin of the window; default the record's begin.");
    declare_instant(options_, "to", to_, "End of the window; default the record's end.");
    options_.add("storm", "ID|all", "Maps of storms; not there yet: give --from and --to.").set =
        [](const std::string&) {
          misuse("--storm is not there yet; give the window of the storm by --from and --to");
        };
    raster_.declare(options_);
    picture_.declare(options_);
    method_.declare(options_);
    variogram_.declare(options_);
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Adds up the rain of every gauge over a window and spreads the totals over a grid by "
            "ordinary kriging from the nearest gauges, each with its own instrument error; or by "
            "inverse distance. A gauge with a missing step in the window has no total and is left "
            "out.\n\n"
            "Where the gauges carry no information the map is empty: it says where it does not "
            "know.",
            {{"map.tif",
              "Cloud-optimised GeoTIFF, float32, nodata -9999, a band for each of "
              "total, error, low, high, distance, support."},
             {"map.png", "With --png: the totals as a picture."}},
            {"gaugeloom map --gauges gauges.csv --rain rain.csv --from 2021-03-04T06:00Z --to "
             "2021-03-05T18:00Z",
             "gaugeloom map --config network.toml --cell-m 500 --bands total,error"}};
  }

  Exit run(Streams io) override {
    std::vector<std::string> inputs = input_files(options_, network_, rain_);
    if (!raster_.like.empty()) inputs.push_back(raster_.like);
    OutputFolder folder(out_, inputs);
    folder.refuse_input("map.tif");
    folder.refuse_input("map.png");
    const RunRecord record = begin_run_record("map", options_, {});
    const LoadedRecord loaded = load_record(network_, rain_, threads_, io);
    const MapPlane plane = raster_.plane(loaded.network);
    const WindowTotals totals = add_up(loaded, plane);
    if (totals.left_out > 0)
      print_notices({fmt::format("{} of {} gauges miss a step of the window and are left out",
                                 totals.left_out, loaded.network.size())},
                    io);
    const MapVariogram variogram = find_variogram(totals, loaded.rain.depths);
    const Grid grid = raster_.grid(plane, totals.points);
    std::vector<GeoTiffStatistics> statistics;
    RainMapOptions options = map_options(variogram.depth.variogram);
    const RainMap map(totals.points, totals.totals_mm, totals.standard_error_mm, options);
    {
      const Progress progress("mapping");
      statistics = write(folder.path("map.tif"), plane, totals, variogram, grid, map, record);
    }
    if (picture_.png)
      add_quick_look(folder, "map.png", picture_, loaded, totals.window, plane, grid.bounds(), map,
                     threads_);
    folder.commit();
    print(plane, totals, variogram, grid, map, statistics, io);
    return Exit::ok;
  }

 protected:
  void settle() override {
    if (from_ && to_ && !(*from_ < *to_)) misuse("--from must lie before --to");
    raster_.settle(network_);
    picture_.settle();
    if (method_.neighbours > kMaxSurfaceNeighbours)
      misuse(fmt::format("--neighbours of a map must be 1 to {}, or all", kMaxSurfaceNeighbours));
  }

 private:
  bool kriging() const { return method_.method == InterpolationMethod::ordinary_kriging; }

  WindowTotals add_up(const LoadedRecord& loaded, const MapPlane& plane) const {
    const RainTable& depths = loaded.rain.depths;
    const Interval span = depths.axis().span();
    const Interval wish{from_.value_or(span.from), to_.value_or(span.to)};
    const auto steps = depths.axis().within(wish);
    if (steps.first >= steps.last)
      misuse(fmt::format(
          "no step of the record lies within {} to {}; the record runs from {} to {}",
          format_utc(wish.from), format_utc(wish.to), format_utc(span.from), format_utc(span.to)));
    WindowTotals totals;
    totals.steps = steps;
    totals.window = {depths.axis().begin(steps.first), depths.axis().end(steps.last - 1)};
    for (std::size_t g = 0; g < loaded.network.size(); ++g) {
      const Gauge& gauge = loaded.network.gauges[g];
      const double total_mm = window_sum(depths, g, steps.first, steps.last);
      if (total_mm != total_mm) {
        ++totals.left_out;
        continue;
      }
      totals.rows.push_back(g);
      totals.points.push_back(plane.points[g]);
      totals.totals_mm.push_back(total_mm);
      totals.standard_error_mm.push_back(
          gauge_standard_error_mm(total_mm, gauge.bucket_mm, gauge.accuracy_percent));
    }
    if (totals.points.size() < 3)
      throw Error(ErrorCode::inconsistent_input,
                  fmt::format("only {} gauges have every step from {} to {}; a map needs 3: choose "
                              "a shorter window, or fill the gaps first",
                              totals.points.size(), format_utc(totals.window.from),
                              format_utc(totals.window.to)));
    return totals;
  }

  // Its shape is learned from all windows of this length in the record: one alone teaches too
  // little. Its size is the spread of this one.
  MapVariogram find_variogram(const WindowTotals& totals, const RainTable& depths) const {
    if (!kriging()) return {};
    VariogramParts parts{variogram_.shape, variogram_.nugget_mm2, variogram_.partial_sill_mm2,
                         std::nullopt, variogram_.smoothness};
    if (variogram_.range_km) parts.range_m = 1000 * *variogram_.range_km;
    if (parts.complete()) return {depth_variogram({}, 1, parts), {}};
    const ScaledVariogram scaled = learn(totals, depths, parts.shape);
    const std::vector<float> field(totals.totals_mm.begin(), totals.totals_mm.end());
    return {depth_variogram(scaled.variogram, mean_field_variance({field, field.size(), 1}), parts),
            scaled.source};
  }

  struct ScaledVariogram {
    ClimatologicalVariogram variogram;
    std::string source;
  };

  // From windows of the same length or, when they are too few, of a day: range and nugget change
  // little beyond.
  ScaledVariogram learn(const WindowTotals& totals, const RainTable& depths,
                        std::optional<VariogramShape> shape) const {
    const std::size_t length = totals.steps.last - totals.steps.first;
    const std::size_t day = depths.axis().steps_in(std::chrono::hours(24)).value_or(length);
    ClimatologicalVariogram found;
    for (const std::size_t steps : {length, std::min(length, day)}) {
      const TotalFields fields = total_fields(
          depths,
          windows_beside({totals.steps.first, totals.steps.first + steps}, depths.step_count()),
          totals.rows);
      const double hours = static_cast<double>(steps) * depths.axis().step_hours();
      found = climatological_variogram(totals.points, fields.view(), hours, shape, threads_);
      if (!found.learned) continue;
      return {found,
              fmt::format(", learned from {} windows of {:.4g} h", found.fields_used, hours)};
    }
    return {found, ", usual for this length"};
  }

  RainMapOptions map_options(const Variogram& variogram) const {
    RainMapOptions options;
    options.surface.method = method_.method;
    options.surface.neighbours = method_.neighbours;
    options.surface.power = method_.power;
    options.surface.negative_weights = method_.negative_weights;
    options.surface.variogram = variogram;
    return options;
  }

  std::string method_words(const MapVariogram& variogram) const {
    if (!kriging())
      return fmt::format("inverse distance, power {}, from {}", method_.power,
                         method_.neighbour_words("all gauges"));
    return fmt::format("ordinary kriging from {}, negative weights {}; {}{}",
                       method_.neighbour_words("all gauges"),
                       method_.negative_weights == NegativeWeights::keep ? "kept" : "dropped",
                       describe(variogram.depth.variogram), variogram.source);
  }

  std::vector<GeoTiffStatistics> write(const std::string& path, const MapPlane& plane,
                                       const WindowTotals& totals, const MapVariogram& variogram,
                                       const Grid& grid, const RainMap& map,
                                       const RunRecord& record) const {
    GeoTiffOptions options;
    georeference(plane, options);
    options.threads = threads_;
    options.compression_level = kCompressionLevel;
    options.metadata = {{"SOFTWARE", "gaugeloom " + record.version},
                        {"WINDOW_FROM", format_utc(totals.window.from)},
                        {"WINDOW_TO", format_utc(totals.window.to)},
                        {"METHOD", method_words(variogram)},
                        {"GAUGES_USED", fmt::format("{}", totals.points.size())},
                        {"GAUGES_LEFT_OUT", fmt::format("{}", totals.left_out)},
                        {"LEAVE_ONE_OUT_RMSE_MM", fmt::format("{:.3f}", map.skill().rmse_mm)},
                        {"LEAVE_ONE_OUT_BIAS_MM", fmt::format("{:.3f}", map.skill().bias_mm)},
                        {"BOUND_FACTORS", fmt::format("{:.3f} {:.3f}", map.skill().low_factor,
                                                      map.skill().high_factor)},
                        {"CAUTION", std::string(kCaution)}};
    std::vector<GeoTiffBand> bands;
    for (const MapBand band : raster_.bands)
      bands.push_back({std::string(description(band)), std::string(unit(band)),
                       band == MapBand::support ? OverviewRule::mode : OverviewRule::average});
    return write_geotiff(path, grid, bands, options,
                         [&](const GridBlock& block, std::span<float> out) {
                           map.fill(grid, block, raster_.bands, out);
                         });
  }

  void print(const MapPlane& plane, const WindowTotals& totals, const MapVariogram& variogram,
             const Grid& grid, const RainMap& map, const std::vector<GeoTiffStatistics>& statistics,
             Streams io) const {
    io.out << fmt::format("{} gauges, {} to {}\n{}\n", totals.points.size(),
                          format_utc(totals.window.from), format_utc(totals.window.to),
                          method_words(variogram));
    io.out << fmt::format("left out in turn: RMSE {:.3f} mm, bias {:.3f} mm\n", map.skill().rmse_mm,
                          map.skill().bias_mm);
    io.out << fmt::format("{}, {} bands\n", cells_in_words(plane, grid), raster_.bands.size());
    for (std::size_t i = 0; i < raster_.bands.size(); ++i) {
      const GeoTiffStatistics& s = statistics[i];
      if (s.valid_cells == 0)
        io.out << fmt::format("{:9} no valid cell\n", word(raster_.bands[i]));
      else
        io.out << fmt::format(
            "{:9} {:.3f} to {:.3f}, mean {:.3f} {}({:.1f} % of the cells)\n",
            word(raster_.bands[i]), s.minimum, s.maximum, s.mean,
            unit(raster_.bands[i]).empty() ? "" : std::string(unit(raster_.bands[i])) + " ",
            100.0 * static_cast<double>(s.valid_cells) / static_cast<double>(grid.cell_count()));
    }
  }

  NetworkInput network_;
  RainInput rain_;
  MethodInput method_;
  VariogramInput variogram_;
  std::optional<Instant> from_, to_;
  MapRasterInput raster_;
  QuickLookInput picture_;
};

}  // namespace

std::unique_ptr<Command> make_map() { return std::make_unique<MapCommand>(); }

}  // namespace gaugeloom
