#include "output_folder.hpp"

#include <algorithm>
#include <filesystem>
#include <utility>

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace fs = std::filesystem;

OutputFolder::OutputFolder(std::string folder, std::vector<std::string> inputs)
    : folder_(std::move(folder)), inputs_(std::move(inputs)) {}

OutputFolder::~OutputFolder() {
  files_.clear();
  staged_.clear();
  std::error_code ignored;
  for (auto made = created_.rbegin(); made != created_.rend(); ++made) fs::remove(*made, ignored);
}

void OutputFolder::refuse_input(const std::string& name) const {
  const fs::path output = fs::path(folder_) / name;
  std::error_code ignored;
  for (const std::string& input : inputs_)
    if (fs::equivalent(output, input, ignored))
      throw Error(ErrorCode::invalid_option,
                  fmt::format("{} would be overwritten by an output; choose another --out", input));
}

void OutputFolder::refuse_inputs(std::string_view begin, std::string_view end) const {
  std::error_code ignored;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder_, ignored)) {
    const std::string name = entry.path().filename().string();
    if (name.starts_with(begin) && name.ends_with(end)) refuse_input(name);
  }
}

std::string OutputFolder::path(const std::string& name) {
  refuse_input(name);
  if (fs::exists(folder_) && !fs::is_directory(folder_))
    throw Error(ErrorCode::io_failure,
                fmt::format("{} is not a folder; choose another --out", folder_));
  std::vector<std::string> missing;
  for (fs::path at = folder_; !at.empty() && !fs::exists(at); at = at.parent_path())
    if (at.has_filename()) missing.push_back(at.string());
  std::reverse(missing.begin(), missing.end());
  for (const std::string& folder : missing) {
    std::error_code code;
    fs::create_directory(folder, code);
    if (code)
      throw Error(ErrorCode::io_failure,
                  fmt::format("the folder {} cannot be created ({}); choose another --out", folder,
                              code.message()));
    created_.push_back(folder);
  }
  names_.push_back(name);
  return (fs::path(folder_) / name).string();
}

AtomicFile& OutputFolder::file(const std::string& name) { return files_.emplace_back(path(name)); }

const StagedPath& OutputFolder::staged(const std::string& name) {
  return staged_.emplace_back(path(name));
}

void OutputFolder::commit() {
  for (AtomicFile& file : files_) file.finish();
  for (AtomicFile& file : files_) file.commit();
  for (StagedPath& file : staged_) file.commit();
  files_.clear();
  staged_.clear();
  created_.clear();
}

}  // namespace gaugeloom
