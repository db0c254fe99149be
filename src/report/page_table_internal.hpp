#pragma once
// A table of the page: a caption, headings with their scope, cells with the class of their column.
// Internal.

#include <string_view>
#include <vector>

#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/time/instant.hpp"
#include "report/html_internal.hpp"

namespace gaugeloom {

enum class PageCell {
  text,
  words,   // sentences: may be long
  number,  // to the right, with fixed decimals
  when,    // a time, not broken where there is room
};

struct PageColumn {
  std::string_view heading;  // with the unit
  PageCell kind = PageCell::text;
};

// Rows are written cell by cell; the first cell of a row is its heading.
class PageTable {
 public:
  // Opens the table in a box that scrolls sideways where the page is narrow.
  PageTable(Html& html, std::string_view caption, std::vector<PageColumn> columns);
  ~PageTable();  // closes it
  PageTable(const PageTable&) = delete;
  PageTable& operator=(const PageTable&) = delete;

  PageTable& text(std::string_view text);
  PageTable& link(std::string_view anchor, std::string_view text);   // to a place of the page
  PageTable& place(std::string_view anchor, std::string_view text);  // that links lead to
  PageTable& number(double value, int decimals);
  PageTable& percent(double share);
  PageTable& count(std::size_t count);
  PageTable& time(Instant instant);
  PageTable& quality(Quality quality);
  PageTable& tier(Tier tier);

 private:
  void open_cell();
  void close_cell();

  Html& html_;
  std::vector<PageColumn> columns_;
  std::size_t next_ = 0;  // the column of the next cell
};

// <time> with the machine's form beside ours.
void add_time(Html& html, Instant instant);
// Words whose class the style gives its mark.
void add_quality(Html& html, Quality quality);
void add_tier(Html& html, Tier tier);

}  // namespace gaugeloom
