#include <algorithm>
#include <new>

#include <fmt/format.h>

#include "command.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom_version.hpp"

namespace gaugeloom {
namespace {

bool asks_for_help(std::span<const std::string> args) {
  return std::any_of(args.begin(), args.end(),
                     [](const std::string& arg) { return arg == "--help" || arg == "-h"; });
}

const CommandInfo& find_command(const std::string& name) {
  std::vector<std::string> names;
  for (const CommandInfo& info : commands()) {
    if (info.name == name) return info;
    names.emplace_back(info.name);
  }
  const std::string meant = nearest_word(name, names);
  throw Error(ErrorCode::invalid_option,
              meant.empty() ? fmt::format("{} is not a command; see gaugeloom --help", name)
                            : fmt::format("{} is not a command; did you mean {}?", name, meant));
}

Exit run_command(std::span<const std::string> args, Streams io) {
  if (args.empty())
    throw Error(ErrorCode::invalid_option, "no command is given; see gaugeloom --help");
  if (args[0] == "--version") {
    io.out << "gaugeloom " << GAUGELOOM_VERSION << '\n';
    return Exit::ok;
  }
  if (args[0] == "--help" || args[0] == "-h" || args[0] == "help") {
    io.out << (args.size() > 1 ? command_help(find_command(args[1])) : tool_help());
    return Exit::ok;
  }
  const CommandInfo& info = find_command(args[0]);
  if (asks_for_help(args)) {
    io.out << command_help(info);
    return Exit::ok;
  }
  const std::unique_ptr<Command> command = info.make();
  command->parse(args.subspan(1));
  set_bulk_budget(command->bulk_budget());
  return command->run(io);
}

}  // namespace

Exit dispatch(std::span<const std::string> args, Streams io) {
  try {
    const Exit exit = run_command(args, io);
    io.out.flush();
    if (!io.out)
      throw Error(ErrorCode::io_failure, "the summary cannot be written to standard output");
    return exit;
  } catch (const Error& error) {
    io.err << "gaugeloom: " << error.what() << '\n';
    return error.code() == ErrorCode::invalid_option ? Exit::usage : Exit::failed;
  } catch (const std::bad_alloc&) {
    io.err << "gaugeloom: there is not enough memory; give fewer gauges or a shorter record\n";
  } catch (const std::exception& error) {
    io.err << "gaugeloom: this is a fault of the program, please report it: " << error.what()
           << '\n';
  }
  return Exit::failed;
}

}  // namespace gaugeloom
