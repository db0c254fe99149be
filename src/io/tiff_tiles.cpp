#include <fcntl.h>
#include <libdeflate.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <limits>
#include <system_error>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "io/tiff_tiles_internal.hpp"

namespace gaugeloom {
namespace {

// Floating point predictor of one row: the bytes of all values, most significant first, each less
// the one before it. Source: TIFF Technical Note 3 (Adobe 2005).
void predict_row(const float* values, unsigned char* out) {
  for (std::size_t i = 0; i < kTileSide; ++i) {
    const auto bits = std::bit_cast<std::uint32_t>(values[i]);
    out[i] = static_cast<unsigned char>(bits >> 24);
    out[kTileSide + i] = static_cast<unsigned char>(bits >> 16);
    out[2 * kTileSide + i] = static_cast<unsigned char>(bits >> 8);
    out[3 * kTileSide + i] = static_cast<unsigned char>(bits);
  }
  unsigned char last = 0;
  unsigned char differences[4 * kTileSide];
  for (std::size_t i = 0; i < 4 * kTileSide; ++i)
    differences[i] = static_cast<unsigned char>(out[i] - (i > 0 ? out[i - 1] : last));
  std::memcpy(out, differences, sizeof differences);
}

// The lowest of the most frequent values.
float most_frequent(const std::array<float, 4>& values, std::size_t count) {
  float best = values[0];
  std::size_t best_count = 0;
  for (std::size_t i = 0; i < count; ++i) {
    std::size_t same = 0;
    for (std::size_t j = 0; j < count; ++j) same += values[j] == values[i] ? 1U : 0U;
    if (same > best_count || (same == best_count && values[i] < best)) {
      best_count = same;
      best = values[i];
    }
  }
  return best;
}

float join(const std::array<float, 4>& values, OverviewRule rule) {
  std::array<float, 4> valid{};
  std::size_t count = 0;
  for (const float v : values)
    if (v == v) valid[count++] = v;
  if (count == 0) return std::numeric_limits<float>::quiet_NaN();
  if (rule == OverviewRule::mode) return most_frequent(valid, count);
  float sum = 0;
  for (std::size_t i = 0; i < count; ++i) sum += valid[i];
  return sum / static_cast<float>(count);
}

}  // namespace

TileEncoder::TileEncoder(int level)
    : compressor_(libdeflate_alloc_compressor(level)), predicted_(kTileSide * kTileSide * 4) {
  if (compressor_ == nullptr) throw std::bad_alloc();
  compressed_.resize(libdeflate_zlib_compress_bound(compressor_, predicted_.size()));
}

TileEncoder::~TileEncoder() { libdeflate_free_compressor(compressor_); }

std::span<const char> TileEncoder::encode(const float* values, std::size_t columns,
                                          std::size_t rows, std::size_t stride) {
  constexpr std::size_t kRowBytes = 4 * kTileSide;
  float row[kTileSide];
  for (std::size_t r = 0; r < rows; ++r) {
    const float* const from = values + r * stride;
    for (std::size_t c = 0; c < columns; ++c)
      row[c] = from[c] == from[c] ? from[c] : kGeoTiffNodata;
    std::fill(row + columns, row + kTileSide, row[columns - 1]);
    predict_row(row, predicted_.data() + r * kRowBytes);
  }
  for (std::size_t r = rows; r < kTileSide; ++r)
    std::memcpy(predicted_.data() + r * kRowBytes, predicted_.data() + (rows - 1) * kRowBytes,
                kRowBytes);
  const std::size_t size = libdeflate_zlib_compress(
      compressor_, predicted_.data(), predicted_.size(), compressed_.data(), compressed_.size());
  GAUGELOOM_ASSERT(size >= 4);
  return {compressed_.data(), size};
}

TileStore::TileStore(std::string path, std::size_t tiles, std::size_t memory_bytes)
    : path_(std::move(path)), tiles_(tiles), memory_left_(memory_bytes) {}

TileStore::~TileStore() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

void TileStore::refuse(int code) const {
  throw Error(ErrorCode::io_failure,
              "cannot be written (" + std::generic_category().message(code) +
                  "); free the disk or choose another --out",
              {path_});
}

void TileStore::put(std::size_t tile, std::span<const char> bytes) {
  Tile& stored = tiles_[tile];
  stored.size = static_cast<std::uint32_t>(bytes.size());
  const std::scoped_lock lock(mutex_);
  if (bytes.size() <= memory_left_) {
    memory_left_ -= bytes.size();
    stored.memory.reset(new char[bytes.size()]);
    std::memcpy(stored.memory.get(), bytes.data(), bytes.size());
    return;
  }
  if (descriptor_ < 0) {
    const std::string name = path_ + ".tiles-" + std::to_string(::getpid());
    descriptor_ = ::open(name.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (descriptor_ < 0) refuse(errno);
    ::unlink(name.c_str());
  }
  stored.offset = spilled_;
  while (!bytes.empty()) {
    const ssize_t done =
        ::pwrite(descriptor_, bytes.data(), bytes.size(), static_cast<off_t>(spilled_));
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) refuse(done < 0 ? errno : ENOSPC);
    spilled_ += static_cast<std::uint64_t>(done);
    bytes = bytes.subspan(static_cast<std::size_t>(done));
  }
}

void TileStore::get(std::size_t tile, std::vector<char>& out) const {
  const Tile& stored = tiles_[tile];
  out.resize(stored.size);
  if (stored.memory != nullptr) {
    std::memcpy(out.data(), stored.memory.get(), stored.size);
    return;
  }
  std::size_t read = 0;
  while (read < out.size()) {
    const ssize_t done = ::pread(descriptor_, out.data() + read, out.size() - read,
                                 static_cast<off_t>(stored.offset + read));
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) refuse(done < 0 ? errno : EIO);
    read += static_cast<std::size_t>(done);
  }
}

