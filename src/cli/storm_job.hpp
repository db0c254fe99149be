#pragma once
// The storms of a filled record: their options, their files, their words; for storms and run.

#include <vector>

#include "area_input.hpp"
#include "command.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_overview.hpp"
#include "gaugeloom/storms/storm_track.hpp"
#include "job.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

struct StormInput {
  StormOptions storms;
  AreaInput areas;

  void declare(OptionList& options);
  // What a storm is, without the areas.
  void declare_storms(OptionList& options);
  // Throws Error{invalid_option} for rules between the options.
  void settle() const;
  // The outputs, to be refused early where one is an input.
  std::vector<std::string> files() const;
};

struct StormWork {
  StormList list;
  std::vector<StormGauge> gauges;
  std::vector<StormOverview> overviews;
  std::vector<StormTrack> tracks;
  AreaVariograms variograms;
  // Only with areas:
  std::vector<Area> areas;
  std::vector<StormArea> storm_areas;
};

// Finds the storms and adds their files.
StormWork add_storm_files(OutputFolder& folder, const Network& network, const FillResult& filled,
                          const StormInput& input, std::vector<Area> areas, RunRecord& learned,
                          int threads);

void print_storms(const StormWork& work, const Network& network, Streams io);

}  // namespace gaugeloom
