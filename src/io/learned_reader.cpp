#include "gaugeloom/io/learned_reader.hpp"

#include "gaugeloom/core/error.hpp"
#include "io/byte_source_internal.hpp"
#include "io/null_json_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLargestRecord = std::size_t{1} << 30;

}  // namespace

NullValues parse_learned(std::string_view text, const std::string& name) {
  using Json = nlohmann::json;
  const Json json = Json::parse(text, nullptr, false);
  const auto malformed = [&name](const std::string& sentence) {
    return Error(ErrorCode::malformed_input, sentence, {name});
  };
  if (json.is_discarded() || !json.is_object())
    throw malformed("this is no run.json; name the one that a check wrote");
  const auto learned = json.find("learned");
  if (learned == json.end() || !learned->is_object() || !learned->contains("nulls"))
    throw malformed("nothing was learned in this run; name the run.json of a check");
  try {
    return null_values_of((*learned)["nulls"]);
  } catch (const Error& error) {
    throw malformed(error.what());
  }
}

NullValues read_learned(const std::string& path) {
  const auto source = open_raw_file(path);
  return parse_learned(read_all(*source, kLargestRecord, path), path);
}

}  // namespace gaugeloom
