#pragma once
// The page for people: its options and what it is made of; for run.

#include <chrono>
#include <string>

#include "gaugeloom/io/run_record.hpp"
#include "job.hpp"
#include "option_list.hpp"
#include "output_folder.hpp"
#include "storm_job.hpp"

namespace gaugeloom {

struct PageInput {
  std::string title = "Rain gauge network";

  void declare(OptionList& options);
};

// Adds report.html. `record` is complete: what it says was learned stands in the page.
void add_report(OutputFolder& folder, const PageInput& page, const FillWork& work,
                const StormWork& storms, const RunRecord& record, std::chrono::minutes day_start);

}  // namespace gaugeloom
