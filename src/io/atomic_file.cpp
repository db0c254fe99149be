#include "gaugeloom/io/atomic_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kBufferBytes = std::size_t{1} << 20;

std::string extension_of(const std::string& path) {
  return std::filesystem::path(path).extension().string();
}

[[noreturn]] void refuse(const std::string& path, const char* what, int code) {
  throw Error(ErrorCode::io_failure,
              std::string("cannot be ") + what + " (" + std::generic_category().message(code) +
                  "); free the disk or choose another --out",
              {path});
}

}  // namespace

StagedPath::StagedPath(std::string path, Name name)
    : path_(std::move(path)), temporary_path_(path_ + ".part-" + std::to_string(::getpid())) {
  if (name == Name::keeps_extension) temporary_path_ += extension_of(path_);
  std::error_code ignored;
  if (std::filesystem::is_directory(path_, ignored)) refuse(path_, "written", EISDIR);
  const auto folder = std::filesystem::path(path_).parent_path();
  if (::access(folder.empty() ? "." : folder.c_str(), W_OK) != 0) refuse(path_, "written", errno);
}

StagedPath::~StagedPath() { remove(); }

StagedPath::StagedPath(StagedPath&& other) noexcept
    : path_(std::exchange(other.path_, {})),
      temporary_path_(std::exchange(other.temporary_path_, {})) {}

StagedPath& StagedPath::operator=(StagedPath&& other) noexcept {
  if (this != &other) {
    remove();
    path_ = std::exchange(other.path_, {});
    temporary_path_ = std::exchange(other.temporary_path_, {});
  }
  return *this;
}

void StagedPath::remove() noexcept {
  if (!temporary_path_.empty()) ::unlink(temporary_path_.c_str());
}

void StagedPath::commit() {
  GAUGELOOM_ASSERT(!temporary_path_.empty());
  if (std::rename(temporary_path_.c_str(), path_.c_str()) != 0) refuse(path_, "written", errno);
  temporary_path_.clear();
}

AtomicFile::AtomicFile(std::string path, AtomicFileOptions options)
    : staged_(std::move(path), StagedPath::Name::plain), options_(options) {
  count_call("written");
  descriptor_ =
      ::open(staged_.temporary_path().c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (descriptor_ < 0) fail("written", errno);
  buffer_.reserve(kBufferBytes);
}

AtomicFile::~AtomicFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

AtomicFile::AtomicFile(AtomicFile&& other) noexcept
    : staged_(std::move(other.staged_)),
      options_(other.options_),
      buffer_(std::move(other.buffer_)),
      descriptor_(std::exchange(other.descriptor_, -1)),
      calls_(other.calls_) {}

void AtomicFile::write(std::string_view bytes) {
  GAUGELOOM_ASSERT(descriptor_ >= 0);
  if (bytes.size() >= kBufferBytes) {
    flush();
    write_out(bytes);
    return;
  }
  while (!bytes.empty()) {
    const std::size_t part = std::min(bytes.size(), kBufferBytes - buffer_.size());
    buffer_.append(bytes.substr(0, part));
    bytes.remove_prefix(part);
    if (buffer_.size() == kBufferBytes) flush();
  }
}

void AtomicFile::flush() {
  write_out(buffer_);
  buffer_.clear();
}

void AtomicFile::write_out(std::string_view rest) {
  while (!rest.empty()) {
    count_call("written");
    const ssize_t done = ::write(descriptor_, rest.data(), rest.size());
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) fail("written", done < 0 ? errno : ENOSPC);
    rest.remove_prefix(static_cast<std::size_t>(done));
  }
}

void AtomicFile::finish() {
  if (descriptor_ < 0) return;
  flush();
  count_call("closed");
  if (::close(std::exchange(descriptor_, -1)) != 0) fail("closed", errno);
}

void AtomicFile::commit() {
  finish();
  count_call("renamed");
  staged_.commit();
}

void AtomicFile::count_call(const char* what) {
  if (++calls_ == options_.fail_at_call) fail(what, ENOSPC);
}

void AtomicFile::fail(const char* what, int code) const { refuse(staged_.path(), what, code); }

}  // namespace gaugeloom
