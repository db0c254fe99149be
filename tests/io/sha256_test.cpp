#include "gaugeloom/io/sha256.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

// Published: NIST, "SHA-256" example of the one-block message "abc" (FIPS 180-4 example values).
constexpr const char* kSumOfAbc =
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

TEST(Sha256, GivesThePublishedSum) {
  EXPECT_EQ(sha256_of_text("abc"), kSumOfAbc);
  const support::TemporaryFolder folder;
  EXPECT_EQ(sha256_of_file(folder.write("a", "abc")), kSumOfAbc);
}

TEST(Sha256, AgreesForFilesLongerThanABlock) {
  const support::TemporaryFolder folder;
  const std::string bytes(1'000'003, 'q');
  EXPECT_EQ(sha256_of_file(folder.write("a", bytes)), sha256_of_text(bytes));
}

TEST(Sha256, NamesAFileThatIsNotThere) {
  const support::TemporaryFolder folder;
  try {
    sha256_of_file(folder / "none");
    FAIL() << "nothing was thrown";
  } catch (const Error& error) {
    EXPECT_EQ(
        std::string(error.what()),
        (folder / "none") +
            ": cannot be read (No such file or directory); check the path and its permissions");
  }
}

}  // namespace
}  // namespace gaugeloom
