#pragma once
// Reads what a command works on.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "command.hpp"
#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/io/run_record.hpp"
#include "gaugeloom/rain/decision.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_record.hpp"
#include "option_groups.hpp"

namespace gaugeloom {

// The files a command reads: the gauges, the rain, the configuration, the log of
// outages. Throws as rain_files().
std::vector<std::string> input_files(const OptionList& options, const NetworkInput& network,
                                     const RainInput& rain);

struct LoadedRecord {
  Network network;
  RainRecord rain;
  std::vector<Decision> decisions;   // of a reviewer
  std::optional<Unmasked> unmasked;  // where a decision may move what outages and visits masked
};

// Reads what is small and needs the gauges (areas, rasters): called before their rain is read, so
// that a bad file fails at once.
using ReadEarly = std::function<void(const Network&)>;

// Reads gauges and rain, which has no steps where no file of it is named; notices go to io.err.
// Where other gauges come as tips, those without a row are not told. Throws as the readers.
LoadedRecord read_record(const NetworkInput& network, const RainInput& rain, int threads,
                         Streams io, const ReadEarly& early = {}, bool beside_tips = false);
// Gives every gauge the row of its history that holds for the record (rain/gauge_history.hpp).
void settle_histories(LoadedRecord& loaded, Streams io);
// Both.
LoadedRecord load_record(const NetworkInput& network, const RainInput& rain, int threads,
                         Streams io, const ReadEarly& early = {});

// One line each on io.err: "gaugeloom: notice: ...".
void print_notices(const std::vector<std::string>& notices, Streams io);

// Version and settings of a run, ready for what was learned.
RunRecord begin_run_record(const std::string& command, const OptionList& options,
                           std::vector<std::string> inputs);

}  // namespace gaugeloom
