#pragma once
// A folder that lives as long as one test, and whole files as strings.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace gaugeloom::support {

class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;

  std::string path() const { return path_.string(); }
  std::string operator/(std::string_view name) const { return (path_ / name).string(); }
  // Writes a file and returns its path.
  std::string write(std::string_view name, std::string_view bytes) const;
  // The names of what lies in it, sorted.
  std::vector<std::string> names() const;

 private:
  std::filesystem::path path_;
};

std::string read_file(const std::string& path);

}  // namespace gaugeloom::support
