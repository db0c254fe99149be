#include "option_list.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "configuration.hpp"

namespace gaugeloom {
namespace {

[[noreturn]] void misuse(const std::string& sentence) {
  throw Error(ErrorCode::invalid_option, sentence);
}

// Levenshtein distance: V. Levenshtein, Soviet Physics Doklady 10 (1966) 707.
std::size_t edits(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0U : 1U);
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
    }
  }
  return row[b.size()];
}

template <typename T>
void check_bounds(const std::string& name, const std::string& text, T number, Bounds<T> bounds) {
  if (number >= bounds.low && number <= bounds.high) return;
  misuse(fmt::format("--{} {} is out of range; give a number from {} to {}", name, text, bounds.low,
                     bounds.high));
}

}  // namespace

std::string nearest_word(const std::string& text, const std::vector<std::string>& known) {
  std::string best;
  std::size_t best_edits = 1 + std::max<std::size_t>(2, text.size() / 3);
  for (const std::string& word : known) {
    const bool begins = text.size() >= 3 && word.rfind(text, 0) == 0;
    const std::size_t distance = begins ? 1 : edits(text, word);
    if (distance >= best_edits) continue;
    best = word;
    best_edits = distance;
  }
  return best;
}

double parse_real(const std::string& name, const std::string& text) {
  double number = 0;
  const char* end = text.data() + text.size();
  const auto [stop, code] = std::from_chars(text.data(), end, number);
  if (code != std::errc{} || stop != end || !std::isfinite(number))
    misuse(fmt::format("--{} {} is not a number; write it like 0.25", name, text));
  return number;
}

int parse_whole(const std::string& name, const std::string& text) {
  int number = 0;
  const char* end = text.data() + text.size();
  const auto [stop, code] = std::from_chars(text.data(), end, number);
  if (code != std::errc{} || stop != end)
    misuse(fmt::format("--{} {} is not a whole number; write it like 16", name, text));
  return number;
}

OptionSpec& OptionList::add(const std::string& name, const std::string& value,
                            const std::string& help, const std::string& preset) {
  OptionSpec spec;
  spec.name = name;
  spec.value = value;
  spec.help = help;
  spec.preset = preset;
  spec.group = heading_;
  specs_.push_back(std::move(spec));
  return specs_.back();
}

OptionSpec& OptionList::text(const std::string& name, const std::string& value, std::string& into,
                             const std::string& help) {
  OptionSpec& spec = add(name, value, help, into);
  spec.set = [&into](const std::string& text) { into = text; };
  return spec;
}

OptionSpec& OptionList::texts(const std::string& name, const std::string& value,
                              std::vector<std::string>& into, const std::string& help) {
  OptionSpec& spec = add(name, value, help);
  spec.repeatable = true;
  spec.set = [&into](const std::string& text) { into.push_back(text); };
  return spec;
}

OptionSpec& OptionList::path(const std::string& name, const std::string& value, std::string& into,
                             const std::string& help) {
  OptionSpec& spec = text(name, value, into, help);
  spec.is_path = true;
  return spec;
}

OptionSpec& OptionList::paths(const std::string& name, const std::string& value,
                              std::vector<std::string>& into, const std::string& help) {
  OptionSpec& spec = texts(name, value, into, help);
  spec.is_path = true;
  return spec;
}

OptionSpec& OptionList::whole(const std::string& name, const std::string& value, int& into,
                              Bounds<int> bounds, const std::string& help) {
  OptionSpec& spec = add(name, value, help, fmt::format("{}", into));
  spec.set = [&into, name, bounds](const std::string& text) {
    const int number = parse_whole(name, text);
    check_bounds(name, text, number, bounds);
    into = number;
  };
  return spec;
}

OptionSpec& OptionList::real(const std::string& name, const std::string& value, double& into,
                             Bounds<double> bounds, const std::string& help) {
  OptionSpec& spec = add(name, value, help, fmt::format("{}", into));
  spec.set = [&into, name, bounds](const std::string& text) {
    const double number = parse_real(name, text);
    check_bounds(name, text, number, bounds);
    into = number;
  };
  return spec;
}

OptionSpec& OptionList::real(const std::string& name, const std::string& value,
                             std::optional<double>& into, Bounds<double> bounds,
                             const std::string& help) {
  OptionSpec& spec = add(name, value, help, into ? fmt::format("{}", *into) : std::string());
  spec.set = [&into, name, bounds](const std::string& text) {
    const double number = parse_real(name, text);
    check_bounds(name, text, number, bounds);
    into = number;
  };
  return spec;
}

