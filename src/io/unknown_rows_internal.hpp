#pragma once
// Rows of a large file whose gauges are not in the network, counted by id. Internal.

#include <cstddef>
#include <map>
#include <string>

#include "gaugeloom/core/notices.hpp"

namespace gaugeloom {

class UnknownRows {
 public:
  void add(const std::string& id, long rows);
  // One notice of how many there were, if there were any.
  void tell(Notices& notices) const;

 private:
  std::map<std::string, long, std::less<>> rows_;  // "" = of ids beyond those remembered
};

}  // namespace gaugeloom
