#include "gaugeloom/io/atomic_file.hpp"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>

#include "gaugeloom/core/error.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::read_file;
using support::TemporaryFolder;

std::string message_of(const std::function<void()>& action, ErrorCode code) {
  try {
    action();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), code);
    return error.what();
  }
  ADD_FAILURE() << "nothing was thrown";
  return {};
}

TEST(AtomicFile, AppearsOnlyWhenCommitted) {
  const TemporaryFolder folder;
  {
    AtomicFile file(folder / "a.csv");
    file.write("one\n");
    file.finish();
    EXPECT_FALSE(std::filesystem::exists(folder / "a.csv"));
    file.commit();
  }
  EXPECT_EQ(folder.names(), std::vector<std::string>{"a.csv"});
  EXPECT_EQ(read_file(folder / "a.csv"), "one\n");
}

TEST(AtomicFile, LeavesTheOldFileWhenNotCommitted) {
  const TemporaryFolder folder;
  folder.write("a.csv", "old\n");
  {
    AtomicFile file(folder / "a.csv");
    file.write("new\n");
  }
  EXPECT_EQ(folder.names(), std::vector<std::string>{"a.csv"});
  EXPECT_EQ(read_file(folder / "a.csv"), "old\n");
}

TEST(AtomicFile, LeavesNothingWhicheverCallFails) {
  const std::string bytes(1 << 20, 'x');  // a whole buffer: written at once
  long n = 1;
  for (bool failed = true; failed; ++n) {
    SCOPED_TRACE(n);
    ASSERT_LT(n, 50);
    const TemporaryFolder folder;
    try {
      AtomicFile file(folder / "a.csv", {.fail_at_call = n});
      for (int part = 0; part < 3; ++part) file.write(bytes);
      file.commit();
      failed = false;
    } catch (const Error& error) {
      EXPECT_EQ(error.code(), ErrorCode::io_failure);
      EXPECT_EQ(error.pos().file, folder / "a.csv");
    }
    EXPECT_EQ(folder.names().size(), failed ? 0U : 1U);
  }
  EXPECT_EQ(n, 8);  // open, three writes, close, rename fail in turn; the seventh run succeeds
}

TEST(AtomicFile, KeepsSmallAndLargePiecesInOrder) {
  const TemporaryFolder folder;
  const std::string large((1 << 20) + 5, 'x');
  AtomicFile file(folder / "a.csv");
  for (const std::string& piece : {std::string("head,"), large, std::string(",tail"), large})
    file.write(piece);
  file.commit();
  EXPECT_EQ(read_file(folder / "a.csv"), "head," + large + ",tail" + large);
}

TEST(AtomicFile, NamesTheFileAndTheReason) {
  const TemporaryFolder folder;
  EXPECT_EQ(message_of([&] { AtomicFile file(folder / "no/a.csv"); }, ErrorCode::io_failure),
            (folder / "no/a.csv") +
                ": cannot be written (No such file or directory); free the disk or choose another "
                "--out");
  EXPECT_EQ(message_of([&] { AtomicFile file(folder.path()); }, ErrorCode::io_failure),
            folder.path() +
                ": cannot be written (Is a directory); free the disk or choose another --out");
}

TEST(AtomicFile, RefusesAFolderThatIsReadOnly) {
  if (::geteuid() == 0) {  // root may write anywhere but there
    EXPECT_EQ(
        message_of([] { AtomicFile file("/proc/a.csv"); }, ErrorCode::io_failure).substr(0, 29),
        "/proc/a.csv: cannot be writte");
    return;
  }
  const TemporaryFolder folder;
  std::filesystem::permissions(
      folder.path(), std::filesystem::perms::owner_read | std::filesystem::perms::owner_exec);
  EXPECT_EQ(message_of([&] { AtomicFile file(folder / "a.csv"); }, ErrorCode::io_failure),
            (folder / "a.csv") +
                ": cannot be written (Permission denied); free the disk or choose another --out");
  std::filesystem::permissions(folder.path(), std::filesystem::perms::owner_all);
}

// In a child process, since a limit on the size of files cannot be lifted again.
TEST(AtomicFile, LeavesNothingWhenTheSystemRefusesMoreBytes) {
  const TemporaryFolder folder;
  const pid_t child = ::fork();
  if (child == 0) {
    const rlimit limit{1 << 20, 1 << 20};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    ::signal(SIGXFSZ, SIG_IGN);
    int exit_code = 1;
    try {
      AtomicFile file(folder / "a.csv");
      file.write(std::string(4 << 20, 'x'));
      file.commit();
    } catch (const Error& error) {
      exit_code = error.code() == ErrorCode::io_failure ? 42 : 2;
    }
    ::_exit(exit_code);
  }
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  EXPECT_EQ(WEXITSTATUS(status), 42);
  EXPECT_TRUE(folder.names().empty());
}

TEST(StagedPath, KeepsTheExtensionAndRemovesWhatWasNotCommitted) {
  const TemporaryFolder folder;
  {
    const StagedPath staged(folder / "map.tif");
    EXPECT_EQ(std::filesystem::path(staged.temporary_path()).extension(), ".tif");
    folder.write(std::filesystem::path(staged.temporary_path()).filename().string(), "half");
    EXPECT_EQ(folder.names().size(), 1U);
  }
  EXPECT_TRUE(folder.names().empty());
}

}  // namespace
}  // namespace gaugeloom
