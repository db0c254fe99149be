#include "gaugeloom/io/members_netcdf_writer.hpp"

#include <gtest/gtest.h>
#include <netcdf.h>
#include <sys/resource.h>

#include <cmath>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::read_file;
using support::TemporaryFolder;

constexpr std::size_t kHours = 5000;
constexpr int kMembers = 300;  // several blocks of time

Network two_gauges() {
  Network network = support::network_of({"A", "b, low"});
  network.gauges[0].lon_lat = {-2.5, 48.25};
  network.gauges[1].lon_lat = {-2.25, 48.5};
  return network;
}

// Measured 0.2 mm, but for the second gauge: hours 100 to 3999 estimated, hour 4000 missing.
FillResult long_fill() {
  RainTable observed(
      StepAxis(parse_iso8601("2024-03-01T00:00Z")->utc(), std::chrono::hours{1}, kHours), 2);
  for (std::size_t s = 0; s < kHours; ++s) {
    observed.set(0, s, 0.2F);
    if (s < 100 || s > 4000) observed.set(1, s, 0.2F);
  }
  FillResult filled;
  filled.record = unchecked_record(std::move(observed), Quality::good);
  make_room_for_bounds(filled.record);
  for (std::size_t s = 100; s < 4000; ++s) {
    const std::size_t i = filled.record.index(1, s);
    filled.record.depth.set(1, s, 1);
    filled.record.origin[i] = Origin::neighbours;
    filled.record.low_mm[i] = 0;
    filled.record.high_mm[i] = 3;
    filled.record.standard_error_mm[i] = 1.1F;
  }
  return filled;
}

std::string written(const TemporaryFolder& folder, const Network& network, int threads) {
  const FillResult filled = long_fill();
  const Ensemble ensemble(network, {}, filled, {kMembers, 1, threads});
  StagedPath staged(folder / "members.nc");
  write_members_netcdf(staged, ensemble, filled.record, network, {threads});
  staged.commit();
  return folder / "members.nc";
}

// A file opened again by the library.
class Opened {
 public:
  explicit Opened(const std::string& path) {
    EXPECT_EQ(nc_open(path.c_str(), NC_NOWRITE, &id_), NC_NOERR);
  }
  ~Opened() { nc_close(id_); }
  Opened(const Opened&) = delete;
  Opened& operator=(const Opened&) = delete;

  int id() const { return id_; }
  int variable(const char* name) const {
    int variable = -1;
    EXPECT_EQ(nc_inq_varid(id_, name, &variable), NC_NOERR) << name;
    return variable;
  }
  std::string text(const char* name, const char* attribute) const {
    const int of = std::string(name).empty() ? NC_GLOBAL : variable(name);
    std::size_t length = 0;
    EXPECT_EQ(nc_inq_attlen(id_, of, attribute, &length), NC_NOERR) << name << ":" << attribute;
    std::string value(length, ' ');
    nc_get_att_text(id_, of, attribute, value.data());
    return value;
  }
  template <typename T>
  std::vector<T> part(const char* name, const std::vector<std::size_t>& first,
                      const std::vector<std::size_t>& count) const {
    std::size_t all = 1;
    for (const std::size_t along : count) all *= along;
    std::vector<T> values(all);
    EXPECT_EQ(nc_get_vara(id_, variable(name), first.data(), count.data(), values.data()), NC_NOERR)
        << name;
    return values;
  }

 private:
  int id_ = -1;
};

TEST(MembersNetcdfWriter, IsReadBackAsDrawn) {
  const TemporaryFolder folder;
  const Network network = two_gauges();
  const Opened file(written(folder, network, 0));
  const FillResult filled = long_fill();
  const Ensemble ensemble(network, {}, filled, {kMembers, 1, 0});
  std::vector<float> drawn(kHours * kMembers);
  for (std::size_t g = 0; g < 2; ++g) {
    ensemble.draw(g, {0, kHours}, drawn);
    for (const std::size_t m : {0, 7, 299}) {
      const auto series = file.part<float>("rain", {m, g, 0}, {1, 1, kHours});
      for (std::size_t s = 0; s < kHours; ++s) {
        const float mm = drawn[s * kMembers + m];
        ASSERT_EQ(series[s], std::isnan(mm) ? NC_FILL_FLOAT : mm) << s;
      }
    }
  }
  EXPECT_EQ(file.part<signed char>("origin", {1, 99}, {1, 2}), (std::vector<signed char>{0, 1}));
  EXPECT_EQ(file.part<signed char>("origin", {1, 3999}, {1, 3}),
            (std::vector<signed char>{1, 2, 0}));
}

