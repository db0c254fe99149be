#include "map_job.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/interp/depth_variogram.hpp"
#include "gaugeloom/storms/rain_frames.hpp"
#include "gaugeloom/storms/total_fields.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "loading.hpp"
#include "quick_look.hpp"

namespace gaugeloom {
namespace {

constexpr int kCompressionLevel = 3;  // our choice, see map.md
constexpr std::size_t kMostFrames = 1000;

[[noreturn]] void misuse(const std::string& sentence) {
  throw Error(ErrorCode::invalid_option, sentence);
}

double hours_of(const Interval& window) {
  return std::chrono::duration<double, std::ratio<3600>>(window.length()).count();
}

std::vector<std::size_t> all_rows(const Network& network) {
  std::vector<std::size_t> rows;
  for (std::size_t g = 0; g < network.size(); ++g) rows.push_back(g);
  return rows;
}

std::vector<StepAxis::Range> windows_of(const StormList& storms) {
  std::vector<StepAxis::Range> windows;
  for (const Storm& storm : storms.storms) windows.push_back(storm.steps);
  return windows;
}

}  // namespace

// What one map is made of: the gauges that have a total.
struct MapJob::Totals {
  std::vector<StormGauge> all;    // every gauge of the network
  std::vector<std::size_t> rows;  // of those with a total
  std::vector<MetricPoint> points;
  std::vector<double> totals_mm, standard_error_mm;
};

void MapInput::declare(OptionList& options) {
  raster.declare(options);
  options.toggle("frames", frames,
                 "Also writes the total as it grew: a GeoTIFF with a band for each hour.");
  options.heading("Picture and elevation");
  options.toggle("png", png, "Also draws the map as a picture for reports.");
  options.path("elevation", "RASTER", elevation,
               "Heights of the ground in metres, any raster GDAL opens: light and shadow of the "
               "picture, and a factor of height for the totals.");
  options.choice<ElevationUse>("elevation-use", elevation_use,
                               {{"auto", ElevationUse::automatic},
                                {"always", ElevationUse::always},
                                {"never", ElevationUse::never}},
                               "Whether totals are brought to one height before they are spread, "
                               "and back after. auto: where that makes the errors over 30 storms "
                               "or more smaller by 2 %, each gauge left out in turn.");
  method.declare(options);
  variogram.declare(options);
}

void MapInput::settle(NetworkInput& network) const {
  raster.settle(network);
  if (method.neighbours.value_or(0) > kMaxSurfaceNeighbours)
    misuse(fmt::format("--neighbours of a map must be 1 to {}, or all", kMaxSurfaceNeighbours));
  if (elevation_use == ElevationUse::always && elevation.empty())
    misuse("--elevation-use always needs --elevation RASTER");
}

MapJob::MapJob(const MapInput& input, const Network& network, const SeriesRecord& series,
               const DurationErrors& errors, const StormList& storms, int threads)
    : input_(input),
      network_(network),
      series_(series),
      errors_(errors),
      storms_(storms),
      threads_(threads),
      ground_(input, network) {}

MapJob::Totals MapJob::add_up(const MapSubject& subject) const {
  Totals totals;
  totals.all = storm_gauges(network_, series_, errors_, {&subject.storm, 1}, threads_);
  for (const StormGauge& gauge : totals.all) {
    if (std::isnan(gauge.total_mm) || std::isnan(gauge.standard_error_mm)) continue;
    totals.rows.push_back(gauge.gauge);
    totals.points.push_back(ground_.plane.points[gauge.gauge]);
    totals.totals_mm.push_back(gauge.total_mm);
    totals.standard_error_mm.push_back(gauge.standard_error_mm);
  }
  if (totals.rows.size() < 3)
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("only {} gauges have every step from {} to {}; a map needs 3: choose a "
                            "shorter window, or fill the gaps first",
                            totals.rows.size(), format_utc(subject.storm.over.from),
                            format_utc(subject.storm.over.to)));
  return totals;
}

MapJob::Shape MapJob::learn_from(std::span<const StepAxis::Range> windows, const Totals& totals,
                                 double hours, const std::string& words) const {
  const TotalFields fields = total_fields(series_.depth, windows, totals.rows);
  Shape shape{climatological_variogram(totals.points, fields.view(), hours, input_.variogram.shape,
                                       threads_),
              ", usual for this length"};
  if (shape.scaled.learned)
    shape.source = fmt::format(", learned from {} {}", shape.scaled.fields_used, words);
  return shape;
}

