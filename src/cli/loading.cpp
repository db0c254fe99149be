#include "loading.hpp"

#include <utility>

#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/last_run_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/rain/gauge_history.hpp"
#include "gaugeloom_version.hpp"

namespace gaugeloom {

std::vector<std::string> input_files(const OptionList& options, const NetworkInput& network,
                                     const RainInput& rain) {
  std::vector<std::string> files{network.gauges};
  for (std::string& file : rain_files(rain.rain)) files.push_back(std::move(file));
  for (const char* name : {"config", "outages", "visits", "temperature", "learned", "decisions",
                           "elevation", "areas", "like", "calibration"})
    if (options.was_given(name)) files.push_back(options.find(name)->given.back());
  if (options.was_given("last-run"))
    for (std::string& file : last_run_files(options.find("last-run")->given.back()))
      files.push_back(std::move(file));
  return files;
}

LoadedRecord read_record(const NetworkInput& network, const RainInput& rain, int threads,
                         Streams io, const ReadEarly& early, bool beside_tips) {
  RainReadOptions read = rain.read_options(network.strict, threads);
  read.tell_absent = !beside_tips;
  const Progress progress("reading");
  LoadedRecord loaded;
  std::vector<std::string> notices;
  loaded.network = read_gauges(network.gauges, network.read_options(), notices);
  if (early) early(loaded.network);
  if (rain.rain.empty())
    loaded.rain.depths = RainTable(StepAxis(), loaded.network.size());
  else
    loaded.rain = read_rain(rain.rain, loaded.network, read, notices);
  print_notices(notices, io);
  return loaded;
}

void settle_histories(LoadedRecord& loaded, Streams io) {
  std::vector<std::string> notices;
  settle_histories(loaded.network, loaded.rain.depths, notices);
  print_notices(notices, io);
}

LoadedRecord load_record(const NetworkInput& network, const RainInput& rain, int threads,
                         Streams io, const ReadEarly& early) {
  LoadedRecord loaded = read_record(network, rain, threads, io, early);
  settle_histories(loaded, io);
  return loaded;
}

void print_notices(const std::vector<std::string>& notices, Streams io) {
  for (const std::string& notice : notices) io.err << "gaugeloom: notice: " << notice << '\n';
}

RunRecord begin_run_record(const std::string& command, const OptionList& options,
                           std::vector<std::string> inputs) {
  RunRecord record;
  record.command = command;
  record.version = GAUGELOOM_VERSION;
  record.configuration = options.in_force();
  record.inputs = std::move(inputs);
  return record;
}

}  // namespace gaugeloom
