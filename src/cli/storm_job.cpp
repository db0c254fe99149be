#include "storm_job.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "gaugeloom/io/areas_writer.hpp"
#include "gaugeloom/io/storms_gpkg_writer.hpp"
#include "gaugeloom/io/storms_writer.hpp"
#include "gaugeloom/storms/depth_area_duration.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kStormsShown = 40;

double hours_of(const Storm& storm) {
  return std::chrono::duration<double, std::ratio<3600>>(storm.over.length()).count();
}

void print_storm(const StormWork& work, std::size_t i, const Network& network, Streams io) {
  const Storm& storm = work.list.storms[i];
  const StormOverview& overview = work.overviews[i];
  io.out << fmt::format("  {} {:g} h{}", storm.id, hours_of(storm),
                        storm.running ? ", still running" : "");
  if (overview.max_gauge)
    io.out << fmt::format(": mean {:.1f} mm, most {:.1f} mm at {}", overview.mean_mm,
                          overview.max_mm, network.gauges[*overview.max_gauge].id);
  if (work.tracks[i].motion)
    io.out << fmt::format(", towards {} at {:.0f} km/h", work.tracks[i].motion->towards(),
                          work.tracks[i].motion->speed_km_h());
  if (overview.share_filled > 0)
    io.out << fmt::format(", {:.1f} % filled", 100 * overview.share_filled);
  if (overview.share_missing > 0)
    io.out << fmt::format(", {:.1f} % missing", 100 * overview.share_missing);
  io.out << '\n';
}

}  // namespace

void StormInput::declare_storms(OptionList& options) {
  options.heading("Storms");
  options
      .add("dry-gap", "DURATION",
           "A storm ends when nine gauges in ten are dry for so long, like 6h or 90min.",
           format_duration(storms.dry_gap))
      .set = [this](const std::string& text) {
    const auto gap = parse_duration(text);
    if (!gap)
      throw Error(ErrorCode::invalid_option,
                  "--dry-gap " + text + " is no duration; write it like 6h or 90min");
    storms.dry_gap = *gap;
  };
  options.real("min-storm-mm", "MM", storms.least_mean_mm, {0, 1000},
               "Least depth of a storm in mm, the mean over the gauges of what they measured.");
  options.real("min-wet-share", "SHARE", storms.least_wet_share, {0, 1},
               "Least share of the gauges that have any rain of a storm, 0 to 1.");
}

void StormInput::declare(OptionList& options) {
  declare_storms(options);
  areas.declare(options);
}

void StormInput::settle() const {
  if (const auto problem = storms.problem()) throw Error(ErrorCode::invalid_option, *problem);
}

std::vector<std::string> StormInput::files() const {
  return {"storms.csv",      "storm_gauges.csv", "storm_track.csv", "depth_area_duration.csv",
          "storm_areas.csv", "areas.csv",        "storms.gpkg"};
}

namespace {

void add_area_files(OutputFolder& folder, const Network& network, const FillResult& filled,
                    const StormMaps& maps, StormWork& work, RunRecord& learned, int threads) {
  const std::vector<Storm>& storms = work.list.storms;
  const AreaWeightOptions& options = work.variograms.options;
  learned.learned_words["areas.variogram.storm"] =
      describe(options.storm) + (work.variograms.storm_learned ? "" : " (default)");
  learned.learned_words["areas.variogram.step"] =
      describe(options.step) + (work.variograms.step_learned ? "" : " (default)");
  AreaSeries series =
      area_series(network, filled.record, filled.errors, work.areas, work.variograms, threads);
  work.storm_areas = storm_areas(network, filled.record.depth, storms, work.gauges, work.areas,
                                 maps, work.variograms, series, threads);
  write_areas(folder.file("areas.csv"), series, filled.record.depth.axis(), work.areas);
  write_storm_areas(folder.file("storm_areas.csv"), work.storm_areas, storms, work.areas);
}

void add_package(OutputFolder& folder, const Network& network, const StormWork& work) {
  const std::vector<MetricPoint> positions = network.positions();
  const auto surface = [&](std::size_t storm) {
    return storm_surface(positions,
                         std::span(work.gauges).subspan(storm * network.size(), network.size()),
                         work.variograms.maps);
  };
  write_storms_gpkg(folder.staged("storms.gpkg"), {network, work.list.storms, work.gauges,
                                                   work.areas, work.storm_areas, surface});
}

// The areas of one storm in a few words.
void print_areas(const StormWork& work, Streams io) {
  if (work.areas.empty()) return;
  io.out << fmt::format("areas: {}\n", work.areas.size());
  for (std::size_t a = 0; a < work.areas.size(); ++a) {
    double sum_mm = 0;
    double supported = 1;
    for (std::size_t i = a; i < work.storm_areas.size(); i += work.areas.size()) {
      sum_mm += work.storm_areas[i].mean_mm;
      supported = std::min(supported, work.storm_areas[i].supported_share);
    }
    if (work.storm_areas.empty()) continue;
    io.out << fmt::format("  {}: ", work.areas[a].id);
    if (sum_mm == sum_mm)
      io.out << fmt::format("{:.1f} mm in all storms", sum_mm);
    else
      io.out << "not known in every storm";
    io.out << (supported < 1 ? fmt::format(", {:.0f} % of it supported\n", 100 * supported) : "\n");
  }
}

}  // namespace

StormWork add_storm_files(OutputFolder& folder, const Network& network, const FillResult& filled,
                          const StormInput& input, std::vector<Area> areas, RunRecord& learned,
                          int threads) {
  const Progress progress("finding storms");
  StormWork work;
  work.areas = std::move(areas);
  work.list = find_storms(filled.record, input.storms);
  const std::vector<Storm>& storms = work.list.storms;
  work.gauges = storm_gauges(network, filled.record, filled.errors, storms, threads);
  work.overviews = storm_overviews(work.gauges, network.size());
  for (const Storm& storm : storms)
    work.tracks.push_back(storm_track(network.positions(), filled.record.depth, storm));
  write_storms(folder.file("storms.csv"), storms, work.overviews, work.tracks, network);
  write_storm_gauges(folder.file("storm_gauges.csv"), work.gauges, storms, network);
  write_storm_tracks(folder.file("storm_track.csv"), storms, work.tracks, network);
  work.variograms =
      learn_area_variograms(network.positions(), filled.record, storms, work.gauges, threads);
  const std::vector<MetricPoint> positions = network.positions();
  const StormMaps maps = storm_maps(positions, work.gauges, work.variograms.maps);
  const auto depths = depth_area_duration(positions, filled.record.depth, storms, maps,
                                          {work.variograms.options.storm, 500, threads});
  write_depth_area_duration(folder.file("depth_area_duration.csv"), depths, storms);
  if (!work.areas.empty()) add_area_files(folder, network, filled, maps, work, learned, threads);
  add_package(folder, network, work);
  return work;
}

void print_storms(const StormWork& work, const Network& network, Streams io) {
  const std::size_t count = work.list.storms.size();
  if (count == 0)
    io.out << "storms: none; it did not rain enough for one\n";
  else
    io.out << fmt::format("storms: {}\n", count);
  for (std::size_t i = 0; i < std::min(kStormsShown, count); ++i) print_storm(work, i, network, io);
  if (count > kStormsShown)
    io.out << fmt::format("  and {} more in storms.csv\n", count - kStormsShown);
  if (work.list.small > 0)
    io.out << fmt::format("too small for a storm: {} spells, {:.1f} mm on average together\n",
                          work.list.small, work.list.small_mm);
  print_areas(work, io);
}

}  // namespace gaugeloom
