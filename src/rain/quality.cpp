#include "gaugeloom/rain/quality.hpp"

#include <array>

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 6> kQualityWords = {"good", "unchecked", "suspect",
                                                           "poor", "estimate",  "missing"};
constexpr std::array<std::string_view, 5> kOriginWords = {"measured", "other_counter",
                                                          "spread_total", "neighbours", "none"};

template <typename Word, std::size_t kCount>
std::optional<Word> find_word(const std::array<std::string_view, kCount>& words,
                              std::string_view text) {
  for (std::size_t i = 0; i < kCount; ++i)
    if (words[i] == text) return static_cast<Word>(i);
  return std::nullopt;
}

}  // namespace

std::string_view word(Quality quality) { return kQualityWords[static_cast<std::size_t>(quality)]; }
std::string_view word(Origin origin) { return kOriginWords[static_cast<std::size_t>(origin)]; }
std::optional<Quality> parse_quality(std::string_view text) {
  return find_word<Quality>(kQualityWords, text);
}
std::optional<Origin> parse_origin(std::string_view text) {
  return find_word<Origin>(kOriginWords, text);
}

}  // namespace gaugeloom
