#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "area_input.hpp"
#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/io/blind_spots_writer.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/total_fields.hpp"
#include "job.hpp"

namespace gaugeloom {
namespace {

// The gauges that take part: those with any depth in the record.
struct Watchers {
  std::vector<std::size_t> rows;
  std::vector<Gauge> gauges;
  std::vector<MetricPoint> positions;
};

Watchers watchers(const LoadedRecord& loaded) {
  Watchers found;
  const RainTable& depths = loaded.rain.depths;
  for (std::size_t g = 0; g < loaded.network.size(); ++g) {
    const auto bits = depths.measured_bits(g);
    if (std::ranges::all_of(bits, [](std::uint64_t word) { return word == 0; })) continue;
    found.rows.push_back(g);
    found.gauges.push_back(loaded.network.gauges[g]);
    found.positions.push_back(loaded.network.gauges[g].position);
  }
  if (found.rows.size() < 3)
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("only {} gauges have any depth in the record; a network needs 3",
                            found.rows.size()));
  return found;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::ranges::nth_element(values, middle);
  return *middle;
}

class BlindSpotsCommand : public Command {
 public:
  BlindSpotsCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    options_.heading("Region");
    areas_.declare(options_);
    options_.real(
        "cell-m", "METRES", cell_m_, {1, 1e7},
        "Side of a cell in metres; default what gives about 2000 of them, at most 10000.");
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Says what the network cannot see: how wrong a map of a typical storm is at every "
            "place, how much the error of the region and of each catchment rises if a gauge fails, "
            "and where one more gauge would help most. A typical storm is the mean one of the "
            "record; errors are those of kriging, which depend on where the gauges stand and on "
            "how rain differs from place to place here.",
            {{"blind_spots.csv", "Per area and gauge: the error now, and if that gauge failed."},
             {"new_gauge.csv", "Per area: the best place for one more gauge, and what it gains."},
             {"blind_spots.tif",
              "GeoTIFF: error of a typical storm's total; what one more gauge in the cell gains; "
              "distance to the nearest gauge."},
             {"run.json", "Version, settings, hashes of the inputs."},
             {"run_log.json", "Wall clock and machine."}},
            {"gaugeloom blindspots --gauges gauges.csv --rain rain.csv --areas catchments.geojson",
             "gaugeloom blindspots --config network.toml --cell-m 1000"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    for (const char* name : {"blind_spots.csv", "new_gauge.csv", "blind_spots.tif"})
      folder.refuse_input(name);
    const RunRecord record = begin_run_record("blindspots", options_, folder.inputs());
    std::vector<Area> areas;
    const LoadedRecord loaded =
        load_record(network_, rain_, threads_, io,
                    [&](const Network& network) { areas = areas_.read(network, io); });
    const Watchers gauges = watchers(loaded);
    const TypicalStorm storm = find_storm(loaded, gauges);
    const BlindSpots spots = find(gauges, areas, storm);
    const BlindSpotReport report{spots, gauges.gauges, areas, storm.variogram,
                                 loaded.network.working_crs};
    write_blind_spots(folder.file("blind_spots.csv"), report);
    write_new_gauge(folder.file("new_gauge.csv"), report);
    const std::string words = storm_words(storm);
    write_blind_spot_map(folder.path("blind_spots.tif"), report,
                         {{"SOFTWARE", "gaugeloom " + record.version},
                          {"TYPICAL_STORM", words},
                          {"VARIOGRAM", describe(storm.variogram)},
                          {"GAUGES_USED", fmt::format("{}", gauges.rows.size())},
                          {"CAUTION", std::string(kCaution)}},
                         threads_);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    io.out << words << '\n' << describe(storm.variogram) << '\n';
    print(report, io);
    return Exit::ok;
  }

 private:
  TypicalStorm find_storm(const LoadedRecord& loaded, const Watchers& gauges) const {
    const StormList list = find_storms(unchecked_record(loaded.rain));
    std::vector<StepAxis::Range> windows;
    for (const Storm& storm : list.storms) windows.push_back(storm.steps);
    const TotalFields fields = total_fields(loaded.rain.depths, windows, gauges.rows);
    return typical_storm(gauges.positions, fields.view(), threads_);
  }

  BlindSpots find(const Watchers& gauges, const std::vector<Area>& areas,
                  const TypicalStorm& storm) const {
    std::vector<double> variance;
    for (const Gauge& gauge : gauges.gauges) {
      const double error_mm =
          gauge_standard_error_mm(storm.mean_mm, gauge.bucket_mm, gauge.accuracy_percent);
      variance.push_back(error_mm * error_mm);
    }
    const Progress progress("holding places against each other");
    return find_blind_spots(gauges.positions, variance, areas, storm.variogram,
                            {cell_m_, median(variance)});
  }

  static std::string storm_words(const TypicalStorm& storm) {
    return fmt::format(
        "a typical storm: {:.1f} mm, {:.1f} mm of spread between gauges ({} storms{})",
        storm.mean_mm, storm.spread_mm, storm.storms,
        storm.learned ? ""
                      : ", too few to learn the variogram's shape: the usual "
                        "one");
  }

  static void print(const BlindSpotReport& report, Streams io) {
    const NetworkDesign& design = report.spots.design;
    io.out << fmt::format("{} places, {} gauges, {} areas\n", report.spots.cells.size(),
                          report.gauges.size(), report.areas.size());
    io.out << fmt::format("{:12} {:>8}  {:12} {:>8}  {:24} {:>8}\n", "area", "error mm",
                          "most missed", "then mm", "best for one more", "then mm");
    print(
        report, "(region)", design.region,
        [&](double variance) { return point_error_mm(variance, report.variogram); }, io);
    for (std::size_t a = 0; a < report.areas.size(); ++a)
      print(
          report, report.areas[a].id, design.areas[a],
          [](double variance) { return std::sqrt(std::max(0.0, variance)); }, io);
  }

  template <typename Error>
  static void print(const BlindSpotReport& report, const std::string& name,
                    const DesignTarget& target, const Error& error_mm, Streams io) {
    const auto missed =
        static_cast<std::size_t>(std::ranges::max_element(target.without) - target.without.begin());
    const std::size_t best = best_place(target);
    io.out << fmt::format("{:12} {:8.2f}  {:12} {:8.2f}  {:24} {:8.2f}\n", name,
                          error_mm(target.variance), report.gauges[missed].id,
                          error_mm(target.without[missed]), place_words(report, best),
                          error_mm(target.with[best]));
  }

  static std::string place_words(const BlindSpotReport& report, std::size_t place) {
    const MetricPoint point = report.spots.place(place);
    if (report.crs == kLocalCrs) return fmt::format("x {:.0f} y {:.0f} m", point.x_m, point.y_m);
    const LonLat degrees = WorkCrs::from(report.crs).inverse(point);
    return fmt::format("lon {:.4f} lat {:.4f}", degrees.lon_deg, degrees.lat_deg);
  }

  NetworkInput network_;
  RainInput rain_;
  AreaInput areas_;
  std::optional<double> cell_m_;
};

}  // namespace

std::unique_ptr<Command> make_blindspots() { return std::make_unique<BlindSpotsCommand>(); }

}  // namespace gaugeloom
