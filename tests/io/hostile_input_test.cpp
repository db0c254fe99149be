// Endless and monstrous inputs from a pipe, in a child process that may not have much memory.

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <fstream>
#include <functional>
#include <string>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "support/rain_text.hpp"

#if defined(__SANITIZE_ADDRESS__)
#define GAUGELOOM_LIMITS_MEMORY 0  // the sanitizer itself reserves more than any limit
#else
#define GAUGELOOM_LIMITS_MEMORY 1
#endif

namespace gaugeloom {
namespace {

constexpr rlim_t kMemoryBytes = rlim_t{256} << 20;  // beyond what the tests before have mapped

// Address space of this process.
rlim_t mapped_bytes() {
  std::ifstream statm("/proc/self/statm");
  rlim_t pages = 0;
  statm >> pages;
  return pages * static_cast<rlim_t>(::sysconf(_SC_PAGESIZE));
}

void write_all(int descriptor, const std::string& bytes) {
  std::string_view rest = bytes;
  while (!rest.empty()) {
    const ssize_t done = ::write(descriptor, rest.data(), rest.size());
    if (done <= 0) ::_exit(0);  // the reader has had enough
    rest.remove_prefix(static_cast<std::size_t>(done));
  }
}

// Reads from a pipe filled by `begin` and then `more` for ever, with little memory, and returns the
// error's sentence as seen by the reading process.
std::string refusal(const std::string& begin, const std::string& more,
                    const Network& network = support::network_of({"A", "B"})) {
  int input[2];
  int answer[2];
  if (::pipe(input) != 0 || ::pipe(answer) != 0) return "no pipe";
  const pid_t writer = ::fork();
  if (writer == 0) {
    ::signal(SIGPIPE, SIG_IGN);
    ::close(input[0]);
    write_all(input[1], begin);
    for (;;) write_all(input[1], more);
  }
  const pid_t reader = ::fork();
  if (reader == 0) {
    ::close(input[1]);
    if (GAUGELOOM_LIMITS_MEMORY) {
      const rlim_t most = mapped_bytes() + kMemoryBytes;
      const rlimit limit{most, most};
      ::setrlimit(RLIMIT_AS, &limit);
    }
    std::string sentence = "accepted";
    try {
      Notices notices;
      const std::vector<std::string> paths{"/dev/fd/" + std::to_string(input[0])};
      read_rain(paths, network, {.threads = 2}, notices);
    } catch (const Error& error) {
      sentence = error.what();
    }
    write_all(answer[1], sentence.substr(0, 1000));
    ::_exit(0);
  }
  ::close(input[0]);
  ::close(input[1]);
  ::close(answer[1]);
  std::string sentence(2000, '\0');
  const ssize_t got = ::read(answer[0], sentence.data(), sentence.size());
  ::close(answer[0]);
  sentence.resize(got < 0 ? 0 : static_cast<std::size_t>(got));
  int status = 0;
  ::waitpid(reader, &status, 0);
  EXPECT_TRUE(WIFEXITED(status));
  ::waitpid(writer, &status, 0);
  return sentence.substr(sentence.find(": ") == std::string::npos ? 0 : sentence.find(':'));
}

TEST(HostileInput, EndsAtALineWithoutEnd) {
  EXPECT_EQ(refusal("time,gauge,depth_mm\n2024-03-01T00:00Z,A,1\n", std::string(1 << 16, '1')),
            ":3: this line is longer than 16 MiB; split it");
}

TEST(HostileInput, EndsAtAHeaderWithoutEnd) {
  EXPECT_EQ(refusal("time", std::string(1 << 16, 'x')),
            ":1: this line is longer than 16 MiB; use the long layout");
}

TEST(HostileInput, EndsAtABillionColumns) {
  std::string commas(std::size_t{2} << 20, ',');
  EXPECT_EQ(refusal("time" + commas + "\n", std::string(1 << 16, '\n')),
            ":1: the header has more than 1048576 columns; use the long layout");
}

TEST(HostileInput, EndsAtBytesThatAreNotText) {
  EXPECT_EQ(refusal("time,gauge,depth_mm\n", std::string(1 << 16, '\0')),
            ":2: this line is longer than 16 MiB; split it");
  EXPECT_EQ(refusal("time,gauge,depth_mm\n", std::string(100, '\xFE') + "\n"),
            ":2:1: this byte is not text; a rain file is CSV in UTF-8, plain or gzip");
}

TEST(HostileInput, EndsAtTimesThatMakeTooLongAnAxis) {
  std::vector<std::string> ids{"A"};  // enough that no machine holds the table
  for (int i = 0; i < 3000; ++i) ids.push_back("V" + std::to_string(i));
  const Network many = support::network_of(ids);
  EXPECT_EQ(refusal("time,gauge,depth_mm\n1800-01-01T00:00Z,A,1\n1800-01-01T00:00:01Z,A,1\n",
                    "2199-01-01T00:00Z,A,1\n", many)
                .substr(0, 70),
            ":4: the times from 1800-01-01T00:00:00Z to 2199-01-01T00:00:00Z lie 1s");
}

}  // namespace
}  // namespace gaugeloom