OptionSpec& OptionList::toggle(const std::string& name, bool& into, const std::string& help) {
  OptionSpec& spec = add(name, "", help);
  spec.set = [&into, name](const std::string& text) {
    if (text != "true" && text != "false")
      misuse(fmt::format("--{} {} is not understood; it is true or false", name, text));
    into = text == "true";
  };
  return spec;
}

OptionSpec& OptionList::table(const std::string& name, std::map<std::string, std::string>& into,
                              const std::string& help) {
  OptionSpec& spec = add(name, "", help);
  spec.is_table = true;
  spec.repeatable = true;
  spec.set = [&into](const std::string& text) {
    const std::size_t equals = text.rfind('=');
    into[text.substr(0, equals)] = text.substr(equals + 1);
  };
  return spec;
}

const OptionSpec* OptionList::find(const std::string& name) const {
  const auto found = std::find_if(specs_.begin(), specs_.end(),
                                  [&](const OptionSpec& spec) { return spec.name == name; });
  return found == specs_.end() ? nullptr : &*found;
}

bool OptionList::was_given(const std::string& name) const {
  const OptionSpec* spec = find(name);
  return spec != nullptr && !spec->given.empty();
}

std::string OptionList::join(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, "|"));
}

void OptionList::refuse_word(const std::string& name, const std::string& text,
                             const std::vector<std::string>& words) {
  misuse(fmt::format("--{} {} is not known; choose one of {}", name, text, fmt::join(words, ", ")));
}

void OptionList::parse(std::span<const std::string> args,
                       const std::function<bool(const std::string&)>& elsewhere) {
  parse_flags(args);
  if (const OptionSpec* config = find("config"); config != nullptr && !config->given.empty())
    read_configuration(config->given.back(), specs_, elsewhere);
  for (OptionSpec& spec : specs_)
    if (spec.name != "config" && !spec.is_table && !spec.repeatable && spec.given.size() > 1)
      misuse(fmt::format("--{} is given {} times; give it once", spec.name, spec.given.size()));
  require_all();
}

void OptionList::parse_flags(std::span<const std::string> args) {
  CLI::App app;
  app.set_help_flag();
  app.allow_extras();
  for (OptionSpec& spec : specs_) {
    if (spec.is_table) continue;
    const auto keep = [&spec](const CLI::results_t& results) {
      spec.given = results;
      return true;
    };
    CLI::Option* option = spec.value.empty() ? app.add_flag("--" + spec.name)
                                             : app.add_option("--" + spec.name, keep);
    option->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    if (spec.repeatable) option->expected(1, -1)->allow_extra_args();
  }
  try {
    app.parse(std::vector<std::string>(args.rbegin(), args.rend()));
  } catch (const CLI::ArgumentMismatch& error) {
    const std::string text = error.what();
    misuse(text.substr(0, text.find(':')) + " needs a value");
  } catch (const CLI::ParseError& error) {
    misuse(error.what());
  }
  for (const std::string& extra : app.remaining()) {
    if (extra.rfind("-", 0) != 0)
      misuse(fmt::format("{} is not expected here; every input is named by an option", extra));
    std::vector<std::string> flags;
    for (const OptionSpec& spec : specs_) flags.push_back("--" + spec.name);
    const std::string meant = nearest_word(extra.substr(0, extra.find('=')), flags);
    misuse(fmt::format("{} is not an option{}", extra,
                       meant.empty() ? "" : "; did you mean " + meant + "?"));
  }
  for (OptionSpec& spec : specs_) {
    if (spec.is_table) continue;
    if (spec.value.empty() && app.count("--" + spec.name) > 0)
      spec.given.assign(1, app.get_option("--" + spec.name)->as<bool>() ? "true" : "false");
    for (const std::string& value : spec.given) spec.set(value);
  }
}

void OptionList::require_all() const {
  for (const OptionSpec& spec : specs_)
    if (spec.required && spec.given.empty())
      misuse(fmt::format("--{} {} is required; give it, or the key {} in the configuration",
                         spec.name, spec.value, spec.name));
}

std::map<std::string, std::vector<std::string>> OptionList::in_force() const {
  std::map<std::string, std::vector<std::string>> all;
  for (const OptionSpec& spec : specs_) {
    if (!spec.is_recorded) continue;
    if (!spec.given.empty())
      all[spec.name] = spec.given;
    else if (!spec.preset.empty())
      all[spec.name] = {spec.preset};
  }
  return all;
}

}  // namespace gaugeloom
