#include "gaugeloom/core/error.hpp"
#include "io/csv_fields_internal.hpp"
#include "io/csv_header_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {

CsvHeader::CsvHeader(std::string_view line, const std::string& file, const std::string& kind)
    : file_(file) {
  if (const auto odd = first_not_text(line))
    refuse("this byte is not text; " + kind + " is CSV in UTF-8, plain or gzip",
           static_cast<int>(*odd) + 1);
  CsvLine fields(line);
  for (CsvField field; fields.next(field);) {
    if (names_.size() == kMostColumns)
      refuse("the header has more than 1048576 columns; use the long layout");
    names_.push_back({std::string(field.text), field.column});
  }
  if (!fields.problem().empty()) refuse(std::string(fields.problem()), fields.column());
}

int CsvHeader::find(std::string_view wanted) const {
  int found = kNoColumn;
  for (std::size_t i = 0; i < names_.size(); ++i) {
    if (names_[i].text != wanted) continue;
    if (found != kNoColumn)
      refuse("column '" + std::string(wanted) + "' stands twice; rename one", names_[i].column);
    found = static_cast<int>(i);
  }
  return found;
}

void CsvHeader::refuse_without(std::string_view wanted, const std::string& advice) const {
  refuse("there is no column '" + std::string(wanted) + "' (found " + listed() + "); " + advice);
}

void CsvHeader::refuse(const std::string& sentence, int column) const {
  throw Error(ErrorCode::malformed_input, sentence, {file_, 1, column});
}

std::string CsvHeader::listed() const {
  std::string text;
  for (const Name& name : names_) {
    if (text.size() > 100) break;
    text += (text.empty() ? "" : ",") + name.text;
  }
  return quoted_for_message(text);
}

}  // namespace gaugeloom
