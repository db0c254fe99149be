#pragma once
// The storms of a filled record: their options, their files, their words; for storms and run.

#include <vector>

#include "command.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_overview.hpp"
#include "gaugeloom/storms/storm_track.hpp"
#include "job.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

struct StormInput {
  StormOptions storms;

  void declare(OptionList& options);
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
};

// Finds the storms and adds their files.
StormWork add_storm_files(OutputFolder& folder, const Network& network, const FillResult& filled,
                          const StormInput& input, int threads);

void print_storms(const StormWork& work, const Network& network, Streams io);

}  // namespace gaugeloom
