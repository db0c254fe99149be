#include "gaugeloom/core/bulk_budget.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <memory>
#include <numeric>
#include <string>
#include <utility>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMiB = std::size_t{1} << 20;

class BulkBudgetTest : public testing::Test {
 protected:
  ~BulkBudgetTest() override { set_bulk_budget({}); }

  // The mappings of this process into files of the folder, one line each.
  std::size_t mapped_files() const {
    const std::string maps = support::read_file("/proc/self/maps");
    std::size_t found = 0;
    for (std::size_t at = maps.find(folder_.path()); at != std::string::npos;
         at = maps.find(folder_.path(), at + 1))
      ++found;
    return found;
  }

  const support::TemporaryFolder folder_;
};

TEST_F(BulkBudgetTest, PutsWhatDoesNotFitIntoFilesWithoutAName) {
  set_bulk_budget({3 * kMiB, folder_.path()});
  const BulkVector<char> first(2 * kMiB, 'a');
  EXPECT_EQ(mapped_files(), 0U);
  {
    const BulkVector<char> second(2 * kMiB, 'b');
    EXPECT_EQ(mapped_files(), 1U);
    EXPECT_TRUE(folder_.names().empty());
    EXPECT_EQ(std::count(second.begin(), second.end(), 'b'), long{2 * kMiB});
    const BulkVector<char> third(kMiB, 'c');
    EXPECT_EQ(mapped_files(), 1U);  // it still fits beside the first
  }
  EXPECT_EQ(mapped_files(), 0U);
  EXPECT_EQ(std::count(first.begin(), first.end(), 'a'), long{2 * kMiB});
}

TEST_F(BulkBudgetTest, GivesBackWhatIsFreed) {
  set_bulk_budget({3 * kMiB, folder_.path()});
  for (int i = 0; i < 5; ++i) {
    const BulkVector<char> block(2 * kMiB, 'a');
    EXPECT_EQ(mapped_files(), 0U);
  }
}

TEST_F(BulkBudgetTest, KeepsWhatIsSmallInMemory) {
  set_bulk_budget({0, folder_.path()});
  const BulkVector<char> small(kLeastCountedBytes - 1, 'a');
  EXPECT_EQ(mapped_files(), 0U);
}

TEST_F(BulkBudgetTest, HoldsTheSameWhereverItLies) {
  BulkVector<std::uint32_t> in_memory(kMiB);
  std::iota(in_memory.begin(), in_memory.end(), 0U);
  set_bulk_budget({0, folder_.path()});
  BulkVector<std::uint32_t> in_file(kMiB);
  std::iota(in_file.begin(), in_file.end(), 0U);
  in_file.push_back(7);  // grows into another file
  in_memory.push_back(7);
  EXPECT_EQ(in_file, in_memory);
  const BulkVector<std::uint32_t> moved = std::move(in_file);
  EXPECT_EQ(moved, in_memory);
}

TEST_F(BulkBudgetTest, FreesBlocksThatWereMadeUnderAnotherBudget) {
  auto in_memory = std::make_unique<BulkVector<char>>(kMiB, 'a');
  set_bulk_budget({0, folder_.path()});
  auto in_file = std::make_unique<BulkVector<char>>(kMiB, 'a');
  in_memory.reset();
  set_bulk_budget({});
  in_file.reset();
  EXPECT_EQ(mapped_files(), 0U);
}

TEST_F(BulkBudgetTest, SaysThatTheDiskIsFullBeforeAnythingIsWritten) {
  set_bulk_budget({0, folder_.path()});
  try {
    const BulkVector<char> absurd(std::size_t{1} << 46);
    FAIL() << "no disk holds 64 TiB";
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::io_failure);
    EXPECT_NE(std::string(error.what()).find("temporary file of 67108865 MiB"), std::string::npos)
        << error.what();
  }
}

TEST_F(BulkBudgetTest, SaysThatTheFolderIsNotThere) {
  set_bulk_budget({0, folder_ / "nowhere"});
  EXPECT_THROW(BulkVector<char>(std::size_t{1} << 20), Error);
}

TEST_F(BulkBudgetTest, CountsTheDiskOnlyWhenItMayBeUsed) {
  const double memory = bulk_room();
  set_bulk_budget({0, folder_.path()});
  EXPECT_GT(bulk_room(), memory);
}

}  // namespace
}  // namespace gaugeloom
