#include "gaugeloom/tips/tip_record.hpp"

#include <array>

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, kTipFates> kFateWords = {"kept", "bounce",  "duplicate",
                                                                "test", "outside", "other_counter"};

}  // namespace

std::string_view word(TipFate fate) { return kFateWords[static_cast<std::size_t>(fate)]; }

}  // namespace gaugeloom
