#pragma once
// What makes each command: one line per command, each defined in its <command>_command.cpp.

#include <memory>

#include "command.hpp"

namespace gaugeloom {}  // namespace gaugeloom