// From the storms, or windows of the same length, or of a day when those are too few: range and
// nugget change little beyond. One window alone teaches too little.
MapJob::Shape MapJob::learn(const MapSubject& subject, const Totals& totals) {
  if (subject.is_storm) {
    if (!of_storms_) {
      Totals everywhere;
      everywhere.rows = all_rows(network_);
      everywhere.points = ground_.plane.points;
      of_storms_ = learn_from(windows_of(storms_), everywhere, 24, "storms");
    }
    if (of_storms_->scaled.learned) return *of_storms_;
  }
  const StepAxis& axis = series_.depth.axis();
  const std::size_t length = subject.storm.steps.last - subject.storm.steps.first;
  const std::size_t day = axis.steps_in(std::chrono::hours(24)).value_or(length);
  Shape shape;
  for (const std::size_t steps : {length, std::min(length, day)}) {
    const std::size_t first = subject.storm.steps.first;
    const double hours = static_cast<double>(steps) * axis.step_hours();
    shape = learn_from(windows_beside({first, first + steps}, axis.count()), totals, hours,
                       fmt::format("windows of {:.4g} h", hours));
    if (shape.scaled.learned) break;
  }
  return shape;
}

MapJob::MapVariogram MapJob::find_variogram(const MapSubject& subject, const Totals& totals) {
  if (!input_.kriging()) return {};
  const VariogramParts parts = input_.variogram.parts();
  if (parts.complete()) return {depth_variogram({}, 1, parts).variogram, {}};
  const Shape shape = learn(subject, totals);
  const std::vector<float> field(totals.totals_mm.begin(), totals.totals_mm.end());
  return {
      depth_variogram(shape.scaled, mean_field_variance({field, field.size(), 1}), parts).variogram,
      shape.source};
}

void MapJob::try_elevation_once(const Variogram& variogram, Streams io) {
  if (ground_.gauge_heights_m.empty() || elevation_) return;
  if (storms_.storms.empty()) {
    io.out << "elevation: no storm of the record to learn from: not used\n";
    return;
  }
  const TotalFields fields = total_fields(series_.depth, windows_of(storms_), all_rows(network_));
  const Progress progress("trying elevation");
  elevation_ = try_elevation(ground_.plane.points, ground_.gauge_heights_m, fields.view(),
                             input_.method.surface(variogram, network_.size()), threads_);
  const bool used = input_.elevation_use == ElevationUse::always || elevation_->earns_its_place;
  io.out << fmt::format(
      "elevation: {:+.1f} % per 100 m would change errors over {} storms from {:.3f} to {:.3f} mm: "
      "{}\n",
      1e4 * elevation_->factor.rate_per_m, elevation_->storms, elevation_->plain_rmse_mm,
      elevation_->factor_rmse_mm,
      used ? "used" : "not used, since 30 storms and 2 % are asked for");
  elevation_->earns_its_place = used;
}

std::optional<MapElevation> MapJob::elevation_for(const Totals& totals) const {
  if (!elevation_ || !elevation_->earns_its_place) return std::nullopt;
  MapElevation elevation{elevation_->factor, {}, {}};
  for (const std::size_t row : totals.rows)
    elevation.gauges_m.push_back(ground_.gauge_heights_m[row]);
  elevation.sample = [this](std::span<const MetricPoint> places, std::span<double> heights_m) {
    std::ranges::copy(ground_.heights_m(input_.elevation, places), heights_m.begin());
  };
  return elevation;
}

std::string MapJob::method_words(const MapVariogram& variogram, std::size_t gauges) const {
  const std::string elevation =
      elevation_ && elevation_->earns_its_place
          ? fmt::format("; {:+.1f} % per 100 m of height", 1e4 * elevation_->factor.rate_per_m)
          : "";
  const std::string from =
      neighbour_words(input_.method.surface({}, gauges).neighbours, "all gauges");
  if (!input_.kriging())
    return fmt::format("inverse distance, power {}, from {}{}", input_.method.power, from,
                       elevation);
  return fmt::format("ordinary kriging from {}, negative weights {}; {}{}{}", from,
                     input_.method.negative_weights == NegativeWeights::keep ? "kept" : "dropped",
                     describe(variogram.variogram), variogram.source, elevation);
}

