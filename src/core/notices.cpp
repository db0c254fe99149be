#include "gaugeloom/core/notices.hpp"

namespace gaugeloom {

std::string gauges_in_words(std::size_t count, std::string_view first) {
  if (count == 1) return "gauge " + std::string(first);
  return std::to_string(count) + " gauges (first: " + std::string(first) + ")";
}

}  // namespace gaugeloom
