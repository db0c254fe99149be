#pragma once
// The options of one command: one declaration each, from which the flags, the configuration keys,
// the help, run.json and the test of the pages are all made.

#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {

struct OptionSpec {
  std::string name;    // without dashes; also the key in the configuration
  std::string value;   // what stands for the value in the help ("FILE"); empty for a switch
  std::string help;    // sentences, with the unit
  std::string preset;  // the default as printed; empty when there is none
  std::string group;   // heading in the help
  bool required = false;
  bool repeatable = false;
  bool is_path = false;     // relative to the configuration when it comes from there
  bool is_table = false;    // [name] in the configuration; no flag
  bool is_recorded = true;  // stands in run.json
  std::function<void(const std::string&)> set;  // one value; throws Error{invalid_option}
  std::vector<std::string> given;               // as written, in order
};

// Bounds of a number, both included.
template <typename T>
struct Bounds {
  T low;
  T high;
};

// References given to the declaring functions must outlive the list. The value found there when an
// option is declared is its default, and is printed as such.
class OptionList {
 public:
  OptionList() = default;
  OptionList(const OptionList&) = delete;
  OptionList& operator=(const OptionList&) = delete;

  // The heading of the options declared after it.
  void heading(std::string title) { heading_ = std::move(title); }

  OptionSpec& text(const std::string& name, const std::string& value, std::string& into,
                   const std::string& help);
  OptionSpec& texts(const std::string& name, const std::string& value,
                    std::vector<std::string>& into, const std::string& help);
  OptionSpec& path(const std::string& name, const std::string& value, std::string& into,
                   const std::string& help);
  OptionSpec& paths(const std::string& name, const std::string& value,
                    std::vector<std::string>& into, const std::string& help);
  OptionSpec& whole(const std::string& name, const std::string& value, int& into,
                    Bounds<int> bounds, const std::string& help);
  OptionSpec& real(const std::string& name, const std::string& value, double& into,
                   Bounds<double> bounds, const std::string& help);
  OptionSpec& real(const std::string& name, const std::string& value, std::optional<double>& into,
                   Bounds<double> bounds, const std::string& help);
  OptionSpec& toggle(const std::string& name, bool& into, const std::string& help);
  // A table of words in the configuration, such as [quality_codes]: "key=value" per call of set.
  OptionSpec& table(const std::string& name, std::map<std::string, std::string>& into,
                    const std::string& help);
  // One of a few words.
  template <typename T>
  OptionSpec& choice(const std::string& name, T& into,
                     const std::vector<std::pair<std::string, T>>& words, const std::string& help) {
    std::vector<std::string> names;
    std::string preset;
    for (const auto& [word, meaning] : words) {
      names.push_back(word);
      if (meaning == into) preset = word;
    }
    OptionSpec& spec = add(name, join(names), help, preset);
    spec.set = [&into, words, names, name](const std::string& text) {
      for (const auto& [word, meaning] : words) {
        if (word != text) continue;
        into = meaning;
        return;
      }
      refuse_word(name, text, names);
    };
    return spec;
  }
  template <typename T>
  OptionSpec& choice(const std::string& name, std::optional<T>& into,
                     const std::vector<std::pair<std::string, T>>& words, const std::string& help) {
    std::vector<std::pair<std::string, std::optional<T>>> wrapped;
    for (const auto& [word, meaning] : words) wrapped.emplace_back(word, meaning);
    return choice<std::optional<T>>(name, into, wrapped, help);
  }
  // Anything else: give the returned spec its `set`.
  OptionSpec& add(const std::string& name, const std::string& value, const std::string& help,
                  const std::string& preset = {});

  std::span<const OptionSpec> specs() const { return specs_; }
  const OptionSpec* find(const std::string& name) const;
  bool was_given(const std::string& name) const;

  // Flags first; then the keys of --config FILE.toml that no flag gave. Keys for which `elsewhere`
  // answers true belong to another command and are passed over.
  // Throws Error{invalid_option}: unknown option or key (with the nearest known one), a value out
  // of its bounds, an option given twice, a required one left out; Error{io_failure} or
  // Error{malformed_input} for the configuration file.
  void parse(std::span<const std::string> args,
             const std::function<bool(const std::string&)>& elsewhere);

  // What run.json records: every option with the values in force, defaults included.
  std::map<std::string, std::vector<std::string>> in_force() const;

 private:
  static std::string join(const std::vector<std::string>& words);
  [[noreturn]] static void refuse_word(const std::string& name, const std::string& text,
                                       const std::vector<std::string>& words);
  void parse_flags(std::span<const std::string> args);
  void require_all() const;

  std::string heading_ = "Options";
  std::vector<OptionSpec> specs_;
};

// The entry of `known` nearest to `text` when it is near enough to be meant; else empty.
std::string nearest_word(const std::string& text, const std::vector<std::string>& known);

// Whole text as a number; throws Error{invalid_option} naming the option.
double parse_real(const std::string& name, const std::string& text);
int parse_whole(const std::string& name, const std::string& text);

}  // namespace gaugeloom
