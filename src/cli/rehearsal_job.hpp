#pragma once
// A rehearsal on the record at hand: its files and what is recorded of it; for rehearse and run.

#include <array>

#include "gaugeloom/io/run_record.hpp"
#include "gaugeloom/rehearse/rehearsal.hpp"
#include "loading.hpp"
#include "output_folder.hpp"

namespace gaugeloom {

inline constexpr std::array kRehearsalFiles = {"rehearsal.csv", "rehearsal_gauges.csv",
                                               "rehearsal_fill.csv"};

// Rehearses on the record as it was read, adds its files, and records what was learned. Throws as
// rehearse().
Rehearsal add_rehearsal(OutputFolder& folder, const LoadedRecord& loaded, RehearsalOptions options,
                        int threads, RunRecord& record);

// "2023-06-01T00:00:00Z to ...: 4 storms, learned from 9".
std::string part_text(const RehearsedPart& part);

}  // namespace gaugeloom
