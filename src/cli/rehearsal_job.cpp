#include "rehearsal_job.hpp"

#include <fmt/format.h>

#include "command.hpp"
#include "gaugeloom/io/rehearsal_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

void learn(RunRecord& record, const Rehearsal& rehearsal) {
  auto& numbers = record.learned_numbers;
  numbers["rehearsal.dry_sum_threshold_mm"] = rehearsal.dry_sum_threshold_mm;
  numbers["rehearsal.residual_threshold"] = rehearsal.residual_threshold;
  numbers["rehearsal.cusum_threshold"] = rehearsal.cusum_threshold;
  numbers["rehearsal.heavy_steps.all"] = static_cast<double>(rehearsal.heavy.all);
  numbers["rehearsal.heavy_steps.suspect"] = static_cast<double>(rehearsal.heavy.suspect);
  numbers["rehearsal.heavy_steps.refused"] = static_cast<double>(rehearsal.heavy.refused);
  numbers["rehearsal.fill.hidden_steps"] = static_cast<double>(rehearsal.fill.hidden);
  numbers["rehearsal.fill.refused"] = rehearsal.fill.refused;
  numbers["rehearsal.fill.bias"] = rehearsal.fill.bias;
  numbers["rehearsal.fill.bias_error"] = rehearsal.fill.bias_error;
  numbers["rehearsal.fill.wet_ratio"] = rehearsal.fill.wet_ratio;
  numbers["rehearsal.fill.step_above"] = rehearsal.fill.step_above;
  numbers["rehearsal.fill.step_coverage"] = rehearsal.fill.step_coverage;
  numbers["rehearsal.fill.pit_distance"] = rehearsal.fill.pit.distance();
  numbers["rehearsal.fill.wet_pit_distance"] = rehearsal.fill.wet_pit.distance();
  for (std::size_t i = 0; i < kPitBins; ++i) {
    numbers[fmt::format("rehearsal.fill.pit_{:02}", i + 1)] = rehearsal.fill.pit.share[i];
    numbers[fmt::format("rehearsal.fill.wet_pit_{:02}", i + 1)] = rehearsal.fill.wet_pit.share[i];
  }
  for (std::size_t i = 0; i < rehearsal.parts.size(); ++i)
    record.learned_words[fmt::format("rehearsal.part_{:02}", i + 1)] =
        part_text(rehearsal.parts[i]);
}

}  // namespace

std::string part_text(const RehearsedPart& part) {
  return fmt::format("{} to {}: {} storms, learned from {}", format_utc(part.over.from),
                     format_utc(part.over.to), part.storms, part.storms_learned);
}

Rehearsal add_rehearsal(OutputFolder& folder, const LoadedRecord& loaded, RehearsalOptions options,
                        int threads, RunRecord& record) {
  Progress progress("rehearsing");
  options.threads = threads;
  options.progress = [&](double done, std::string_view doing) { progress.show(done, doing); };
  Rehearsal rehearsal = rehearse(loaded.network, loaded.rain, options);
  write_rehearsal(folder.file(kRehearsalFiles[0]), rehearsal, loaded.rain.depths.axis().step());
  write_rehearsal_gauges(folder.file(kRehearsalFiles[1]), rehearsal, loaded.network);
  write_rehearsal_fill(folder.file(kRehearsalFiles[2]), rehearsal.fill);
  learn(record, rehearsal);
  return rehearsal;
}

}  // namespace gaugeloom
