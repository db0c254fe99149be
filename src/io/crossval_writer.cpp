#include "gaugeloom/io/crossval_writer.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <condition_variable>
#include <cstring>
#include <mutex>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/six_decimals_internal.hpp"

namespace gaugeloom {
namespace {

// Steps formatted together: one gauge's eight estimates share a cache line.
constexpr std::size_t kStepsPerPiece = 8;
// Characters of a usual row beside its gauge; and of the longest row that can be.
constexpr std::size_t kUsualRow = 80;
constexpr std::size_t kLongestRow = 4 * kLongestFixed + 64;

char* append(char* out, const std::string& text) {
  std::memcpy(out, text.data(), text.size());
  return out + text.size();
}

char* write_count(char* out, std::uint16_t count) {
  if (count >= 1000) {
    const auto& thousands = kThreeDigits.natural[count / 1000U];
    std::memcpy(out, thousands.data(), 4);
    out += thousands[3];
    std::memcpy(out, kThreeDigits.padded[count % 1000U].data(), 4);
    return out + 3;
  }
  const auto& digits = kThreeDigits.natural[count];
  std::memcpy(out, digits.data(), 4);
  return out + digits[3];
}

// Texts of the steps of one piece; kept between pieces, since fresh pages are slow.
struct PieceText {
  struct Step {
    BulkVector<char> bytes;
    char* end = nullptr;    // of what is written
    char* limit = nullptr;  // where no row of the longest kind may begin any more
    std::string time;

    // Room for `usual` bytes, and a longest row beyond.
    void begin(std::size_t usual, std::size_t longest_row) {
      if (bytes.size() < usual + longest_row) bytes.resize(usual + longest_row);
      place(0, longest_row);
    }
    void make_room(std::size_t longest_row) {
      const std::size_t used = size();
      bytes.resize(2 * bytes.size());
      place(used, longest_row);
    }
    std::size_t size() const { return static_cast<std::size_t>(end - bytes.data()); }

   private:
    void place(std::size_t used, std::size_t longest_row) {
      end = bytes.data() + used;
      limit = bytes.data() + bytes.size() - longest_row;
    }
  };
  std::array<Step, kStepsPerPiece> steps;
};

// Hands out texts to fill, and writes the filled ones in the order of the pieces.
class OrderedTexts {
 public:
  explicit OrderedTexts(AtomicFile& file) : file_(file) {}

  std::unique_ptr<PieceText> take() {
    const std::scoped_lock lock(idle_mutex_);
    if (idle_.empty()) return std::make_unique<PieceText>();
    auto text = std::move(idle_.back());
    idle_.pop_back();
    return text;
  }

  void write(std::size_t piece, std::unique_ptr<PieceText> text) {
    {
      std::unique_lock lock(mutex_);
      turn_.wait(lock, [&] { return next_ == piece || failed_; });
      if (failed_) return;
      try {
        for (const auto& step : text->steps) file_.write({step.bytes.data(), step.size()});
      } catch (...) {
        failed_ = true;
        turn_.notify_all();
        throw;
      }
      ++next_;
      turn_.notify_all();
    }
    const std::scoped_lock lock(idle_mutex_);
    idle_.push_back(std::move(text));
  }

  void give_up() {
    const std::scoped_lock lock(mutex_);
    failed_ = true;
    turn_.notify_all();
  }

 private:
  AtomicFile& file_;
  std::mutex mutex_;
  std::condition_variable turn_;
  std::size_t next_ = 0;
  bool failed_ = false;
  std::mutex idle_mutex_;  // its own, so that a thread takes a text while another writes
  std::vector<std::unique_ptr<PieceText>> idle_;
};

// The standard errors of one gauge: those of consecutive steps are often the same.
class ErrorText {
 public:
  void set_variance(double variance) {
    if (variance == variance_) return;
    variance_ = variance;
    error_ = std::sqrt(std::max(variance, 0.0));
    length_ = static_cast<std::size_t>(write_six_decimals(text_.data(), error_) - text_.data());
  }
  double error() const { return error_; }
  char* write(char* out) const {
    std::memcpy(out, text_.data(), length_);
    return out + length_;
  }

