#include "commands.hpp"

#include <vector>

namespace gaugeloom {

std::span<const CommandInfo> commands() {
  // {"name", "one line that finishes the sentence 'it ...'", make_name}
  static const std::vector<CommandInfo> table = {
      {"correct", "turns raw tips into depth per step, with every tip accounted for", make_correct},
      {"check", "names what is wrong and gives every step of every gauge a quality", make_check},
      {"fill", "makes gap-free series with bounds from what can be believed", make_fill},
      {"storms", "parts the record into storms, with the rain of every gauge and area",
       make_storms},
      {"crossval", "estimates every depth from the other gauges, as if it were not there",
       make_crossval},
      {"map", "spreads the totals of a window over a grid, as GeoTIFF", make_map},
      {"blindspots", "says what the network cannot see, and where one more gauge would help most",
       make_blindspots},
      {"rehearse", "plants known faults in the record and tells what would be found",
       make_rehearse},
      {"run", "does the whole job in order, with one configuration", make_run},
  };
  return table;
}

}  // namespace gaugeloom
