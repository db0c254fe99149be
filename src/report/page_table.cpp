#include "report/page_table_internal.hpp"

#include <string>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

std::string_view class_of(PageCell kind) {
  switch (kind) {
    case PageCell::words:
      return "words";
    case PageCell::number:
      return "n";
    case PageCell::when:
      return "when";
    case PageCell::text:
      break;
  }
  return {};
}

}  // namespace

PageTable::PageTable(Html& html, std::string_view caption, std::vector<PageColumn> columns)
    : html_(html), columns_(std::move(columns)) {
  const std::string label = "Table: " + std::string(caption);
  html_.open("div",
             {{"class", "wide"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", label}});
  html_.open("table").element("caption", caption).open("thead").open("tr");
  for (const PageColumn& column : columns_) {
    html_.element("th", column.heading, {{"scope", "col"}, {"class", class_of(column.kind)}});
  }
  html_.close().close().open("tbody");
}

PageTable::~PageTable() { html_.close().close().close(); }

void PageTable::open_cell() {
  if (next_ == 0) html_.open("tr");
  html_.open(next_ == 0 ? "th" : "td",
             {{"scope", next_ == 0 ? "row" : ""}, {"class", class_of(columns_[next_].kind)}});
}

void PageTable::close_cell() {
  html_.close();
  next_ = (next_ + 1) % columns_.size();
  if (next_ == 0) html_.close();
}

PageTable& PageTable::text(std::string_view text) {
  open_cell();
  html_.text(text);
  close_cell();
  return *this;
}

PageTable& PageTable::link(std::string_view anchor, std::string_view text) {
  open_cell();
  html_.element("a", text, {{"href", "#" + std::string(anchor)}});
  close_cell();
  return *this;
}

PageTable& PageTable::place(std::string_view anchor, std::string_view text) {
  open_cell();
  html_.element("span", text, {{"id", anchor}});
  close_cell();
  return *this;
}

PageTable& PageTable::number(double value, int decimals) {
  GAUGELOOM_ASSERT(columns_[next_].kind == PageCell::number);
  return text(shown_number(value, decimals));
}

PageTable& PageTable::percent(double share) {
  GAUGELOOM_ASSERT(columns_[next_].kind == PageCell::number);
  return text(shown_percent(share));
}

PageTable& PageTable::count(std::size_t count) { return number(static_cast<double>(count), 0); }

PageTable& PageTable::time(Instant instant) {
  open_cell();
  add_time(html_, instant);
  close_cell();
  return *this;
}

PageTable& PageTable::quality(Quality quality) {
  open_cell();
  add_quality(html_, quality);
  close_cell();
  return *this;
}

PageTable& PageTable::tier(Tier tier) {
  open_cell();
  add_tier(html_, tier);
  close_cell();
  return *this;
}

void add_time(Html& html, Instant instant) {
  html.element("time", shown_time(instant), {{"datetime", format_utc(instant)}});
}

void add_quality(Html& html, Quality quality) {
  const std::string name(word(quality));
  html.element("span", name, {{"class", "quality q-" + name}});
}

void add_tier(Html& html, Tier tier) {
  const std::string name(word(tier));
  html.element("span", name, {{"class", "tier t-" + name}});
}

}  // namespace gaugeloom
