#include "configuration.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <sstream>

#include <fmt/format.h>
#include <toml++/toml.h>

namespace gaugeloom {
namespace {

InputPos position(const std::string& file, const toml::node& node) {
  return {file, static_cast<long>(node.source().begin.line), 0};
}

// "PG:dbname=rain" is a source, not a file: two letters or more before a colon.
bool names_a_source(const std::string& text) {
  const std::size_t colon = text.find(':');
  return colon != std::string::npos && colon >= 2 &&
         std::all_of(text.begin(), text.begin() + static_cast<long>(colon),
                     [](unsigned char c) { return std::isalnum(c) != 0; });
}

std::string from_folder_of(const std::string& file, const std::string& path) {
  namespace fs = std::filesystem;
  if (path.empty() || names_a_source(path) || fs::path(path).is_absolute()) return path;
  return (fs::path(file).parent_path() / path).lexically_normal().string();
}

std::string value_text(const toml::node& node) {
  if (const auto* text = node.as_string()) return text->get();
  if (const auto* real = node.as_floating_point()) return fmt::format("{}", real->get());
  if (const auto* whole = node.as_integer()) return fmt::format("{}", whole->get());
  if (const auto* truth = node.as_boolean()) return truth->get() ? "true" : "false";
  std::ostringstream out;
  if (const auto* date = node.as_date()) out << date->get();
  if (const auto* time = node.as_time()) out << time->get();
  if (const auto* instant = node.as_date_time()) out << instant->get();
  return out.str();
}

struct Source {
  const std::string& file;
  OptionSpec& spec;

  void give(const toml::node& node, const std::string& text) const {
    try {
      spec.given.push_back(text);
      spec.set(text);
    } catch (const Error& error) {
      throw Error(error.code(), error.what(), position(file, node));
    }
  }

  void give_value(const toml::node& node) const {
    const std::string text = value_text(node);
    if (text.empty() && !node.is_string())
      throw Error(ErrorCode::invalid_option,
                  fmt::format("{} takes a plain value; write {} = \"...\"", spec.name, spec.name),
                  position(file, node));
    give(node, spec.is_path ? from_folder_of(file, text) : text);
  }

  void give_table(const toml::node& node) const {
    const toml::table* table = node.as_table();
    if (table == nullptr)
      throw Error(
          ErrorCode::invalid_option,
          fmt::format("{} is a table; write [{}] and a line per entry", spec.name, spec.name),
          position(file, node));
    for (const auto& [key, entry] : *table)
      give(entry, fmt::format("{}={}", std::string_view(key), value_text(entry)));
  }

  void give_all(const toml::node& node) const {
    if (spec.is_table) return give_table(node);
    const toml::array* array = node.as_array();
    if (array == nullptr) return give_value(node);
    if (!spec.repeatable)
      throw Error(ErrorCode::invalid_option,
                  fmt::format("{} takes one value, not a list", spec.name), position(file, node));
    for (const toml::node& entry : *array) give_value(entry);
  }
};

toml::table parse_file(const std::string& file) {
  if (!std::filesystem::is_regular_file(file))
    throw Error(ErrorCode::io_failure,
                "there is no such configuration file; name one with --config FILE.toml", {file});
  try {
    return toml::parse_file(file);
  } catch (const toml::parse_error& error) {
    throw Error(ErrorCode::malformed_input,
                fmt::format("this is not TOML ({}); mend the line", error.description()),
                {file, static_cast<long>(error.source().begin.line), 0});
  }
}

}  // namespace

void read_configuration(const std::string& file, std::vector<OptionSpec>& specs,
                        const std::function<bool(const std::string&)>& elsewhere) {
  const toml::table table = parse_file(file);
  std::vector<std::string> names;
  for (const OptionSpec& spec : specs)
    if (spec.name != "config") names.push_back(spec.name);
  for (const auto& [toml_key, node] : table) {
    const std::string key(std::string_view{toml_key});
    const auto spec = std::find_if(specs.begin(), specs.end(),
                                   [&](const OptionSpec& one) { return one.name == key; });
    if (spec == specs.end() || key == "config") {
      if (key != "config" && elsewhere(key)) continue;
      const std::string meant = nearest_word(key, names);
      throw Error(ErrorCode::invalid_option,
                  fmt::format("{} is not a key of the configuration{}", key,
                              meant.empty() ? "" : "; did you mean " + meant + "?"),
                  position(file, node));
    }
    if (spec->given.empty()) Source{file, *spec}.give_all(node);
  }
}

}  // namespace gaugeloom
