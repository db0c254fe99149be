#include "gaugeloom/io/learned_reader.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "gaugeloom/io/run_record.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

// Numbers whose shortest decimal form is long, the smallest and the largest.
NullValues awkward() {
  NullValues values;
  values.step = std::chrono::minutes(5);
  values.gauges = {"A", "b, \"low\"", "Ä"};
  values.laws["hours"].lists["probability"] = {0.1, 1.0 / 3, 5e-324, 1.7976931348623157e308, -0.0};
  values.laws["misses"].lists["dry"] = {};
  values.laws["misses"].of_gauges["factor"] = {{1, 0.7000000000000001, 4}, 1};
  values.thresholds = {{FindingKind::stuck, 7.123456789012345, 20, 0.9, 12, {3.25, 1e-9}},
                       {FindingKind::blocked, 6, 8, 1, 0, {}}};
  return values;
}

std::string written(const NullValues& values) {
  const support::TemporaryFolder folder;
  RunRecord record;
  record.command = "check";
  record.nulls = values;
  AtomicFile file(folder / "run.json");
  write_run_record(file, record);
  file.commit();
  return support::read_file(folder / "run.json");
}

TEST(LearnedReader, ReadsBackEveryBit) {
  const NullValues values = awkward();
  const NullValues read = parse_learned(written(values), "run.json");
  EXPECT_EQ(read.step, values.step);
  EXPECT_EQ(read.gauges, values.gauges);
  ASSERT_EQ(read.laws.size(), 2U);
  EXPECT_EQ(read.laws.at("hours").lists, values.laws.at("hours").lists);
  EXPECT_TRUE(std::signbit(read.laws.at("hours").lists.at("probability")[4]));
  EXPECT_TRUE(read.laws.at("misses").lists.at("dry").empty());
  EXPECT_EQ(read.laws.at("misses").of_gauges.at("factor").values[1], 0.7000000000000001);
  ASSERT_EQ(read.thresholds.size(), 2U);
  EXPECT_EQ(read.thresholds[0].kind, FindingKind::stuck);
  EXPECT_EQ(read.thresholds[0].provisional, 7.123456789012345);
  EXPECT_EQ(read.thresholds[0].scales, (std::vector<double>{3.25, 1e-9}));
  EXPECT_EQ(read.thresholds[1].peaks, 0U);
  EXPECT_EQ(written(read), written(values));
}

TEST(LearnedReader, KeepsListsOfNumbersOnOneLine) {
  EXPECT_NE(written(awkward()).find("\"scales\": [3.25,1e-09],\n"), std::string::npos);
}

std::string refusal(const std::string& text) {
  return support::refusal_of("run.json", [&] { parse_learned(text, "run.json"); });
}

// The text with one part replaced by another.
std::string changed(const std::string& part, const std::string& by) {
  std::string text = written(awkward());
  const std::size_t at = text.find(part);
  EXPECT_NE(at, std::string::npos) << part;
  return text.replace(at, part.size(), by);
}

TEST(LearnedReader, RefusesWhatIsNoRunOfACheck) {
  EXPECT_EQ(refusal("gauge,from,to\n"),
            "run.json: this is no run.json; name the one that a check wrote");
  EXPECT_EQ(refusal("[1, 2]"), "run.json: this is no run.json; name the one that a check wrote");
  EXPECT_EQ(refusal("{\"learned\": {}}"),
            "run.json: nothing was learned in this run; name the run.json of a check");
  EXPECT_EQ(refusal("{\"learned\": {\"nulls\": 3}}"),
            "run.json: what was learned has no 'form', or something else there");
  EXPECT_NE(refusal(changed("\"form\": 1", "\"form\": 2")).find("another form"), std::string::npos);
  EXPECT_NE(refusal(changed("\"peaks\": 12", "\"peaks\": -1")).find("'peaks' is no count"),
            std::string::npos);
  EXPECT_NE(refusal(changed("[3.25,1e-09]", "[3.25,\"x\"]")).find("no list of numbers"),
            std::string::npos);
  EXPECT_NE(refusal(changed("\"stuck\"", "\"struck\"")).find("none of ours"), std::string::npos);
  EXPECT_NE(refusal(changed("\"A\"", "7")).find("no list of ids"), std::string::npos);
  EXPECT_NE(refusal(changed("\"lists\"", "\"list\"")).find("no 'lists'"), std::string::npos);
}

TEST(LearnedReader, NamesAFileThatIsNotThere) {
  const support::TemporaryFolder folder;
  EXPECT_THROW(read_learned(folder / "none.json"), Error);
}

}  // namespace
}  // namespace gaugeloom
