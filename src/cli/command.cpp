#include "command.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>

namespace gaugeloom {
namespace {

bool known_to_another_command(const std::string& key) {
  for (const CommandInfo& info : commands())
    if (info.make()->options().find(key) != nullptr) return true;
  return false;
}

}  // namespace

Command::Command() {
  options_.heading("General");
  options_
      .path("config", "FILE.toml", config_,
            "Settings in TOML: each key is an option's name without its dashes. A flag wins over "
            "a key; relative paths start at the folder of the file; keys that only other commands "
            "know are passed over, so that one file serves them all.")
      .is_recorded = false;
  OptionSpec& threads =
      options_.whole("threads", "N", threads_, {0, 1024},
                     "Threads to use; 0 means all cores. The results are the same for any number.");
  threads.is_recorded = false;
  options_
      .whole("memory-mib", "N", memory_mib_, {0, 1 << 24},
             "Memory for the arrays that grow with the record, in MiB. What goes beyond lies in "
             "temporary files without a name, in $TMPDIR or else beside the outputs. The results "
             "are the same for any number.")
      .is_recorded = false;
  OptionSpec& out =
      options_.path("out", "DIR", out_,
                    "Folder for the output files, created when it is not there. A file that is an "
                    "input of the same command is never overwritten.");
  out.preset = "the current folder";
  out.is_recorded = false;
}

void Command::parse(std::span<const std::string> args) {
  options_.parse(args, known_to_another_command);
  settle();
}

BulkBudget Command::bulk_budget() const {
  namespace fs = std::filesystem;
  const char* const temporary = std::getenv("TMPDIR");
  std::string folder = temporary == nullptr ? "" : temporary;
  std::error_code ignored;
  if (folder.empty()) {
    fs::path nearest = fs::absolute(out_, ignored);
    while (!fs::is_directory(nearest, ignored) && nearest.has_relative_path())
      nearest = nearest.parent_path();
    folder = nearest.string();
  }
  return {static_cast<std::size_t>(memory_mib_) << 20, folder};
}

Progress::Progress(std::string_view what) : visible_(isatty(STDERR_FILENO) != 0) {
  put(std::string(what) + " ...");
}

void Progress::show(double done, std::string_view doing) {
  constexpr double kWidth = 30;
  const auto filled = static_cast<int>(kWidth * done + 0.5);
  put(fmt::format("[{:<30}] {:3.0f} % {}", std::string(static_cast<std::size_t>(filled), '='),
                  100 * done, doing));
}

void Progress::put(const std::string& line) {
  if (!visible_) return;
  const std::size_t blanks = shown_ > line.size() ? shown_ - line.size() : 0;
  std::fputs(("\r" + line + std::string(blanks, ' ')).c_str(), stderr);
  std::fflush(stderr);
  shown_ = line.size();
}

Progress::~Progress() {
  if (shown_ == 0) return;
  std::fputs(("\r" + std::string(shown_, ' ') + "\r").c_str(), stderr);
  std::fflush(stderr);
}

}  // namespace gaugeloom