std::vector<std::pair<std::string, std::string>> MapJob::metadata(
    const MapSubject& subject, const Totals& totals, const MapVariogram& variogram,
    const RainMap& map, const std::string& version) const {
  const auto filled = std::ranges::count_if(
      totals.rows, [&](std::size_t row) { return totals.all[row].share_filled > 0; });
  std::vector<std::pair<std::string, std::string>> items = {{"SOFTWARE", "gaugeloom " + version}};
  if (subject.is_storm) items.emplace_back("STORM", subject.storm.id);
  const std::vector<std::pair<std::string, std::string>> rest = {
      {"WINDOW_FROM", format_utc(subject.storm.over.from)},
      {"WINDOW_TO", format_utc(subject.storm.over.to)},
      {"METHOD", method_words(variogram, totals.rows.size())},
      {"GAUGES_USED", fmt::format("{}", totals.rows.size())},
      {"GAUGES_PARTLY_FILLED", fmt::format("{}", filled)},
      {"GAUGES_LEFT_OUT", fmt::format("{}", network_.size() - totals.rows.size())},
      {"LEAVE_ONE_OUT_RMSE_MM", fmt::format("{:.3f}", map.skill().rmse_mm)},
      {"LEAVE_ONE_OUT_BIAS_MM", fmt::format("{:.3f}", map.skill().bias_mm)},
      {"BOUND_FACTORS",
       fmt::format("{:.3f} {:.3f}", map.skill().low_factor, map.skill().high_factor)},
      {"CAUTION", std::string(kCaution)}};
  items.insert(items.end(), rest.begin(), rest.end());
  return items;
}

namespace {

void print_map(const MapInput& input, const MapPlane& plane, const Grid& grid, const RainMap& map,
               const std::vector<GeoTiffStatistics>& statistics, Streams io) {
  io.out << fmt::format("left out in turn: RMSE {:.3f} mm, bias {:.3f} mm\n", map.skill().rmse_mm,
                        map.skill().bias_mm);
  io.out << fmt::format("{}, {} bands\n", cells_in_words(plane, grid), input.raster.bands.size());
  for (std::size_t i = 0; i < input.raster.bands.size(); ++i) {
    const GeoTiffStatistics& s = statistics[i];
    const MapBand band = input.raster.bands[i];
    if (s.valid_cells == 0)
      io.out << fmt::format("{:9} no valid cell\n", word(band));
    else
      io.out << fmt::format(
          "{:9} {:.3f} to {:.3f}, mean {:.3f} {}({:.1f} % of the cells)\n", word(band), s.minimum,
          s.maximum, s.mean, unit(band).empty() ? "" : std::string(unit(band)) + " ",
          100.0 * static_cast<double>(s.valid_cells) / static_cast<double>(grid.cell_count()));
  }
}

}  // namespace

RainMap MapJob::map_of(const Totals& totals, const Variogram& variogram, Streams io) {
  try_elevation_once(variogram, io);
  RainMapOptions options;
  options.surface = input_.method.surface(variogram, totals.rows.size());
  options.elevation = elevation_for(totals);
  return {totals.points, totals.totals_mm, totals.standard_error_mm, options};
}

std::vector<float> MapJob::totals_on(const Grid& grid, const MapSubject& subject, Streams io) {
  const Totals totals = add_up(subject);
  const MapVariogram variogram = find_variogram(subject, totals);
  return totals_over(grid, map_of(totals, variogram.variogram, io), threads_);
}