 private:
  double variance_ = 0;
  double error_ = 0;
  std::size_t length_ = 8;
  std::array<char, kLongestFixed> text_ = {'0', '.', '0', '0', '0', '0', '0', '0'};
};

// The rows of some steps, gauge by gauge into one text per step.
class PieceFormatter {
 public:
  PieceFormatter(const std::vector<std::string>& ids, std::size_t longest_row, bool errors,
                 const RainTable& observed, std::size_t first_step, const LeaveOneOutBlock& block)
      : ids_(ids),
        longest_row_(longest_row),
        errors_(errors),
        observed_(observed),
        first_step_(first_step),
        block_(block) {}

  // Steps [first, first + count) of the block.
  void format(std::size_t first, std::size_t count, std::size_t usual_size, PieceText& text) const {
    for (std::size_t s = 0; s < kStepsPerPiece; ++s) {
      auto& step = text.steps[s];
      step.begin(s < count ? usual_size : 0, longest_row_);
      if (s < count) step.time = format_utc(observed_.axis().end(first_step_ + first + s)) + ",";
    }
    for (std::size_t gauge = 0; gauge < ids_.size(); ++gauge) gauge_rows(gauge, first, count, text);
  }

 private:
  void gauge_rows(std::size_t gauge, std::size_t first, std::size_t count, PieceText& text) const {
    const float* values = observed_.row(gauge).data() + first_step_ + first;
    const std::size_t at = gauge * block_.steps + first;
    ErrorText error;
    for (std::size_t s = 0; s < count; ++s) {
      const auto value = static_cast<double>(values[s]);
      if (std::isnan(value)) continue;
      auto& step = text.steps[s];
      if (step.end > step.limit) step.make_room(longest_row_);
      char* out = append(append(step.end, step.time), ids_[gauge]);
      out = write_six_decimals(out, value);
      *out++ = ',';
      const double estimate = block_.estimate[at + s];
      out = write_six_decimals(out, estimate);
      *out++ = ',';
      if (errors_ && !std::isnan(estimate)) {
        error.set_variance(block_.variance[at + s]);
        out = error.write(out);
        *out++ = ',';
        if (error.error() > 0) out = write_six_decimals(out, (value - estimate) / error.error());
      } else {
        *out++ = ',';
      }
      *out++ = ',';
      out = write_count(out, block_.neighbours[at + s]);
      *out++ = '\n';
      step.end = out;
    }
  }

  const std::vector<std::string>& ids_;
  std::size_t longest_row_;
  bool errors_;
  const RainTable& observed_;
  std::size_t first_step_;
  const LeaveOneOutBlock& block_;
};

}  // namespace

CrossvalWriter::CrossvalWriter(AtomicFile& file, const Network& network,
                               CrossvalWriteOptions options)
    : file_(file), options_(options) {
  for (const Gauge& gauge : network.gauges) {
    CsvRows quoted;
    quoted.text(gauge.id);
    ids_.push_back(quoted.bytes() + ",");
    longest_id_ = std::max(longest_id_, ids_.back().size());
  }
  file_.write(
      "time,gauge,observed_mm,estimate_mm,standard_error_mm,standardised_error,neighbours\n");
}

void CrossvalWriter::write(const RainTable& observed, std::size_t first_step,
                           const LeaveOneOutBlock& block) {
  GAUGELOOM_ASSERT(observed.gauge_count() == block.points && block.points == ids_.size());
  GAUGELOOM_ASSERT(first_step + block.steps <= observed.step_count());
  const std::size_t longest_row = longest_id_ + kLongestRow;
  const std::size_t usual_size = ids_.size() * (longest_id_ + kUsualRow);
  const std::size_t pieces = (block.steps + kStepsPerPiece - 1) / kStepsPerPiece;
  OrderedTexts texts(file_);
  parallel_for(pieces, options_.threads, [&](std::size_t piece) {
    try {
      auto text = texts.take();
      const PieceFormatter formatter(ids_, longest_row, options_.errors, observed, first_step,
                                     block);
      const std::size_t first = piece * kStepsPerPiece;
      formatter.format(first, std::min(kStepsPerPiece, block.steps - first), usual_size, *text);
      texts.write(piece, std::move(text));
    } catch (...) {
      texts.give_up();
      throw;
    }
  });
}

}  // namespace gaugeloom
