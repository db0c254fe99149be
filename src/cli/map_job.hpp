#pragma once
// Maps of storms and windows from a series: their options, their files, their words; for map and
// run.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "command.hpp"
#include "gaugeloom/fill/duration_errors.hpp"
#include "gaugeloom/interp/climatological_variogram.hpp"
#include "gaugeloom/io/run_record.hpp"
#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/storms/elevation_factor.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"
#include "map_ground.hpp"
#include "map_raster.hpp"
#include "option_groups.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

enum class ElevationUse {
  automatic,  // in the totals where it has earned its place
  always,
  never,  // for the light and shadow of the picture only
};

struct MapInput {
  MethodInput method;
  VariogramInput variogram;
  MapRasterInput raster;
  bool png = false;
  bool frames = false;
  std::string elevation;  // a raster; empty: none
  ElevationUse elevation_use = ElevationUse::automatic;

  void declare(OptionList& options);
  // Throws Error{invalid_option} for rules between the options; --map-crs becomes the working CRS.
  void settle(NetworkInput& network) const;
  bool kriging() const { return method.method == InterpolationMethod::ordinary_kriging; }
};

// What is mapped, and under which name: a storm, or a window given as one.
struct MapSubject {
  std::string name;  // "map", "storm_20230605T0200Z"
  Storm storm;
  bool is_storm = false;
};

// Makes maps of one series, one after the other; what they share is learned once.
class MapJob {
 public:
  // The arguments outlive the job. Throws as MapGround.
  MapJob(const MapInput& input, const Network& network, const SeriesRecord& series,
         const DurationErrors& errors, const StormList& storms, int threads);

  // Adds NAME.tif and, if asked for, NAME.png and NAME_frames.tif.
  // Throws: Error{inconsistent_input} where fewer than 3 gauges have a total.
  // Prints what it made: some lines, or one with `brief`.
  void add(OutputFolder& folder, const MapSubject& subject, const std::string& version, bool brief,
           Streams io);

  // The same total over the cells of any grid on the plane, row by row; NaN without support.
  // Throws as add().
  std::vector<float> totals_on(const Grid& grid, const MapSubject& subject, Streams io);
  const MapPlane& plane() const { return ground_.plane; }

 private:
  struct Totals;
  struct Shape {  // of the variogram
    ClimatologicalVariogram scaled;
    std::string source;  // in words, after its description
  };
  struct MapVariogram {
    Variogram variogram;
    std::string source;
  };

  Totals add_up(const MapSubject& subject) const;
  MapVariogram find_variogram(const MapSubject& subject, const Totals& totals);
  Shape learn(const MapSubject& subject, const Totals& totals);
  Shape learn_from(std::span<const StepAxis::Range> windows, const Totals& totals, double hours,
                   const std::string& words) const;
  void try_elevation_once(const Variogram& variogram, Streams io);
  std::optional<MapElevation> elevation_for(const Totals& totals) const;
  RainMap map_of(const Totals& totals, const Variogram& variogram, Streams io);
  std::string method_words(const MapVariogram& variogram, std::size_t gauges) const;
  std::vector<std::pair<std::string, std::string>> metadata(const MapSubject& subject,
                                                            const Totals& totals,
                                                            const MapVariogram& variogram,
                                                            const RainMap& map,
                                                            const std::string& version) const;
  void add_frames(OutputFolder& folder, const MapSubject& subject, const Totals& totals,
                  const Grid& grid, const RainMap& map,
                  std::vector<std::pair<std::string, std::string>> metadata) const;

  const MapInput& input_;
  const Network& network_;
  const SeriesRecord& series_;
  const DurationErrors& errors_;
  const StormList& storms_;
  int threads_;
  MapGround ground_;
  std::optional<Shape> of_storms_;           // learned from all storms, once
  std::optional<ElevationTrial> elevation_;  // the same
};

// Refuses early when a file of the maps would be an input. `wish`: "all" where every storm has
// its own.
void refuse_map_inputs(const OutputFolder& folder, const std::string& wish);
// A window of whole steps, as map.tif.
MapSubject window_subject(const Interval& window, StepAxis::Range steps);
// The storms that `wish` ("all" or an id) names. Throws Error{invalid_option} for an unknown one.
std::vector<MapSubject> storm_subjects(const StormList& storms, const std::string& wish);

}  // namespace gaugeloom