void MapJob::add(OutputFolder& folder, const MapSubject& subject, const std::string& version,
                 bool brief, Streams io) {
  const Totals totals = add_up(subject);
  if (const std::size_t missing = network_.size() - totals.rows.size(); missing > 0 && !brief)
    print_notices({fmt::format("{} of {} gauges miss a step of the window and are left out",
                               missing, network_.size())},
                  io);
  const MapVariogram variogram = find_variogram(subject, totals);
  const RainMap map = map_of(totals, variogram.variogram, io);
  const auto items = metadata(subject, totals, variogram, map, version);
  GeoTiffOptions write;
  georeference(ground_.plane, write);
  write.threads = threads_;
  write.compression_level = kCompressionLevel;
  write.metadata = items;
  std::vector<GeoTiffBand> bands;
  for (const MapBand band : input_.raster.bands)
    bands.push_back({std::string(description(band)), std::string(unit(band)),
                     band == MapBand::support ? OverviewRule::mode : OverviewRule::average});
  std::vector<GeoTiffStatistics> statistics;
  {
    const Progress progress("mapping");
    statistics = write_geotiff(folder.staged(subject.name + ".tif").temporary_path(), ground_.grid,
                               bands, write, [&](const GridBlock& block, std::span<float> out) {
                                 map.fill(ground_.grid, block, input_.raster.bands, out);
                               });
    if (input_.frames) add_frames(folder, subject, totals, ground_.grid, map, items);
    if (input_.png)
      add_quick_look(folder, subject.name + ".png", input_.elevation, network_, totals.all,
                     subject.storm.over, ground_.plane, ground_.grid.bounds(), map, threads_);
  }
  if (brief) {
    io.out << fmt::format("  {}.tif: {} gauges, {:.1f} h, left out in turn RMSE {:.3f} mm\n",
                          subject.name, totals.rows.size(), hours_of(subject.storm.over),
                          map.skill().rmse_mm);
    return;
  }
  io.out << fmt::format("{} gauges, {} to {}\n{}\n", totals.rows.size(),
                        format_utc(subject.storm.over.from), format_utc(subject.storm.over.to),
                        method_words(variogram, totals.rows.size()));
  print_map(input_, ground_.plane, ground_.grid, map, statistics, io);
}

void MapJob::add_frames(OutputFolder& folder, const MapSubject& subject, const Totals& totals,
                        const Grid& grid, const RainMap& map,
                        std::vector<std::pair<std::string, std::string>> metadata) const {
  const StepAxis& axis = series_.depth.axis();
  const std::size_t hour = axis.steps_in(std::chrono::hours(1)).value_or(1);
  const StepAxis::Range steps = subject.storm.steps;
  if ((steps.last - steps.first) / hour >= kMostFrames)
    misuse(fmt::format("--frames has a band for each hour, at most {}; choose a shorter window",
                       kMostFrames));
  std::vector<std::vector<double>> fields_mm;
  std::vector<GeoTiffBand> bands;
  for (std::size_t last = steps.first + hour; last < steps.last + hour; last += hour) {
    const std::size_t end = std::min(last, steps.last);
    std::vector<double> field;
    for (const std::size_t row : totals.rows)
      field.push_back(window_sum(series_.depth, row, steps.first, end));
    fields_mm.push_back(std::move(field));
    bands.push_back(
        {"total rain to " + format_utc(axis.end(end - 1)), "mm", OverviewRule::average});
  }
  const RainFrames frames(map, fields_mm);
  GeoTiffOptions write;
  georeference(ground_.plane, write);
  write.threads = threads_;
  write.compression_level = kCompressionLevel;
  write.metadata = std::move(metadata);
  write_geotiff(
      folder.staged(subject.name + "_frames.tif").temporary_path(), grid, bands, write,
      [&](const GridBlock& block, std::span<float> out) { frames.fill(grid, block, out); });
}

void refuse_map_inputs(const OutputFolder& folder, const std::string& wish) {
  for (const char* name : {"map.tif", "map_frames.tif", "map.png"}) folder.refuse_input(name);
  if (wish != "all") return;
  for (const char* end : {".tif", ".png"}) folder.refuse_inputs("storm_", end);
}

MapSubject window_subject(const Interval& window, StepAxis::Range steps) {
  return {"map", {"", window, steps, false}, false};
}

std::vector<MapSubject> storm_subjects(const StormList& storms, const std::string& wish) {
  std::vector<MapSubject> subjects;
  for (const Storm& storm : storms.storms) {
    if (wish == "all") subjects.push_back({"storm_" + storm.id, storm, true});
    if (wish == storm.id) subjects.push_back({"map", storm, true});
  }
  if (!subjects.empty() || wish == "all") return subjects;
  std::string known;
  for (std::size_t i = 0; i < std::min<std::size_t>(5, storms.storms.size()); ++i)
    known += (i > 0 ? ", " : "") + storms.storms[i].id;
  if (storms.storms.size() > 5) known += ", ...";
  misuse(fmt::format("--storm {} is no storm of the record; it has {}", wish,
                     known.empty() ? "none" : known));
}

}  // namespace gaugeloom
