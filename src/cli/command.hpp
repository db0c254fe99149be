#pragma once
// A command of the tool: told what to do by options, then run over the library. It holds no maths.

#include <memory>
#include <ostream>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/core/bulk_budget.hpp"
#include "option_list.hpp"

namespace gaugeloom {

enum class Exit : int { ok = 0, failed = 1, usage = 2, findings = 3 };  // 3: --fail-on-findings

struct Streams {
  std::ostream& out;  // results: a short summary
  std::ostream& err;  // notices, one line each: "gaugeloom: ..."
};

// What `gaugeloom COMMAND --help` says beside the options.
struct Manual {
  std::string synopsis;                                    // after "gaugeloom COMMAND"
  std::string description;                                 // paragraphs, parted by an empty line
  std::vector<std::pair<std::string, std::string>> files;  // name, what it holds
  std::vector<std::string> examples;                       // whole command lines
};

// Stands in the help and in every map: what may rest on the results.
inline constexpr std::string_view kCaution =
    "An estimate is not a measurement. No warning, design or operating decision may rest on it "
    "without review by the responsible hydrological or meteorological service, under local codes "
    "and by people licensed for it.";

class Command {
 public:
  Command();
  virtual ~Command() = default;
  Command(const Command&) = delete;
  Command& operator=(const Command&) = delete;

  virtual Manual manual() const = 0;
  const OptionList& options() const { return options_; }

  // Checks only: opens and writes nothing but reads the configuration. Throws
  // Error{invalid_option}.
  void parse(std::span<const std::string> args);
  // What the arrays of the run may take. Temporary files go to $TMPDIR or, else, beside the
  // outputs.
  BulkBudget bulk_budget() const;
  // Calls the library. Throws Error.
  virtual Exit run(Streams io) = 0;

 protected:
  // Rules between options; called at the end of parse(). Throws Error{invalid_option}.
  virtual void settle() {}

  OptionList options_;  // declare in the constructor
  int threads_ = 0;     // 0 = all cores
  int memory_mib_ = 2048;
  std::string out_ = ".";  // folder of the output files
  std::string config_;
};

struct CommandInfo {
  std::string_view name;
  std::string_view summary;  // one line: "finds ..."
  std::unique_ptr<Command> (*make)();
};

// The one table: dispatch, help and the test of the pages read it (commands.cpp).
std::span<const CommandInfo> commands();

// Runs the tool. args are those after the program's name. The only place that catches: a failure
// becomes one sentence on io.err and an exit code.
Exit dispatch(std::span<const std::string> args, Streams io);

// The manual of the tool, and of one command (help.cpp).
std::string tool_help();
std::string command_help(const CommandInfo& info);

// Progress, for people who wait: shown only when stderr is a terminal, and wiped at the end.
class Progress {
 public:
  explicit Progress(std::string_view what);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  // A bar with the share done (0 to 1) and what is being done.
  void show(double done, std::string_view doing);

 private:
  void put(const std::string& line);

  bool visible_;
  std::size_t shown_ = 0;
};

}  // namespace gaugeloom
