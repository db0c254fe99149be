#include <glob.h>

#include <algorithm>
#include <filesystem>
#include <unordered_set>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/rain_reader.hpp"

namespace gaugeloom {
namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& sentence) {
  throw Error(ErrorCode::io_failure, sentence, {path});
}

bool is_rain_file(const std::filesystem::path& path) {
  const std::string name = path.filename().string();
  return !name.starts_with('.') && (name.ends_with(".csv") || name.ends_with(".csv.gz"));
}

std::vector<std::string> files_in(const std::string& folder) {
  std::vector<std::string> files;
  std::error_code code;
  for (std::filesystem::directory_iterator entry(folder, code), end; !code && entry != end;
       entry.increment(code))
    if (is_rain_file(entry->path()) && !entry->is_directory()) files.push_back(entry->path());
  if (code) refuse(folder, "the folder cannot be read (" + code.message() + "); check its path");
  if (files.empty()) refuse(folder, "the folder holds no .csv or .csv.gz file; check its path");
  std::sort(files.begin(), files.end());
  return files;
}

std::vector<std::string> files_like(const std::string& pattern) {
  glob_t found{};
  std::vector<std::string> files;
  if (::glob(pattern.c_str(), GLOB_NOSORT, nullptr, &found) == 0)
    files.assign(found.gl_pathv, found.gl_pathv + found.gl_pathc);
  ::globfree(&found);
  std::erase_if(files, [](const std::string& path) { return std::filesystem::is_directory(path); });
  if (files.empty()) refuse(pattern, "there is no such file, and none like it; check the path");
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

std::vector<std::string> rain_files(std::span<const std::string> paths) {
  std::vector<std::string> files;
  std::unordered_set<std::string> seen;
  for (const std::string& path : paths) {
    std::error_code ignored;
    std::vector<std::string> meant;
    if (std::filesystem::is_directory(path, ignored))
      meant = files_in(path);
    else if (std::filesystem::exists(path, ignored))
      meant = {path};
    else
      meant = files_like(path);
    for (std::string& file : meant)
      if (seen.insert(std::filesystem::weakly_canonical(file, ignored).string()).second)
        files.push_back(std::move(file));
  }
  return files;
}

}  // namespace gaugeloom
