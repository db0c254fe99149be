#include "io/csv_fields_internal.hpp"

#include <algorithm>

namespace gaugeloom {

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

CsvLine::CsvLine(std::string_view line) : line_(line) {
  if (!line_.empty() && line_.back() == '\r') line_.remove_suffix(1);
}

bool CsvLine::next(CsvField& field) {
  if (ended_) return false;
  field.column = column();
  if (at_ < line_.size() && line_[at_] == '"') return next_quoted(field);
  const std::size_t end = std::min(line_.find(',', at_), line_.size());
  field.text = trimmed(line_.substr(at_, end - at_));
  ended_ = end == line_.size();
  at_ = end + 1;
  return true;
}

bool CsvLine::next_quoted(CsvField& field) {
  const std::size_t start = at_ + 1;
  std::size_t close = line_.find('"', start);
  bool doubled = false;
  while (close != std::string_view::npos && close + 1 < line_.size() && line_[close + 1] == '"') {
    doubled = true;
    close = line_.find('"', close + 2);
  }
  ended_ = true;
  if (close == std::string_view::npos) {
    problem_ = "a quote is opened and not closed on its line; close it";
    return false;
  }
  if (close + 1 < line_.size() && line_[close + 1] != ',') {
    at_ = close + 1;
    problem_ = "a closing quote is followed by more text; double the quotes inside a field";
    return false;
  }
  field.text = line_.substr(start, close - start);
  if (doubled) {
    std::string plain;
    for (std::size_t i = 0; i < field.text.size(); ++i) {
      plain += field.text[i];
      if (field.text[i] == '"') ++i;
    }
    unescaped_.push_back(std::move(plain));
    field.text = unescaped_.back();
  }
  ended_ = close + 1 >= line_.size();
  at_ = close + 2;
  return true;
}

}  // namespace gaugeloom
