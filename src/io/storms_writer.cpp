#include "gaugeloom/io/storms_writer.hpp"

#include <optional>

#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

static_assert(kStormDurations.size() == 10, "the headers below name ten durations");

// Places as lon,lat,x_m,y_m; the degrees stay empty in a local CRS.
class Places {
 public:
  explicit Places(const Network& network)
      : crs_(network.working_crs.empty() ? WorkCrs::local() : WorkCrs::from(network.working_crs)) {}

  void add(CsvRows& row, const std::optional<MetricPoint>& place) const {
    if (!place) {
      row.empty().empty().empty().empty();
      return;
    }
    if (crs_.is_local()) {
      row.empty().empty();
    } else {
      const LonLat degrees = crs_.inverse(*place);
      row.fixed(degrees.lon_deg, 6).fixed(degrees.lat_deg, 6);
    }
    row.fixed(place->x_m, 3).fixed(place->y_m, 3);
  }

 private:
  WorkCrs crs_;
};

void add_motion(CsvRows& row, const std::optional<StormMotion>& motion) {
  if (!motion) {
    row.empty().empty().empty().empty().empty();
    return;
  }
  row.raw(motion->towards()).fixed(motion->speed_km_h(), 1);
  row.fixed(motion->east_km_h, 1).fixed(motion->north_km_h, 1).fixed(motion->explained, 2);
}

void add_storm(CsvRows& row, const Storm& storm, const StormOverview& overview,
               const Network& network) {
  row.raw(storm.id).raw(format_utc(storm.over.from)).raw(format_utc(storm.over.to));
  row.raw(storm.running ? "yes" : "no");
  row.fixed(std::chrono::duration<double, std::ratio<3600>>(storm.over.length()).count(), 2);
  row.fixed(overview.mean_mm, 3).fixed(overview.max_mm, 3);
  row.text(overview.max_gauge ? network.gauges[*overview.max_gauge].id : "");
  row.integer(static_cast<long long>(overview.gauges));
  row.integer(static_cast<long long>(overview.wet));
  row.fixed(overview.share_filled, 4).fixed(overview.share_missing, 4);
}

}  // namespace

void write_storms(AtomicFile& file, std::span<const Storm> storms,
                  std::span<const StormOverview> overviews, std::span<const StormTrack> tracks,
                  const Network& network) {
  CsvWriter csv(file, {"storm",
                       "from",
                       "to",
                       "running",
                       "hours",
                       "mean_mm",
                       "max_mm",
                       "max_gauge",
                       "gauges",
                       "gauges_wet",
                       "share_filled",
                       "share_missing",
                       "centre_lon",
                       "centre_lat",
                       "centre_x_m",
                       "centre_y_m",
                       "towards",
                       "speed_km_h",
                       "east_km_h",
                       "north_km_h",
                       "motion_explained",
                       "peak_5min_mm_h",
                       "peak_10min_mm_h",
                       "peak_15min_mm_h",
                       "peak_30min_mm_h",
                       "peak_1h_mm_h",
                       "peak_2h_mm_h",
                       "peak_3h_mm_h",
                       "peak_6h_mm_h",
                       "peak_12h_mm_h",
                       "peak_24h_mm_h"});
  const Places places(network);
  for (std::size_t i = 0; i < storms.size(); ++i) {
    CsvRows& row = csv.row();
    add_storm(row, storms[i], overviews[i], network);
    places.add(row, tracks[i].centre);
    add_motion(row, tracks[i].motion);
    for (std::size_t d = 0; d < kStormDurations.size(); ++d)
      row.fixed(intensity_mm_h(overviews[i].peaks_mm[d], kStormDurations[d]), 3);
    row.end_row();
  }
  csv.finish();
}

void write_storm_gauges(AtomicFile& file, std::span<const StormGauge> rows,
                        std::span<const Storm> storms, const Network& network) {
  CsvWriter csv(file, {"storm",          "gauge",         "total_mm",
                       "low_mm",         "high_mm",       "standard_error_mm",
                       "gauge_error_mm", "fill_error_mm", "share_filled",
                       "share_missing",  "quality",       "wet_from",
                       "wet_to",         "peak_5min_mm",  "peak_10min_mm",
                       "peak_15min_mm",  "peak_30min_mm", "peak_1h_mm",
                       "peak_2h_mm",     "peak_3h_mm",    "peak_6h_mm",
                       "peak_12h_mm",    "peak_24h_mm"});
  for (const StormGauge& one : rows) {
    CsvRows& row = csv.row();
    row.raw(storms[one.storm].id).text(network.gauges[one.gauge].id);
    row.fixed(one.total_mm, 3).fixed(one.low_mm, 3).fixed(one.high_mm, 3);
    row.fixed(one.standard_error_mm, 3).fixed(one.gauge_error_mm, 3).fixed(one.fill_error_mm, 3);
    row.fixed(one.share_filled, 4).fixed(one.share_missing, 4).raw(word(one.quality));
    row.raw(one.wet ? format_utc(one.wet->from) : "").raw(one.wet ? format_utc(one.wet->to) : "");
    for (const double peak_mm : one.peaks_mm) row.fixed(peak_mm, 3);
    row.end_row();
  }
  csv.finish();
}

void write_storm_tracks(AtomicFile& file, std::span<const Storm> storms,
                        std::span<const StormTrack> tracks, const Network& network) {
  CsvWriter csv(file, {"storm", "from", "to", "mean_mm", "gauges_wet", "lon", "lat", "x_m", "y_m"});
  const Places places(network);
  for (std::size_t i = 0; i < storms.size(); ++i)
    for (const TrackPoint& point : tracks[i].points) {
      CsvRows& row = csv.row();
      row.raw(storms[i].id).raw(format_utc(point.over.from)).raw(format_utc(point.over.to));
      row.fixed(point.mean_mm, 3).integer(static_cast<long long>(point.wet));
      places.add(row, point.centre);
      row.end_row();
    }
  csv.finish();
}

void write_depth_area_duration(AtomicFile& file, std::span<const DepthAreaDuration> rows,
                               std::span<const Storm> storms) {
  CsvWriter csv(file, {"storm", "duration", "area_km2", "depth_mm", "from", "to"});
  for (const DepthAreaDuration& one : rows) {
    CsvRows& row = csv.row();
    row.raw(storms[one.storm].id).raw(format_duration(one.duration));
    row.fixed(one.km2, 3).fixed(one.depth_mm, 3);
    row.raw(format_utc(one.over.from)).raw(format_utc(one.over.to));
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
