#pragma once
// The page for people: its options and what it is made of; for run.

#include <chrono>
#include <string>
#include <vector>

#include "gaugeloom/io/run_record.hpp"
#include "gaugeloom/rehearse/rehearsal.hpp"
#include "gaugeloom/report/storm_picture.hpp"
#include "job.hpp"
#include "map_job.hpp"
#include "option_list.hpp"
#include "output_folder.hpp"
#include "storm_job.hpp"

namespace gaugeloom {

struct PageInput {
  std::string title = "Rain gauge network";
  bool rehearse = false;

  void declare(OptionList& options);
};

// Of the storms that the page tells in detail and that can be mapped, by storm.
// `maps` works on the same series and storms.
std::vector<StormPicture> storm_pictures(MapJob& maps, const StormWork& storms, Streams io);

// Adds report.html. `record` is complete: what it says was learned stands in the page.
// `rehearsal`: nullptr where there was none; `check` are the options in force.
void add_report(OutputFolder& folder, const PageInput& page, const FillWork& work,
                const StormWork& storms, const std::vector<StormPicture>& pictures,
                const Rehearsal* rehearsal, const CheckOptions& check, const RunRecord& record,
                std::chrono::minutes day_start);

}  // namespace gaugeloom