void halve(const float* from, std::size_t columns, std::size_t rows, std::size_t from_stride,
           OverviewRule rule, float* to, std::size_t to_stride) {
  const float nothing = std::numeric_limits<float>::quiet_NaN();
  for (std::size_t r = 0; r < rows; r += 2) {
    const float* const upper = from + r * from_stride;
    const float* const lower = r + 1 < rows ? upper + from_stride : nullptr;
    float* const out = to + r / 2 * to_stride;
    for (std::size_t c = 0; c < columns; c += 2) {
      const bool two = c + 1 < columns;
      const std::array<float, 4> cells = {upper[c], two ? upper[c + 1] : nothing,
                                          lower != nullptr ? lower[c] : nothing,
                                          lower != nullptr && two ? lower[c + 1] : nothing};
      const float sum = (cells[0] + cells[1]) + (cells[2] + cells[3]);
      if (rule == OverviewRule::average && sum == sum)
        out[c / 2] = sum * 0.25F;
      else if (cells[0] == cells[1] && cells[0] == cells[2] && cells[0] == cells[3])
        out[c / 2] = cells[0];
      else
        out[c / 2] = join(cells, rule);
    }
  }
}

RunningStatistics RunningStatistics::of(std::span<const float> values) {
  RunningStatistics s;
  s.minimum = std::numeric_limits<double>::infinity();
  s.maximum = -s.minimum;
  double sum = 0;
  for (const float v : values) {
    if (v != v) continue;
    s.count += 1;
    sum += v;
    s.minimum = v < s.minimum ? v : s.minimum;
    s.maximum = v > s.maximum ? v : s.maximum;
  }
  if (s.count == 0) return {};
  s.mean = sum / s.count;
  for (const float v : values)
    if (v == v) s.squares += (v - s.mean) * (v - s.mean);
  return s;
}

void RunningStatistics::join(const RunningStatistics& other) {
  if (other.count == 0) return;
  if (count == 0) {
    *this = other;
    return;
  }
  const double total = count + other.count;
  const double step = other.mean - mean;
  squares += other.squares + step * step * (count * other.count / total);
  mean += step * (other.count / total);
  minimum = std::min(minimum, other.minimum);
  maximum = std::max(maximum, other.maximum);
  count = total;
}

GeoTiffStatistics RunningStatistics::result() const {
  const double nothing = std::numeric_limits<double>::quiet_NaN();
  if (count == 0) return {0, nothing, nothing, nothing, nothing};
  return {static_cast<std::size_t>(count), minimum, maximum, mean, std::sqrt(squares / count)};
}

}  // namespace gaugeloom
