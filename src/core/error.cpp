#include "gaugeloom/core/error.hpp"

#include <utility>

namespace gaugeloom {
namespace {

std::string with_position(const std::string& sentence, const InputPos& pos) {
  if (pos.file.empty()) return sentence;
  std::string text = pos.file;
  if (pos.line > 0) text += ":" + std::to_string(pos.line);
  if (pos.line > 0 && pos.column > 0) text += ":" + std::to_string(pos.column);
  return text + ": " + sentence;
}

}  // namespace

Error::Error(ErrorCode code, const std::string& sentence, InputPos pos)
    : std::runtime_error(with_position(sentence, pos)), code_(code), pos_(std::move(pos)) {}

}  // namespace gaugeloom
