#pragma once
// What makes each command: one line per command, each defined in its <command>_command.cpp.

#include <memory>

#include "command.hpp"

namespace gaugeloom {

std::unique_ptr<Command> make_check();
std::unique_ptr<Command> make_correct();
std::unique_ptr<Command> make_crossval();
std::unique_ptr<Command> make_fill();
std::unique_ptr<Command> make_run();
std::unique_ptr<Command> make_map();
std::unique_ptr<Command> make_rehearse();
std::unique_ptr<Command> make_storms();
std::unique_ptr<Command> make_blindspots();

}  // namespace gaugeloom
