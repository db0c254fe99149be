#include "cli/option_list.hpp"

#include <gtest/gtest.h>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

bool nowhere_else(const std::string&) { return false; }

struct Told {
  OptionList options;
  std::string gauges;
  std::vector<std::string> rain;
  int neighbours = 16;
  double power = 2;
  bool strict = false;
  std::map<std::string, std::string> codes;
  std::string config;

  Told() {
    options.path("gauges", "FILE", gauges, "The list.");
    options.paths("rain", "PATH", rain, "Depths.");
    options.whole("neighbours", "N", neighbours, {1, 64}, "Gauges used.");
    options.real("power", "NUMBER", power, {0.1, 10}, "Power.");
    options.toggle("strict", strict, "Strict.");
    options.table("quality_codes", codes, "Words.");
    options.path("config", "FILE", config, "Settings.");
  }
  void parse(const std::vector<std::string>& args) { options.parse(args, nowhere_else); }
};

std::string complaint(const std::vector<std::string>& args) {
  Told told;
  try {
    told.parse(args);
  } catch (const Error& error) {
    return error.what();
  }
  return "none";
}

class ConfigurationFile : public testing::Test {
 protected:
  std::string write(const std::string& text) const { return folder_.write("network.toml", text); }
  const support::TemporaryFolder folder_;
};

TEST(OptionList, ReadsEveryKindOfFlag) {
  Told told;
  told.parse({"--gauges=a.csv", "--rain", "b", "c", "--rain", "d", "--neighbours", "8", "--power",
              "1.5", "--strict"});
  EXPECT_EQ(told.gauges, "a.csv");
  EXPECT_EQ(told.rain, (std::vector<std::string>{"b", "c", "d"}));
  EXPECT_EQ(told.neighbours, 8);
  EXPECT_EQ(told.power, 1.5);
  EXPECT_TRUE(told.strict);
}

TEST(OptionList, SuggestsTheNearestOption) {
  EXPECT_EQ(complaint({"--gages", "x"}), "--gages is not an option; did you mean --gauges?");
  EXPECT_EQ(complaint({"--zzzzzzzz"}), "--zzzzzzzz is not an option");
}

TEST(OptionList, RefusesWhatItDoesNotUnderstand) {
  EXPECT_EQ(complaint({"--neighbours", "0"}),
            "--neighbours 0 is out of range; give a number from 1 to 64");
  EXPECT_EQ(complaint({"--neighbours", "4.5"}),
            "--neighbours 4.5 is not a whole number; write it like 16");
  EXPECT_EQ(complaint({"--power", "nan"}), "--power nan is not a number; write it like 0.25");
  EXPECT_EQ(complaint({"--gauges"}), "--gauges needs a value");
  EXPECT_EQ(complaint({"--gauges", "a", "--gauges", "b"}),
            "--gauges is given 2 times; give it once");
  EXPECT_EQ(complaint({"rain.csv"}),
            "rain.csv is not expected here; every input is named by an option");
}

TEST(OptionList, TakesNegativeValuesAsValues) {
  OptionList options;
  std::string offset;
  options.text("utc-offset", "+HH:MM", offset, "Offset.");
  const std::vector<std::string> args{"--utc-offset", "-05:00"};
  options.parse(args, nowhere_else);
  EXPECT_EQ(offset, "-05:00");
}

TEST_F(ConfigurationFile, GivesWhatNoFlagGave) {
  const std::string file = write(
      "gauges = \"lists/gauges.csv\"\nrain = [\"a/*.csv\", \"/b.csv\"]\nneighbours = 4\npower = 3\n"
      "strict = true\n[quality_codes]\nA = \"good\"\n");
  Told told;
  told.parse({"--neighbours", "8", "--config", file});
  EXPECT_EQ(told.neighbours, 8);
  EXPECT_EQ(told.power, 3);
  EXPECT_TRUE(told.strict);
  EXPECT_EQ(told.gauges, folder_ / "lists/gauges.csv");
  EXPECT_EQ(told.rain, (std::vector<std::string>{folder_ / "a/*.csv", "/b.csv"}));
  EXPECT_EQ(told.codes.at("A"), "good");
}

TEST_F(ConfigurationFile, LeavesDatabaseNamesAlone) {
  Told told;
  told.parse({"--config", write("gauges = \"PG:dbname=rain\"\n")});
  EXPECT_EQ(told.gauges, "PG:dbname=rain");
}

TEST_F(ConfigurationFile, NamesTheLineOfAnUnknownKey) {
  const std::string file = write("strict = true\ngages = \"x\"\n");
  EXPECT_EQ(complaint({"--config", file}),
            file + ":2: gages is not a key of the configuration; did you mean gauges?");
}

TEST_F(ConfigurationFile, NamesTheLineOfABadValue) {
  const std::string file = write("\nneighbours = 400\n");
  EXPECT_EQ(complaint({"--config", file}),
            file + ":2: --neighbours 400 is out of range; give a number from 1 to 64");
}

TEST_F(ConfigurationFile, PassesOverKeysOfOtherCommands) {
  Told told;
  const std::vector<std::string> args{"--config", write("cell-m = 100\n")};
  told.options.parse(args, [](const std::string& key) { return key == "cell-m"; });
  EXPECT_EQ(told.power, 2);
}

TEST_F(ConfigurationFile, RefusesWhatIsNotToml) {
  const std::string file = write("power = = 2\n");
  EXPECT_EQ(complaint({"--config", file}).rfind(file + ":1: this is not TOML", 0), 0U)
      << complaint({"--config", file});
}

TEST(NearestWord, IsEmptyWhenNothingIsNear) {
  EXPECT_EQ(nearest_word("chekc", {"check", "fill"}), "check");
  EXPECT_EQ(nearest_word("neigh", {"neighbours", "negative-weights"}), "neighbours");
  EXPECT_EQ(nearest_word("zebra", {"check", "fill"}), "");
}

}  // namespace
}  // namespace gaugeloom
