// Kriging and inverse distance against gstat itself, run through R on a random network, where it is
// installed (Debian: r-cran-gstat). gstat_live.R holds the same models.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <stdexcept>
#include <string>
#include <vector>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "support/csv_table.hpp"
#include "support/random_network.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

struct Model {
  std::string name;
  Variogram variogram;
};

// As in gstat_live.R.
std::vector<Model> models() {
  using enum VariogramShape;
  return {
      {"spherical", {.shape = spherical, .nugget = 0.1, .partial_sill = 2, .range_m = 60000}},
      {"exponential", {.shape = exponential, .partial_sill = 1.5, .range_m = 20000}},
      {"gaussian", {.shape = gaussian, .nugget = 0.2, .partial_sill = 1, .range_m = 25000}},
      {"matern",
       {.shape = matern, .nugget = 0.05, .partial_sill = 1, .range_m = 15000, .smoothness = 1.2}}};
}

bool gstat_is_installed() {
  return std::system("Rscript --vanilla -e 'packageVersion(\"gstat\")' > /dev/null 2>&1") == 0;
}

// The network and what gstat says about it.
struct Answered {
  std::vector<MetricPoint> gauges;
  std::vector<double> values;
  support::CsvTable answers;
};

Answered ask_gstat() {
  Answered asked;
  Random random("GstatLive");
  asked.gauges = support::random_network("GstatLive", 45).gauges;
  asked.gauges.push_back({asked.gauges[0].x_m + 20, asked.gauges[0].y_m});  // a close neighbour
  std::string text = "x,y,value\n";
  for (const MetricPoint& p : asked.gauges) {
    asked.values.push_back(random.exponential(5));
    text += fmt::format("{:.17g},{:.17g},{:.17g}\n", p.x_m, p.y_m, asked.values.back());
  }
  const support::TemporaryFolder folder;
  folder.write("gauges.csv", text);
  const std::string command = "Rscript --vanilla '" GAUGELOOM_TEST_DATA
                              "/reference/gstat_live.R' '" +
                              folder.path() + "' > /dev/null";
  if (std::system(command.c_str()) != 0) throw std::runtime_error("gstat_live.R failed");
  asked.answers = support::CsvTable::read_file(folder / "answers.csv");
  return asked;
}

void expect_agreement(const std::vector<Estimate>& got, const support::CsvTable& answers,
                      const std::string& column, bool with_variance) {
  ASSERT_EQ(got.size(), answers.rows());
  for (std::size_t i = 0; i < got.size(); ++i) {
    const double want = answers.number(i, column);
    EXPECT_NEAR(got[i].value, want, 1e-8 * std::max(1.0, std::abs(want))) << column << " " << i;
    if (with_variance) {
      EXPECT_NEAR(got[i].variance, answers.number(i, column + "_var"), 1e-8) << column << " " << i;
    }
  }
}

TEST(GstatLive, LeaveOneOutAgrees) {
  if (!gstat_is_installed()) GTEST_SKIP() << "gstat is not there: install r-cran-gstat";
  const Answered asked = ask_gstat();
  for (const Model& model : models())
    for (const int neighbours : {12, 0})
      expect_agreement(leave_one_out_kriging(asked.gauges, asked.values, {}, model.variogram,
                                             {.max_neighbours = neighbours}),
                       asked.answers, model.name + (neighbours == 0 ? "_all" : "_near"), true);
  for (const double power : {1.0, 2.0, 3.5})
    expect_agreement(leave_one_out_inverse_distance(asked.gauges, asked.values,
                                                    {.power = power, .max_neighbours = 12}),
                     asked.answers, fmt::format("idw{}", power), false);
}

}  // namespace
}  // namespace gaugeloom
