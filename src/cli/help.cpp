// The manual of the tool and of its commands, laid out like a page of the system's manual.

#include <fmt/format.h>

#include "command.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kColumns = 80;

// Breaks `text` into lines of at most kColumns characters, each begun by `indent` spaces.
std::string wrapped(const std::string& text, std::size_t indent) {
  std::string all;
  std::string line(indent, ' ');
  std::size_t begin = 0;
  while (begin < text.size()) {
    std::size_t end = text.find(' ', begin);
    if (end == std::string::npos) end = text.size();
    const std::string word = text.substr(begin, end - begin);
    if (line.size() > indent && line.size() + 1 + word.size() > kColumns) {
      all += line + "\n";
      line.assign(indent, ' ');
    }
    if (line.size() > indent) line += ' ';
    line += word;
    begin = end + 1;
  }
  return all + line + "\n";
}

// Paragraphs parted by an empty line.
std::string paragraphs(const std::string& text, std::size_t indent) {
  std::string all;
  std::size_t begin = 0;
  while (begin <= text.size()) {
    std::size_t end = text.find("\n\n", begin);
    if (end == std::string::npos) end = text.size();
    if (!all.empty()) all += "\n";
    all += wrapped(text.substr(begin, end - begin), indent);
    begin = end + 2;
  }
  return all;
}

std::string heading(const std::string& title) { return "\n" + title + "\n"; }

std::string entry(const std::string& term, const std::string& meaning, std::size_t indent) {
  return std::string(indent, ' ') + term + "\n" + wrapped(meaning, indent + 4);
}

std::string option_entry(const OptionSpec& spec) {
  std::string term = spec.is_table ? "[" + spec.name + "] (configuration only)" : "--" + spec.name;
  if (!spec.value.empty()) term += " " + spec.value;
  if (spec.repeatable && !spec.is_table) term += " ...";
  std::string meaning = spec.help;
  if (spec.required) meaning += " Required.";
  if (!spec.preset.empty()) meaning += " Default: " + spec.preset + ".";
  return entry(term, meaning, 6);
}

std::string option_entries(const OptionList& options) {
  std::vector<std::string> groups;  // in order of declaration, General last
  for (const OptionSpec& spec : options.specs())
    if (spec.group != "General" && (groups.empty() || groups.back() != spec.group))
      groups.push_back(spec.group);
  groups.emplace_back("General");
  std::string all;
  for (const std::string& group : groups) {
    if (!all.empty()) all += "\n";
    all += "  " + group + "\n";
    for (const OptionSpec& spec : options.specs())
      if (spec.group == group) all += option_entry(spec);
  }
  return all + entry("--help", "Prints this page.", 6);
}

const char* const kExitStatus =
    "  0   done\n"
    "  1   failed: an input or the system refused; no output is left half written\n"
    "  2   misuse: unknown or out-of-range option, missing argument\n"
    "  3   findings exist (only with --fail-on-findings)\n";

}  // namespace

std::string command_help(const CommandInfo& info) {
  const std::unique_ptr<Command> command = info.make();
  const Manual manual = command->manual();
  std::string all =
      "NAME\n" + wrapped(fmt::format("gaugeloom {} - {}", info.name, info.summary), 2);
  all += heading("SYNOPSIS");
  all += wrapped(fmt::format("gaugeloom {} {}", info.name, manual.synopsis), 2);
  all += heading("DESCRIPTION") + paragraphs(manual.description, 2);
  all += heading("OPTIONS") + option_entries(command->options());
  all += heading("FILES");
  for (const auto& [file, holds] : manual.files) all += entry(file, holds, 2);
  all += heading("EXIT STATUS") + kExitStatus;
  all += heading("EXAMPLES");
  for (const std::string& example : manual.examples) all += "  " + example + "\n";
  return all;
}

std::string tool_help() {
  std::string all =
      "NAME\n" +
      wrapped("gaugeloom - checks, fills and maps the rain of a network of tipping-bucket gauges",
              2);
  all += heading("SYNOPSIS");
  all += "  gaugeloom COMMAND [options]\n  gaugeloom COMMAND --help\n  gaugeloom --version\n";
  all += heading("DESCRIPTION");
  all += paragraphs(
      "Rain gauges fail quietly: a leaf in the funnel reads as a dry month. gaugeloom compares "
      "every gauge with what its neighbours lead one to expect, says which depths can be "
      "believed, fills the gaps with bounds, and draws maps of totals with their error. What a "
      "gauge said is never changed; what was estimated is always marked.\n\n"
      "Same input, same bytes out: for any number of threads and on any processor.",
      2);
  all += heading("COMMANDS");
  for (const CommandInfo& info : commands())
    all += entry(std::string(info.name), std::string(info.summary), 2);
  all += heading("FILES");
  all += entry("gauges.csv (input)",
               "The list of gauges: gauge,lon,lat or gauge,x,y, and optional fields; or any vector "
               "source GDAL opens.",
               2);
  all += entry("rain.csv (input)",
               "Depth per step: time,gauge,depth_mm, or time,<gauge>,<gauge>,...; plain or gzip. "
               "Times are ISO 8601.",
               2);
  all += entry("outages.csv, site_visits.csv, temperature.csv (input)",
               "What is known beside the rain: gauge,from,to,cause; "
               "gauge,from,to,action,poured_ml,note; time,gauge,celsius.",
               2);
  all +=
      entry("FILE.toml",
            "Settings for --config: the options' names as keys. One file serves all commands.", 2);
  all += entry("run.json",
               "Written by check, fill, rehearse and run: version, settings, hashes of the inputs, "
               "library versions, learned thresholds and laws.",
               2);
  all +=
      entry("run_log.json", "Wall clock and machine; the only file that differs between runs.", 2);
  all += wrapped("Times written are UTC and mark the end of a step. Depths are in mm.", 2);
  all += heading("EXIT STATUS") + kExitStatus;
  all += heading("EXAMPLES");
  all +=
      "  gaugeloom check --gauges gauges.csv --rain rain.csv --out checked\n"
      "  gaugeloom run --config network.toml --out today\n";
  all += heading("CAUTIONS");
  all += paragraphs(
      "A finding is a reason to look, not a verdict: a shower over one gauge is real rain. The "
      "bounds of a filled depth hold on average, not in every storm. A map is no better than the "
      "distance to the nearest gauge; look at its error band. Gauges read low in wind and snow; "
      "nothing here corrects that.\n\n" +
          std::string(kCaution),
      2);
  return all;
}

}  // namespace gaugeloom
