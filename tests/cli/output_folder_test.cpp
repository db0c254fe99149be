#include "cli/output_folder.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {
namespace fs = std::filesystem;

class OutputFolderTest : public testing::Test {
 protected:
  const support::TemporaryFolder made_;
  const fs::path base_ = made_.path();
};

TEST_F(OutputFolderTest, MakesItsFilesAppearTogether) {
  const fs::path out = base_ / "deep" / "out";
  OutputFolder folder(out.string(), {});
  folder.file("a.csv").write("a\n");
  folder.file("b.csv").write("b\n");
  std::ofstream(folder.staged("c.nc").temporary_path()) << "c";
  EXPECT_FALSE(fs::exists(out / "a.csv"));
  EXPECT_FALSE(fs::exists(out / "c.nc"));
  folder.commit();
  EXPECT_TRUE(fs::exists(out / "c.nc"));
  EXPECT_TRUE(fs::exists(out / "a.csv"));
  EXPECT_TRUE(fs::exists(out / "b.csv"));
}

TEST_F(OutputFolderTest, LeavesNothingBehindWhenItIsNotCommitted) {
  {
    OutputFolder folder((base_ / "deep" / "out").string(), {});
    folder.file("a.csv").write("a\n");
    std::ofstream(folder.staged("c.nc").temporary_path()) << "c";
  }
  EXPECT_TRUE(fs::is_empty(base_));
}

TEST_F(OutputFolderTest, RefusesToOverwriteAnInputHoweverItIsSpelled) {
  std::ofstream(base_ / "rain.csv") << "x";
  OutputFolder folder(base_.string(), {(base_ / "." / "rain.csv").string()});
  try {
    folder.file("rain.csv");
    FAIL() << "no complaint";
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::invalid_option);
    EXPECT_NE(std::string(error.what()).find("would be overwritten"), std::string::npos);
  }
  EXPECT_NO_THROW(folder.refuse_input("gauges.csv"));
}

TEST_F(OutputFolderTest, SaysThatAFolderCannotBeCreated) {
  std::ofstream(base_ / "file") << "x";
  OutputFolder folder((base_ / "file" / "out").string(), {});
  EXPECT_THROW(folder.path("a.csv"), Error);
}

}  // namespace
}  // namespace gaugeloom
