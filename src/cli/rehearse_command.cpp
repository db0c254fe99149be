#include <cmath>

#include <fmt/format.h>

#include "commands.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/rehearse/poisson_interval.hpp"
#include "gaugeloom/rehearse/rehearsal_table.hpp"
#include "job.hpp"
#include "rehearsal_job.hpp"

namespace gaugeloom {
namespace {

std::string share_text(double share) {
  return std::isfinite(share) ? fmt::format("{:.0f} %", 100 * share) : std::string("-");
}

std::string mm_text(double mm) {
  if (std::isnan(mm)) return "-";
  return std::isfinite(mm) ? fmt::format("{:.1f}", mm) : std::string("never");
}

class RehearseCommand : public Command {
 public:
  RehearseCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    check_.declare_checks(options_);
    options_.heading("Rehearsal");
    options_.whole("seed", "N", seed_, {0, 1000000000},
                   "Which faults are drawn; the same number draws the same ones.");
    options_.whole(
        "parts", "N", rehearsal_.parts, {0, 100},
        "How many parts the record is cut into; each is scored with what was learned "
        "from the others. 0 means one for each quarter of a year, at least 2 and at most 12. Half "
        "as many, at least 2, serve the faults that last to the end of a part.");
    options_.whole("faults-per-kind", "N", rehearsal_.faults_per_kind, {1, 100000},
                   "How many faults of each kind and size are planted, as far as the record has "
                   "room for them. Full blocks are planted at every gauge and part instead.");
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Plants faults of known size in the accepted part of your own record, runs the same "
            "checks as always, and prints what they find: after how many mm, with how many false "
            "calls, at what cost to the healthy neighbours. Hides gaps and prints how well they "
            "are filled.\n\n"
            "The record is cut into parts; each is scored with what was learned from the others "
            "alone. Nothing is written over and nothing is changed: the faults live in memory.",
            {{"rehearsal.csv", "One row per kind and size of fault, and the false calls."},
             {"rehearsal_gauges.csv", "One row per gauge: full blocks found, false calls."},
             {"rehearsal_fill.csv",
              "One row per duration: the error of filled gaps, and how their bands held."},
             {"run.json", "Version, settings, hashes of the inputs, what was learned."},
             {"run_log.json", "Wall clock and machine."}},
            {"gaugeloom rehearse --gauges gauges.csv --rain rain.csv --out rehearsed",
             "gaugeloom rehearse --config network.toml --seed 2 --faults-per-kind 100"}};
  }

  Exit run(Streams io) override {
    const Stopwatch watch;
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    for (const char* name : kRehearsalFiles) folder.refuse_input(name);
    RunRecord record = begin_run_record("rehearse", options_, folder.inputs());
    LoadedRecord loaded = load_record(network_, rain_, threads_, io);
    forget_estimates(loaded, io);
    add_side_tables(loaded, check_, network_.strict, io);
    const Rehearsal rehearsal = add_rehearsal(folder, loaded, rehearsal_, threads_, record);
    finish_folder(folder, record, {watch.seconds(), thread_count(threads_)});
    print_record(loaded, io);
    print_parts(rehearsal, io);
    print_faults(rehearsal_rows(rehearsal, loaded.rain.depths.axis().step()), io);
    io.out << as_text(rehearsal.fill);
    return Exit::ok;
  }

 protected:
  void settle() override {
    check_.settle();
    rehearsal_.check = check_.check;
    rehearsal_.seed = static_cast<std::uint64_t>(seed_);
    if (const auto problem = rehearsal_.problem()) throw Error(ErrorCode::invalid_option, *problem);
  }

 private:
  static void print_parts(const Rehearsal& rehearsal, Streams io) {
    io.out << fmt::format("parts: {}, each scored with what was learned from the others\n",
                          rehearsal.parts.size());
    for (const RehearsedPart& part : rehearsal.parts) io.out << "  " << part_text(part) << '\n';
    const FalseCalls calls = false_calls(rehearsal);
    io.out << fmt::format("calls on the record as it was read, in {:.1f} gauge-years:\n",
                          calls.gauge_years);
    print_rate("any tier", calls.any, calls.gauge_years, io);
    print_rate("confirmed", calls.confirmed, calls.gauge_years, io);
    const HeavySteps& heavy = rehearsal.heavy;
    io.out << fmt::format(
        "steps of 5 mm/h or more: {}; {} under a provisional finding, {} under a confirmed one\n",
        heavy.all, heavy.suspect, heavy.refused);
  }

  static void print_rate(const char* tier, std::size_t calls, double gauge_years, Streams io) {
    const RateInterval rate = poisson_interval(calls, gauge_years);
    io.out << fmt::format("  {:10} {:4}, {:.3f} a year ({:.3f} to {:.3f})\n", tier, calls,
                          rate.rate, rate.low, rate.high);
  }

  static void print_faults(const std::vector<RehearsalRow>& rows, Streams io) {
    io.out << fmt::format("{:25} {:>7} {:>7} {:>6} {:>6} {:>6} {:>6} {:>6} {:>7} {:>8}\n",
                          "planted faults", "planted", "telling", "found", "conf.", "named",
                          "< 5 mm", "<10 mm", "mm, med", "dry sum");
    for (const RehearsalRow& row : rows) {
      if (row.planted == 0) continue;
      io.out << fmt::format("{:25} {:7} {:7} {:>6} {:>6} {:>6} {:>6} {:>6} {:>7} {:>8}\n",
                            row.fault + (row.size.empty() ? "" : " " + row.size), row.planted,
                            row.telling, share_text(row.found), share_text(row.confirmed),
                            share_text(row.named_right), share_text(row.before_5_mm),
                            share_text(row.before_10_mm), mm_text(row.median_mm),
                            share_text(row.dry_sum_before_10_mm));
    }
    io.out << "telling: enough rain fell to tell. < 10 mm: called before 10 mm were hidden. dry "
              "sum: the same by\n\"expected mm since the last tip\". A missed shower is no fault: "
              "calls of it are false.\n";
  }

  NetworkInput network_;
  RainInput rain_;
  CheckInput check_;
  RehearsalOptions rehearsal_;
  int seed_ = 1;
};

}  // namespace

std::unique_ptr<Command> make_rehearse() { return std::make_unique<RehearseCommand>(); }

}  // namespace gaugeloom
