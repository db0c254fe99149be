#include <fcntl.h>
#include <unistd.h>
#include <zlib.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>
#include <utility>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "io/byte_source_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kCompressedBlock = std::size_t{1} << 18;

class RawFile : public ByteSource {
 public:
  explicit RawFile(std::string path)
      : path_(std::move(path)), descriptor_(::open(path_.c_str(), O_RDONLY | O_CLOEXEC)) {
    if (descriptor_ < 0) fail();
  }
  RawFile(const RawFile&) = delete;
  RawFile& operator=(const RawFile&) = delete;
  ~RawFile() override { ::close(descriptor_); }

  std::size_t read(std::span<char> out) override {
    std::size_t filled = 0;
    while (filled < out.size()) {
      const ssize_t got = ::read(descriptor_, out.data() + filled, out.size() - filled);
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) fail();
      if (got == 0) break;
      filled += static_cast<std::size_t>(got);
    }
    return filled;
  }

 private:
  [[noreturn]] void fail() const {
    throw Error(ErrorCode::io_failure,
                "cannot be read (" + std::generic_category().message(errno) +
                    "); check the path and its permissions",
                {path_});
  }
  std::string path_;
  int descriptor_;
};

class MemoryText : public ByteSource {
 public:
  explicit MemoryText(std::string_view text) : rest_(text) {}
  std::size_t read(std::span<char> out) override {
    const std::size_t count = std::min(out.size(), rest_.size());
    if (count > 0) std::memcpy(out.data(), rest_.data(), count);
    rest_.remove_prefix(count);
    return count;
  }

 private:
  std::string_view rest_;
};

// Bytes already taken from a source, then the rest of it.
class Prefixed : public ByteSource {
 public:
  Prefixed(std::string prefix, std::unique_ptr<ByteSource> rest)
      : prefix_(std::move(prefix)), rest_(std::move(rest)) {}
  std::size_t read(std::span<char> out) override {
    const std::size_t count = std::min(out.size(), prefix_.size() - taken_);
    if (count > 0) std::memcpy(out.data(), prefix_.data() + taken_, count);
    taken_ += count;
    return count + rest_->read(out.subspan(count));
  }

 private:
  std::string prefix_;
  std::size_t taken_ = 0;
  std::unique_ptr<ByteSource> rest_;
};

// Inflates one gzip member after another.
class Gunzip : public ByteSource {
 public:
  Gunzip(std::unique_ptr<ByteSource> compressed, std::string name)
      : compressed_(std::move(compressed)), name_(std::move(name)), input_(kCompressedBlock) {
    if (inflateInit2(&stream_, 15 + 16) != Z_OK)
      throw Error(ErrorCode::io_failure, "cannot be decompressed; free some memory", {name_});
  }
  Gunzip(const Gunzip&) = delete;
  Gunzip& operator=(const Gunzip&) = delete;
  ~Gunzip() override { inflateEnd(&stream_); }

  std::size_t read(std::span<char> out) override {
    stream_.next_out = reinterpret_cast<Bytef*>(out.data());
    stream_.avail_out = static_cast<uInt>(out.size());
    while (stream_.avail_out > 0 && !ended_) step();
    return out.size() - stream_.avail_out;
  }

 private:
  void step() {
    if (stream_.avail_in == 0) refill();
    if (stream_.avail_in == 0) {
      if (!between_members_)
        throw Error(ErrorCode::malformed_input, "the gzip data end too early; copy the file again",
                    {name_});
      ended_ = true;
      return;
    }
    if (between_members_) inflateReset(&stream_);
    between_members_ = false;
    const int outcome = inflate(&stream_, Z_NO_FLUSH);
    if (outcome == Z_STREAM_END)
      between_members_ = true;
    else if (outcome != Z_OK)
      throw Error(ErrorCode::malformed_input, "the gzip data are damaged; copy the file again",
                  {name_});
  }
  void refill() {
    stream_.next_in = reinterpret_cast<Bytef*>(input_.data());
    stream_.avail_in = static_cast<uInt>(compressed_->read(input_));
  }

  std::unique_ptr<ByteSource> compressed_;
  std::string name_;
  std::vector<char> input_;
  z_stream stream_{};
  bool between_members_ = false;
  bool ended_ = false;
};

std::unique_ptr<ByteSource> inflated_if_gzip(std::unique_ptr<ByteSource> source,
                                             const std::string& name) {
  std::string start(2, '\0');
  start.resize(source->read(start));
  const bool gzip = start == "\x1f\x8b";
  auto whole = std::make_unique<Prefixed>(std::move(start), std::move(source));
  if (!gzip) return whole;
  return std::make_unique<Gunzip>(std::move(whole), name);
}

}  // namespace

std::unique_ptr<ByteSource> open_raw_file(const std::string& path) {
  return std::make_unique<RawFile>(path);
}

std::unique_ptr<ByteSource> open_file(const std::string& path) {
  return inflated_if_gzip(open_raw_file(path), path);
}

std::unique_ptr<ByteSource> open_text(std::string_view text, const std::string& name) {
  return inflated_if_gzip(std::make_unique<MemoryText>(text), name);
}

std::string read_all(ByteSource& source, std::size_t limit, const std::string& name) {
  std::string text;
  std::string block(std::size_t{1} << 16, '\0');
  for (std::size_t got = source.read(block); got > 0; got = source.read(block)) {
    if (text.size() + got > limit)
      throw Error(ErrorCode::malformed_input,
                  "is larger than " + std::to_string(limit >> 20) + " MiB; split it", {name});
    text.append(block, 0, got);
  }
  return text;
}

}  // namespace gaugeloom
