#pragma once
// What a reader or a method wants people to know without failing: one sentence each, with counts.
// The library collects them; the tool prints them to stderr.

#include <string>
#include <vector>

namespace gaugeloom {

using Notices = std::vector<std::string>;

}  // namespace gaugeloom
