#include <algorithm>
#include <limits>

#include <fmt/format.h>

#include "report/page_files_internal.hpp"
#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

void add_inputs(Html& html, const RunRecord& run) {
  PageTable table(html, "Inputs",
                  {{"File", PageCell::words}, {"Bytes", PageCell::number}, {"SHA-256"}});
  for (const InputDigest& one : run.digests) {
    table.text(one.name);
    if (one.sha256.empty())
      table.text(kUnknown).text(kUnknown);
    else
      table.number(static_cast<double>(one.bytes), 0).text(one.sha256);
  }
}

void add_settings(Html& html, const RunRecord& run) {
  PageTable table(html, "Settings in force", {{"Option"}, {"Value", PageCell::words}});
  for (const auto& [name, values] : run.configuration) {
    std::string all;
    for (const std::string& value : values)
      all += (all.empty() ? "" : ", ") + without_password(value);
    if (!all.empty()) table.text(name).text(all);
  }
}

void add_libraries(Html& html) {
  PageTable table(html, "Libraries", {{"Library"}, {"Version"}});
  for (const auto& [name, version] : library_versions()) table.text(name).text(version);
}

// The levels that scores were held against.
void add_levels(Html& html, const RunRecord& run) {
  constexpr std::string_view kPrefix = "checks.", kSuffix = ".provisional";
  PageTable table(
      html, "Levels of the checks, learned from the record",
      {{"Finding"}, {"Provisional from", PageCell::number}, {"Confirmed from", PageCell::number}});
  for (const auto& [key, value] : run.learned_numbers) {
    if (!key.starts_with(kPrefix) || !key.ends_with(kSuffix)) continue;
    const std::string kind =
        key.substr(kPrefix.size(), key.size() - kPrefix.size() - kSuffix.size());
    const auto confirmed = run.learned_numbers.find("checks." + kind + ".confirmed");
    table.text(shown_word(kind)).number(value, 2);
    table.number(confirmed == run.learned_numbers.end() ? std::numeric_limits<double>::quiet_NaN()
                                                        : confirmed->second,
                 2);
  }
}

void add_notice(Html& html, std::string_view library, PageFile notice) {
  html.open("details", {{"class", "notice"}}).element("summary", library).open("pre");
  for (std::string_view rest = page_file(notice); !rest.empty();) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    html.text(rest.substr(0, end)).raw("\n");
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  html.close().close();
}

}  // namespace

void add_provenance_part(Html& html, const PageView& view) {
  const RunRecord& run = view.in.run;
  html.element("p", fmt::format("Made by gaugeloom {}, command {}. The same input gives this page "
                                "again, byte by byte; run.json holds all of this for machines.",
                                run.version, run.command));
  html.element("h3", "What went in");
  add_inputs(html, run);
  add_settings(html, run);
  if (!view.in.summaries.empty()) add_levels(html, run);
  html.element("h3", "What came out").open("ul", {{"class", "files"}});
  for (const std::string& file : view.in.files) html.element("li", file);
  html.close();
  html.element("h3", "What did it");
  add_libraries(html);
  html.element("p", "Map and charts of this page are drawn by two libraries; their notices:");
  add_notice(html, "Leaflet: notice", PageFile::leaflet_notice);
  add_notice(html, "dygraphs: notice", PageFile::dygraphs_notice);
}

}  // namespace gaugeloom
