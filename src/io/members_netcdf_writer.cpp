#include "gaugeloom/io/members_netcdf_writer.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom_version.hpp"
#include "io/netcdf_file_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kDepthsPerBlock = std::size_t{1} << 22;
constexpr std::size_t kFewestSteps = 16;
constexpr std::size_t kMostSteps = 8192;
constexpr std::size_t kGaugesPerChunk = 64;
constexpr const char* kEpoch = "seconds since 1970-01-01 00:00:00";

enum OriginFlag : signed char { kMeasured, kEstimated, kMissing };

class MembersFile {
 public:
  MembersFile(const StagedPath& file, const Ensemble& ensemble, const SeriesRecord& record,
              const Network& network)
      : file_(file.temporary_path(), file.path()),
        ensemble_(ensemble),
        record_(record),
        network_(network) {
    const std::size_t width = std::max<std::size_t>(1, gauges() * ensemble.members());
    block_ = std::clamp(kDepthsPerBlock / width, kFewestSteps, kMostSteps);
    block_ = std::max<std::size_t>(1, std::min(block_, record.depth.step_count()));
  }

  void write(int threads) {
    define();
    put_gauges();
    put_members();
    for (std::size_t first = 0; first < record_.depth.step_count(); first += block_) {
      const StepAxis::Range steps{first, std::min(first + block_, record_.depth.step_count())};
      put_times(steps);
      put_depths(steps, threads);
    }
    file_.close();
  }

 private:
  std::size_t gauges() const { return network_.size(); }
  bool is_on_earth() const {
    return std::all_of(network_.gauges.begin(), network_.gauges.end(),
                       [](const Gauge& gauge) { return gauge.lon_lat.has_value(); });
  }
  void define();
  void define_places(int gauge);
  void define_times(int time);
  void define_rain(int realization, int gauge, int time);
  void put_gauges();
  void put_members();
  void put_times(StepAxis::Range steps);
  void put_depths(StepAxis::Range steps, int threads);

  NetcdfFile file_;
  const Ensemble& ensemble_;
  const SeriesRecord& record_;
  const Network& network_;
  std::size_t block_ = 1;  // steps
  std::size_t longest_id_ = 1;
  int ids_ = -1;
  int east_ = -1;
  int north_ = -1;
  int times_ = -1;
  int bounds_ = -1;
  int realizations_ = -1;
  int origin_ = -1;
  int rain_ = -1;
};

void MembersFile::define() {
  const int realization = file_.dimension("realization", ensemble_.members());
  const int gauge = file_.dimension("gauge", gauges());
  const int time = file_.dimension("time", record_.depth.step_count());
  file_.attribute(NC_GLOBAL, "Conventions", "CF-1.8");
  file_.attribute(NC_GLOBAL, "featureType", "timeSeries");
  file_.attribute(NC_GLOBAL, "title", "Rain of a network of gauges, gaps filled, as an ensemble");
  file_.attribute(NC_GLOBAL, "source", std::string("gaugeloom ") + GAUGELOOM_VERSION);
  file_.attribute(NC_GLOBAL, "comment",
                  "Measured depths are the same in all members. Members differ where depths were "
                  "estimated; they are estimates, not measurements.");
  realizations_ = file_.variable("realization", NC_INT, {realization});
  file_.attribute(realizations_, "standard_name", "realization");
  file_.attribute(realizations_, "units", "1");
  define_places(gauge);
  define_times(time);
  define_rain(realization, gauge, time);
  file_.end_definitions();
}

void MembersFile::define_places(int gauge) {
  for (const Gauge& g : network_.gauges) longest_id_ = std::max(longest_id_, g.id.size());
  ids_ = file_.variable("gauge_id", NC_CHAR, {gauge, file_.dimension("id_length", longest_id_)});
  file_.attribute(ids_, "cf_role", "timeseries_id");
  file_.attribute(ids_, "long_name", "gauge");
  const bool on_earth = is_on_earth();
  east_ = file_.variable(on_earth ? "lon" : "x", NC_DOUBLE, {gauge});
  north_ = file_.variable(on_earth ? "lat" : "y", NC_DOUBLE, {gauge});
  file_.attribute(east_, "standard_name", on_earth ? "longitude" : "projection_x_coordinate");
  file_.attribute(north_, "standard_name", on_earth ? "latitude" : "projection_y_coordinate");
  file_.attribute(east_, "units", on_earth ? "degrees_east" : "m");
  file_.attribute(north_, "units", on_earth ? "degrees_north" : "m");
}

void MembersFile::define_times(int time) {
  times_ = file_.variable("time", NC_DOUBLE, {time});
  file_.attribute(times_, "standard_name", "time");
  file_.attribute(times_, "long_name", "end of the step, UTC");
  file_.attribute(times_, "units", kEpoch);
  file_.attribute(times_, "calendar", "standard");
  file_.attribute(times_, "axis", "T");
  file_.attribute(times_, "bounds", "time_bnds");
  bounds_ = file_.variable("time_bnds", NC_DOUBLE, {time, file_.dimension("bnds", 2)});
}

