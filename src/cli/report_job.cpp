#include "report_job.hpp"

#include "command.hpp"
#include "gaugeloom/report/report_page.hpp"

namespace gaugeloom {

void PageInput::declare(OptionList& options) {
  options.heading("Page");
  options.text("title", "TEXT", title, "The name of the network, at the head of report.html.");
}

void add_report(OutputFolder& folder, const PageInput& page, const FillWork& work,
                const StormWork& storms, const RunRecord& record, std::chrono::minutes day_start) {
  const Progress progress("writing the page");
  AtomicFile& file = folder.file("report.html");
  std::vector<std::string> files = folder.names();
  files.insert(files.end(), {"run.json", "run_log.json"});
  file.write(report_page({.title = page.title,
                          .network = work.loaded.network,
                          .filled = work.filled,
                          .findings = work.checked.findings,
                          .visits = work.checked.visits,
                          .summaries = work.checked.summaries,
                          .double_mass = work.checked.double_mass,
                          .storms = storms.list.storms,
                          .storm_gauges = storms.gauges,
                          .overviews = storms.overviews,
                          .areas = storms.areas,
                          .storm_areas = storms.storm_areas,
                          .day_start = day_start,
                          .run = record,
                          .files = std::move(files)}));
}

}  // namespace gaugeloom
