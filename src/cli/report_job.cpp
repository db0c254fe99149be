#include "report_job.hpp"

#include <algorithm>

#include "command.hpp"
#include "gaugeloom/report/report_page.hpp"

namespace gaugeloom {

void PageInput::declare(OptionList& options) {
  options.heading("Page");
  options.text("title", "TEXT", title, "The name of the network, at the head of report.html.");
  options.toggle("rehearse", rehearse,
                 "Also rehearses on this record (gaugeloom rehearse), so that the page can hold "
                 "what was predicted against what was achieved. Takes about as long as thirty "
                 "checks.");
}

namespace {

constexpr double kPictureCells = 200;    // on the longer side; pixels between them are mixed
constexpr std::size_t kLeastGauges = 3;  // of a map

PictureGround picture_ground(const MapPlane& plane) {
  const MetricBounds box =
      bounds_around(plane.points, std::max(median_spacing_m(plane.points), 1.0));
  const double longer = std::max(box.x_max_m - box.x_min_m, box.y_max_m - box.y_min_m);
  PictureGround ground{grid_over(box, longer / kPictureCells), plane.crs};
  if (plane.like) {
    ground.units_per_metre_x = plane.like->units_per_metre_x;
    ground.units_per_metre_y = plane.like->units_per_metre_y;
  }
  return ground;
}

}  // namespace

std::vector<StormPicture> storm_pictures(MapJob& maps, const StormWork& storms, Streams io) {
  const PictureGround ground = picture_ground(maps.plane());
  const PictureFrame frame(ground);
  std::vector<StormPicture> pictures;
  Progress progress("drawing storms");
  const std::size_t most = most_storms_in_detail(maps.plane().points.size());
  for (const std::size_t row : wettest_storms(storms.overviews, most)) {
    if (storms.overviews[row].gauges < kLeastGauges) continue;
    const MapSubject subject{"", storms.list.storms[row], true};
    pictures.push_back(frame.picture(row, maps.totals_on(ground.grid, subject, io)));
  }
  return pictures;
}

void add_report(OutputFolder& folder, const PageInput& page, const FillWork& work,
                const StormWork& storms, const std::vector<StormPicture>& pictures,
                const Rehearsal* rehearsal, const CheckOptions& check, const RunRecord& record,
                std::chrono::minutes day_start) {
  const Progress progress("writing the page");
  AtomicFile& file = folder.file("report.html");
  std::vector<std::string> files = folder.names();
  files.insert(files.end(), {"run.json", "run_log.json"});
  file.write(report_page({.title = page.title,
                          .network = work.loaded.network,
                          .filled = work.filled,
                          .findings = work.checked.findings,
                          .evidence = work.checked.evidence,
                          .reviews = work.checked.review.findings,
                          .decisions = work.checked.review.decisions,
                          .has_last_run = work.checked.review.has_last_run,
                          .changes = work.checked.review.changes,
                          .visits = work.checked.visits,
                          .summaries = work.checked.summaries,
                          .double_mass = work.checked.double_mass,
                          .storms = storms.list.storms,
                          .storm_gauges = storms.gauges,
                          .overviews = storms.overviews,
                          .areas = storms.areas,
                          .storm_areas = storms.storm_areas,
                          .pictures = pictures,
                          .rehearsal = rehearsal,
                          .check = check,
                          .day_start = day_start,
                          .run = record,
                          .files = std::move(files)}));
}

}  // namespace gaugeloom
