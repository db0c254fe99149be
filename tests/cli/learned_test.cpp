#include <gtest/gtest.h>

#include <sstream>

#include "cli/command.hpp"
#include "gaugeloom/io/learned_reader.hpp"
#include "gaugeloom/io/rain_writer.hpp"
#include "gaugeloom/io/small_table_reader.hpp"
#include "support/check_cases.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

// The healthy network with a block, as files.
struct Inputs {
  support::TemporaryFolder folder;
  std::string gauges;

  Inputs() {
    const support::SyntheticRain& healthy = support::healthy_network();
    std::string list = "gauge,x,y\n";
    for (const Gauge& gauge : healthy.network.gauges)
      list += gauge.id + "," + std::to_string(gauge.position.x_m) + "," +
              std::to_string(gauge.position.y_m) + "\n";
    gauges = folder.write("gauges.csv", list);
    RainTable table = healthy.table;
    for (std::size_t i = support::day_step(20); i < support::day_step(50); ++i) table.set(4, i, 0);
    AtomicFile file(folder / "rain.csv");
    write_rain(file, unchecked_record(std::move(table)), healthy.network, {.wide = true});
    file.commit();
  }

  // Checks into `out` and returns what was said on the way.
  std::string check(const std::string& out, std::vector<std::string> more, Exit expected) const {
    std::vector<std::string> args{"check",  "--gauges",          gauges,  "--crs",     "local",
                                  "--rain", folder / "rain.csv", "--out", folder / out};
    args.insert(args.end(), more.begin(), more.end());
    std::ostringstream said, err;
    EXPECT_EQ(dispatch(args, {said, err}), expected) << err.str();
    return err.str();
  }

  std::vector<std::string> finding_ids(const std::string& out) const {
    const SmallTable table = read_small_table(folder / (out + "/findings.csv"));
    std::vector<std::string> ids;
    for (std::size_t row = 0; row < table.row_count(); ++row) ids.push_back(table.at(row, 0));
    return ids;
  }
};

TEST(Learned, OfOneCheckMakesTheSameFindingsInAnother) {
  const Inputs inputs;
  inputs.check("first", {}, Exit::ok);
  const std::string learned = inputs.folder / "first/run.json";
  EXPECT_EQ(inputs.check("second", {"--learned", learned}, Exit::ok), "");
  EXPECT_FALSE(inputs.finding_ids("first").empty());
  EXPECT_EQ(inputs.finding_ids("second"), inputs.finding_ids("first"));
  const NullValues first = read_learned(learned);
  const NullValues second = read_learned(inputs.folder / "second/run.json");
  EXPECT_EQ(second.gauges, first.gauges);
  for (const auto& [name, law] : first.laws) EXPECT_EQ(second.laws.at(name).lists, law.lists);
  EXPECT_NE(inputs.check("first", {"--learned", learned}, Exit::usage).find("overwritten"),
            std::string::npos);
  EXPECT_NE(inputs.check("third", {"--learned", inputs.gauges}, Exit::failed)
                .find("gauges.csv: this is no run.json"),
            std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