void MembersFile::define_rain(int realization, int gauge, int time) {
  const std::string coordinates = is_on_earth() ? "lat lon gauge_id" : "y x gauge_id";
  const std::size_t across = std::max<std::size_t>(1, std::min(kGaugesPerChunk, gauges()));
  origin_ = file_.variable("origin", NC_BYTE, {gauge, time});
  file_.attribute(origin_, "standard_name", "lwe_thickness_of_precipitation_amount status_flag");
  file_.attribute(origin_, "long_name", "where the depth comes from, in all members");
  file_.attribute(origin_, "flag_values",
                  std::vector<signed char>{kMeasured, kEstimated, kMissing});
  file_.attribute(origin_, "flag_meanings", "measured estimated missing");
  file_.attribute(origin_, "coordinates", coordinates);
  file_.compress(origin_, {across, block_});
  rain_ = file_.variable("rain", NC_FLOAT, {realization, gauge, time});
  file_.attribute(rain_, "standard_name", "lwe_thickness_of_precipitation_amount");
  file_.attribute(rain_, "long_name", "rain depth over the step");
  file_.attribute(rain_, "units", "mm");
  file_.attribute(rain_, "cell_methods", "time: sum");
  file_.attribute(rain_, "coordinates", coordinates);
  file_.attribute(rain_, "ancillary_variables", "origin");
  file_.compress(rain_, {1, across, block_});
  file_.fill_value(rain_, NC_FILL_FLOAT);
}

void MembersFile::put_gauges() {
  std::string ids;
  std::vector<double> east;
  std::vector<double> north;
  const bool on_earth = is_on_earth();
  for (const Gauge& gauge : network_.gauges) {
    ids += gauge.id + std::string(longest_id_ - gauge.id.size(), '\0');
    east.push_back(on_earth ? gauge.lon_lat->lon_deg : gauge.position.x_m);
    north.push_back(on_earth ? gauge.lon_lat->lat_deg : gauge.position.y_m);
  }
  file_.put(ids_, {0, 0}, {gauges(), longest_id_}, ids.data());
  file_.put(east_, {0}, {gauges()}, east.data());
  file_.put(north_, {0}, {gauges()}, north.data());
}

void MembersFile::put_members() {
  std::vector<int> numbers;
  for (std::size_t m = 1; m <= ensemble_.members(); ++m) numbers.push_back(static_cast<int>(m));
  file_.put(realizations_, {0}, {numbers.size()}, numbers.data());
}

void MembersFile::put_times(StepAxis::Range steps) {
  const auto seconds = [](Instant time) {
    return std::chrono::duration<double>(time.time_since_epoch()).count();
  };
  std::vector<double> ends;
  std::vector<double> bounds;
  for (std::size_t s = steps.first; s < steps.last; ++s) {
    const Interval step = record_.depth.axis().interval(s);
    ends.push_back(seconds(step.to));
    bounds.insert(bounds.end(), {seconds(step.from), seconds(step.to)});
  }
  file_.put(times_, {steps.first}, {ends.size()}, ends.data());
  file_.put(bounds_, {steps.first, 0}, {ends.size(), 2}, bounds.data());
}

void MembersFile::put_depths(StepAxis::Range steps, int threads) {
  const std::size_t members = ensemble_.members();
  const std::size_t length = steps.last - steps.first;
  std::vector<float> depths(members * gauges() * length);
  std::vector<signed char> origin(gauges() * length);
  parallel_for(gauges(), threads, [&](std::size_t g) {
    std::vector<float> drawn(length * members);
    ensemble_.draw(g, steps, drawn);
    for (std::size_t m = 0; m < members; ++m)
      for (std::size_t i = 0; i < length; ++i) {
        const float mm = drawn[i * members + m];
        depths[(m * gauges() + g) * length + i] = std::isnan(mm) ? NC_FILL_FLOAT : mm;
      }
    for (std::size_t i = 0; i < length; ++i)
      origin[g * length + i] = ensemble_.is_estimated(g, steps.first + i)      ? kEstimated
                               : record_.depth.is_measured(g, steps.first + i) ? kMeasured
                                                                               : kMissing;
  });
  file_.put(origin_, {0, steps.first}, {gauges(), length}, origin.data());
  file_.put(rain_, {0, 0, steps.first}, {members, gauges(), length}, depths.data());
}

}  // namespace

void write_members_netcdf(const StagedPath& file, const Ensemble& ensemble,
                          const SeriesRecord& record, const Network& network,
                          const MembersNetcdfOptions& options) {
  const BulkAcross across;  // blocks of time, from rows of one gauge
  MembersFile(file, ensemble, record, network).write(options.threads);
}

}  // namespace gaugeloom
