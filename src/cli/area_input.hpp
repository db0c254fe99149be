#pragma once
// The areas a command is told of: their options, and their polygons.

#include <string>
#include <vector>

#include "command.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "option_list.hpp"

namespace gaugeloom {

struct AreaInput {
  std::string source;    // any vector source of polygons; empty: none
  std::string layer;     // empty: its only layer
  std::string id_field;  // empty: as read_areas() finds it

  void declare(OptionList& options);
  // The areas in the working CRS, none without a source; notices go to io.err. Throws as
  // read_areas().
  std::vector<Area> read(const Network& network, Streams io) const;
};

}  // namespace gaugeloom
