#pragma once
// Output files that appear whole or not at all: bytes go to a file beside the final one, which is
// renamed when it is complete and removed when it is not.

#include <string>
#include <string_view>

namespace gaugeloom {

// A place beside `path` for something else to write to (a raster, a database), renamed at the end.
// Whoever throws before commit() leaves no file behind.
//
// Throws: Error{io_failure} naming the file, when the folder does not exist or refuses.
class StagedPath {
 public:
  enum class Name { keeps_extension, plain };
  explicit StagedPath(std::string path, Name name = Name::keeps_extension);
  ~StagedPath();
  StagedPath(StagedPath&& other) noexcept;
  StagedPath& operator=(StagedPath&& other) noexcept;

  const std::string& path() const { return path_; }
  // `path` + ".part-<process id>", and with Name::keeps_extension the extension of `path` again,
  // since drivers choose by it. Nothing is created there.
  const std::string& temporary_path() const { return temporary_path_; }
  // Renames the temporary file over the final one.
  void commit();

 private:
  void remove() noexcept;
  std::string path_;
  std::string temporary_path_;
};

struct AtomicFileOptions {
  long fail_at_call = 0;  // for tests: the n-th call to the system (open, write, close, rename)
                          // fails as on a full disk; 0 = none
};

// A file written from its first byte to its last, through a buffer.
//
// Throws: Error{io_failure} naming the final path and what the system said, from every function.
class AtomicFile {
 public:
  explicit AtomicFile(std::string path, AtomicFileOptions options = {});
  ~AtomicFile();
  AtomicFile(AtomicFile&& other) noexcept;
  AtomicFile& operator=(AtomicFile&& other) = delete;

  const std::string& path() const { return staged_.path(); }
  void write(std::string_view bytes);
  // Flushes and closes; nothing can be written afterwards. Several files are made to appear
  // together by finishing all of them before committing any.
  void finish();
  // finish(), where still needed, and renames.
  void commit();

 private:
  void flush();
  void write_out(std::string_view rest);
  void count_call(const char* what);
  [[noreturn]] void fail(const char* what, int code) const;

  StagedPath staged_;
  AtomicFileOptions options_;
  std::string buffer_;
  int descriptor_ = -1;
  long calls_ = 0;
};

}  // namespace gaugeloom
