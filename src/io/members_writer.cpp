#include "gaugeloom/io/members_writer.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/number_format.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr int kDepthDecimals = 3;
constexpr std::size_t kDepthsPerBlock = std::size_t{1} << 20;
constexpr std::size_t kFewestSteps = 32;  // a block draws the slow parts of its numbers anew

class MembersFormatter {
 public:
  MembersFormatter(const Ensemble& ensemble, const SeriesRecord& record, const Network& network,
                   bool every_step)
      : ensemble_(ensemble), record_(record), every_step_(every_step) {
    for (const Gauge& gauge : network.gauges) {
      CsvRows quoted;
      quoted.text(gauge.id);
      ids_.push_back(quoted.bytes());
    }
  }

  std::string header() const {
    std::string text = "time,gauge";
    for (std::size_t m = 1; m <= ensemble_.members(); ++m) {
      text += ",member_";
      append_integer(text, static_cast<long long>(m));
    }
    return text + "\n";
  }

  std::string rows(StepAxis::Range steps) const {
    std::vector<std::vector<float>> drawn(ids_.size());  // empty: nothing of it is written
    for (std::size_t g = 0; g < ids_.size(); ++g) {
      if (!is_any_written(g, steps)) continue;
      drawn[g].resize((steps.last - steps.first) * ensemble_.members());
      ensemble_.draw(g, steps, drawn[g]);
    }
    std::string text;
    for (std::size_t step = steps.first; step < steps.last; ++step) {
      const std::string time = format_utc(record_.depth.axis().end(step)) + ",";
      for (std::size_t g = 0; g < ids_.size(); ++g)
        if (!drawn[g].empty() && is_written(g, step))
          row(text, time + ids_[g], drawn[g], step - steps.first);
    }
    return text;
  }

 private:
  bool is_written(std::size_t gauge, std::size_t step) const {
    return every_step_ || ensemble_.is_estimated(gauge, step);
  }
  bool is_any_written(std::size_t gauge, StepAxis::Range steps) const {
    std::size_t step = steps.first;
    while (step < steps.last && !is_written(gauge, step)) ++step;
    return step < steps.last;
  }
  void row(std::string& text, const std::string& name, const std::vector<float>& drawn,
           std::size_t place) const {
    text += name;
    const std::size_t members = ensemble_.members();
    for (std::size_t m = 0; m < members; ++m) {
      text += ',';
      append_fixed(text, static_cast<double>(drawn[place * members + m]), kDepthDecimals);
    }
    text += '\n';
  }

  const Ensemble& ensemble_;
  const SeriesRecord& record_;
  bool every_step_;
  std::vector<std::string> ids_;
};

}  // namespace

void write_members(AtomicFile& file, const Ensemble& ensemble, const SeriesRecord& record,
                   const Network& network, const MembersWriteOptions& options) {
  const MembersFormatter formatter(ensemble, record, network, options.every_step);
  const auto packed = [&](std::string text) {
    return options.gzip ? gzip_member(text) : std::move(text);
  };
  const BulkAcross across;  // rows of one time, from rows of one gauge
  file.write(packed(formatter.header()));
  const std::size_t steps = record.depth.step_count();
  const std::size_t width = std::max<std::size_t>(1, network.size() * ensemble.members());
  const std::size_t steps_per_block = std::max(kFewestSteps, kDepthsPerBlock / width);
  const std::size_t blocks = (steps + steps_per_block - 1) / steps_per_block;
  const auto at_once = static_cast<std::size_t>(thread_count(options.threads)) * 2;
  for (std::size_t begun = 0; begun < blocks; begun += at_once) {
    std::vector<std::string> texts(std::min(at_once, blocks - begun));
    parallel_for(texts.size(), options.threads, [&](std::size_t i) {
      const std::size_t first = (begun + i) * steps_per_block;
      const std::string rows = formatter.rows({first, std::min(steps, first + steps_per_block)});
      if (!rows.empty()) texts[i] = packed(rows);
    });
    for (const std::string& text : texts) file.write(text);
  }
  file.finish();
}

}  // namespace gaugeloom