TEST(MembersNetcdfWriter, SaysWhatItHoldsByTheConventions) {
  const TemporaryFolder folder;
  const Opened file(written(folder, two_gauges(), 0));
  EXPECT_EQ(file.text("", "Conventions"), "CF-1.8");
  EXPECT_EQ(file.text("", "featureType"), "timeSeries");
  EXPECT_EQ(file.text("rain", "standard_name"), "lwe_thickness_of_precipitation_amount");
  EXPECT_EQ(file.text("rain", "units"), "mm");
  EXPECT_EQ(file.text("rain", "cell_methods"), "time: sum");
  EXPECT_EQ(file.text("rain", "coordinates"), "lat lon gauge_id");
  EXPECT_EQ(file.text("realization", "standard_name"), "realization");
  EXPECT_EQ(file.text("gauge_id", "cf_role"), "timeseries_id");
  EXPECT_EQ(file.text("time", "bounds"), "time_bnds");
  EXPECT_EQ(file.part<double>("lat", {0}, {2}), (std::vector<double>{48.25, 48.5}));
  EXPECT_EQ(file.part<int>("realization", {298}, {2}), (std::vector<int>{299, 300}));
  const double begin = 1709247600;  // 2024-02-29T23:00Z
  EXPECT_EQ(file.part<double>("time", {0}, {1}).front(), begin + 3600);
  EXPECT_EQ(file.part<double>("time_bnds", {1, 0}, {1, 2}),
            (std::vector<double>{begin + 3600, begin + 7200}));
  const auto ids = file.part<char>("gauge_id", {1, 0}, {1, 6});
  EXPECT_EQ(std::string(ids.begin(), ids.end()), "b, low");
}

TEST(MembersNetcdfWriter, NamesMetresWhereThereIsNoPlaceOnEarth) {
  const TemporaryFolder folder;
  Network network = two_gauges();
  network.gauges[1].lon_lat.reset();
  const Opened file(written(folder, network, 0));
  EXPECT_EQ(file.text("x", "standard_name"), "projection_x_coordinate");
  EXPECT_EQ(file.text("rain", "coordinates"), "y x gauge_id");
}

TEST(MembersNetcdfWriter, WritesTheSameBytesAgainWithAnyNumberOfThreads) {
  const TemporaryFolder folder;
  const std::string one = read_file(written(folder, two_gauges(), 1));
  EXPECT_EQ(one, read_file(written(folder, two_gauges(), 3)));
}

TEST(MembersNetcdfWriter, EndsInOrderAfterAFullDisk) {
  const TemporaryFolder folder;
  const auto fill_the_disk = [&] {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit least{200000, 200000};
    setrlimit(RLIMIT_FSIZE, &least);
    try {
      written(folder, two_gauges(), 1);
    } catch (const Error& error) {
      std::fputs(error.what(), stderr);
      std::exit(7);  // what the libraries do at exit is part of it
    }
  };
  EXPECT_EXIT(fill_the_disk(), testing::ExitedWithCode(7), "members.nc: cannot be written");
}

TEST(MembersNetcdfWriter, SaysWhenAFileCannotBeWritten) {
  const TemporaryFolder folder;
  const Network network = two_gauges();
  const FillResult filled = long_fill();
  const Ensemble ensemble(network, {}, filled, {2, 1, 0});
  const StagedPath staged(folder / "members.nc");
  std::filesystem::create_directory(staged.temporary_path());
  EXPECT_THROW(write_members_netcdf(staged, ensemble, filled.record, network), Error);
  std::filesystem::remove(staged.temporary_path());
}

}  // namespace
}  // namespace gaugeloom
