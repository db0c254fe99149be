#pragma once
// What a reader or a method wants people to know without failing: one sentence each, with counts.
// The library collects them; the tool prints them to stderr.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace gaugeloom {

using Notices = std::vector<std::string>;

// "gauge V21" for one, "3 gauges (first: V21)" for more.
std::string gauges_in_words(std::size_t count, std::string_view first);

}  // namespace gaugeloom
