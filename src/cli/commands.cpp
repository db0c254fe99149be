#include "commands.hpp"

#include <vector>

namespace gaugeloom {

std::span<const CommandInfo> commands() {
  // {"name", "one line that finishes the sentence 'it ...'", make_name}
  static const std::vector<CommandInfo> table = {};
  return table;
}

}  // namespace gaugeloom
