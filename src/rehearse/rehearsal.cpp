#include "gaugeloom/rehearse/rehearsal.hpp"

#include <algorithm>
#include <cmath>
#include <mutex>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/modified_z.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"
#include "gaugeloom/rehearse/plain_rules.hpp"
#include "gaugeloom/rehearse/record_parts.hpp"

namespace gaugeloom {
namespace {

constexpr double kHeavyMmH = 5;
constexpr double kQuarterDays = 91.3;
constexpr double kHoursPerYear = 8766;
constexpr int kGapsPerGauge = 6;
constexpr double kShareBeforePasses = 0.15;  // of the work, roughly: for the progress only
constexpr double kShareOfFilling = 0.1;

// One part of the record, and all that is known of it before a fault is planted.
struct Stage {
  StepAxis::Range steps;
  LearnedNulls nulls;          // of the other parts
  RainRecord read;             // as it was read
  CheckResult untouched;       // of that
  RainRecord truth;            // its accepted steps
  std::vector<Finding> known;  // findings of the truth
  std::vector<StormSpell> storms;
  std::size_t storms_learned = 0;
  std::vector<ModifiedZ> usual_ratios;  // of the days of each gauge, for the plain rules
};

struct Pass {
  std::size_t stage = 0;
  std::vector<InjectedFault> faults;
};

struct PassScore {
  std::vector<FaultOutcome> outcomes;
  NeighbourCalls neighbours;
};

// The estimates that the plain rules look at.
struct PlainView {
  RainTable hours;
  ExpectedDepths expected;
  BlockSums days;

  PlainView(const RainTable& depths, const Neighbourhoods& around, const SiteRatios& sites,
            int threads)
      : hours(gathered_depths(depths, std::chrono::hours(1))) {
    const Exclusions none(depths.gauge_count(), hours.step_count());
    expected = expected_depths(hours, around, sites, none, threads);
    days = block_sums(hours, expected, none, std::chrono::hours(24));
  }
};

bool is_call(const Finding& finding) { return finding.kind != FindingKind::not_testable; }

bool is_block(FindingKind kind) {
  return kind == FindingKind::blocked || kind == FindingKind::partly_blocked;
}

bool is_gain(FindingKind kind) {
  return kind == FindingKind::calibration_step || kind == FindingKind::calibration_drift ||
         kind == FindingKind::reads_low || kind == FindingKind::reads_high;
}

double gauge_years(const GaugeSummary& summary, const StepAxis& axis) {
  const double hours = static_cast<double>(axis.count()) * axis.step_hours();
  return hours * (1 - summary.share_missing) * summary.share_testable / kHoursPerYear;
}

std::size_t count_new(std::span<const Finding> in, std::span<const Finding> without,
                      const std::vector<bool>& asked) {
  return static_cast<std::size_t>(std::count_if(in.begin(), in.end(), [&](const Finding& f) {
    return asked[f.gauge] && is_call(f) &&
           std::none_of(without.begin(), without.end(),
                        [&](const Finding& other) { return same_episode(f, other); });
  }));
}

void take_row(const RainRecord& from, std::size_t gauge, RainRecord& to) {
  for (std::size_t step = 0; step < from.depths.step_count(); ++step) {
    to.depths.set(gauge, step, from.depths.depth_mm(gauge, step));
    if (to.quality.steps > 0) to.quality.at(gauge, step) = from.quality.at(gauge, step);
  }
}

class Rehearser {
 public:
  Rehearser(const Network& network, const RainRecord& record, const RehearsalOptions& options)
      : network_(network),
        record_(record),
        options_(options),
        around_(neighbourhoods(network)),
        accepted_(record) {
    result_.untouched.resize(network.size());
    result_.neighbours.resize(fault_variants().size());
  }

  Rehearsal run() {
    tell(0, "checking the record");
    accept();
    set_stages();
    count_untouched();
    learn_plain_rules();
    play();
    tell(1 - kShareOfFilling, "filling hidden gaps");
    fill();
    tell(1, "done");
    return std::move(result_);
  }

 private:
  void tell(double done, std::string_view next) const {
    if (options_.progress) options_.progress(done, next);
  }

  CheckOptions check_options(int threads) const {
    CheckOptions options = options_.check;
    options.threads = threads;
    options.progress = nullptr;
    options.hold_totals = false;
    return options;
  }

  // What is under a finding, or came as suspect, is no truth.
  void accept() {
    const CheckResult whole = check_network(network_, record_, check_options(options_.threads));
    for (std::size_t gauge = 0; gauge < network_.size(); ++gauge) {
      for (std::size_t step = 0; step < record_.depths.step_count(); ++step) {
        const Quality quality = whole.quality.at(gauge, step);
        if (quality != Quality::suspect && quality != Quality::poor) continue;
        accepted_.depths.set_missing(gauge, step);
        if (accepted_.quality.steps > 0) accepted_.quality.at(gauge, step) = Quality::missing;
      }
    }
  }

  void set_stages() {
    const StepAxis& axis = record_.depths.axis();
    const int count = options_.parts > 0 ? options_.parts : part_count(axis, kQuarterDays);
    const auto parts = record_parts(axis, count);
    if (parts.size() < 2) {
      throw Error(ErrorCode::inconsistent_input,
                  "the record is too short to learn from one part and score another; give at least "
                  "4 days, better some months");
    }
    const auto long_parts = record_parts(axis, std::max(2, count / 2));
    const auto all = static_cast<double>(parts.size() + long_parts.size() + 1);
    for (const bool is_long : {false, true}) {
      for (const StepAxis::Range part : is_long ? long_parts : parts) {
        const auto done = static_cast<double>(stages_.size() + long_stages_.size() + 1);
        tell(kShareBeforePasses * done / all, "learning from the other parts");
        (is_long ? long_stages_ : stages_).push_back(staged(part));
      }
    }
  }

  // Those on which a variant is played.
  const std::vector<Stage>& stages_for(const FaultVariant& variant) const {
    return variant.lasts_to_the_end() ? long_stages_ : stages_;
  }

  Stage staged(StepAxis::Range part) const {
    const CheckOptions options = check_options(options_.threads);
    Stage stage;
    stage.steps = part;
    const RainRecord rest = without_part(record_, part);
    stage.nulls = check_network(network_, rest, options).nulls;
    stage.read = part_of(record_, part);
    stage.untouched = check_with_frozen_nulls(network_, stage.read, stage.nulls, options);
    stage.truth = part_of(accepted_, part);
    stage.known = check_with_frozen_nulls(network_, stage.truth, stage.nulls, options).findings;
    stage.storms = storm_spells(stage.truth.depths);
    stage.storms_learned = storm_spells(rest.depths).size();
    return stage;
  }

  void count_untouched() {
    for (const Stage& stage : stages_) {
      const StepAxis& axis = stage.truth.depths.axis();
      result_.parts.push_back({axis.span(), stage.storms.size(), stage.storms_learned});
      for (const Finding& finding : stage.untouched.findings) {
        if (!is_call(finding)) continue;
        ++result_.untouched[finding.gauge].any;
        if (finding.tier == Tier::confirmed) ++result_.untouched[finding.gauge].confirmed;
      }
      for (std::size_t gauge = 0; gauge < network_.size(); ++gauge) {
        result_.untouched[gauge].gauge_years += gauge_years(stage.untouched.gauges[gauge], axis);
        count_heavy(stage, gauge);
      }
    }
  }

  void count_heavy(const Stage& stage, std::size_t gauge) {
    const auto row = record_.depths.row(gauge);
    const double least_mm = kHeavyMmH * record_.depths.axis().step_hours() - 1e-6;
    for (std::size_t step = stage.steps.first; step < stage.steps.last; ++step) {
      if (!(static_cast<double>(row[step]) >= least_mm)) continue;
      const Quality quality = stage.untouched.quality.at(gauge, step - stage.steps.first);
      ++result_.heavy.all;
      if (quality == Quality::suspect) ++result_.heavy.suspect;
      if (quality == Quality::poor) ++result_.heavy.refused;
    }
  }

  // Thresholds of the plain rules, for as many calls as the checks made.
  void learn_plain_rules() {
    std::vector<double> dry_sums;
    std::vector<double> residuals;
    std::size_t blocks = 0;
    std::size_t calls = 0;
    for (Stage& stage : stages_) {
      const PlainView view(stage.read.depths, around_, stage.nulls.sites, options_.threads);
      learn_usual(view, stage);
      for (std::size_t gauge = 0; gauge < network_.size(); ++gauge) {
        for (const auto& e : dry_sum_episodes(view.hours, view.expected, gauge, 0))
          dry_sums.push_back(e.peak);
        for (const auto& e : residual_episodes(view.days, gauge, 0)) residuals.push_back(e.peak);
      }
      for (const Finding& f : stage.untouched.findings) {
        if (is_call(f)) ++calls;
        if (is_block(f.kind)) ++blocks;
      }
    }
    result_.dry_sum_threshold_mm = threshold_for(std::move(dry_sums), blocks);
    result_.residual_threshold = threshold_for(std::move(residuals), calls);
    learn_cusum();
  }

  // On the parts that changes of gain are planted in.
  void learn_cusum() {
    std::vector<double> peaks;
    std::size_t calls = 0;
    for (Stage& stage : long_stages_) {
      const PlainView view(stage.read.depths, around_, stage.nulls.sites, options_.threads);
      learn_usual(view, stage);
      for (std::size_t gauge = 0; gauge < network_.size(); ++gauge) {
        for (const auto& e :
             cusum_episodes(ratios_of(view, gauge), view.days.axis, stage.usual_ratios[gauge], 0))
          peaks.push_back(e.peak);
      }
      for (const Finding& f : stage.untouched.findings) calls += is_gain(f.kind) ? 1 : 0;
    }
    result_.cusum_threshold = threshold_for(std::move(peaks), calls);
  }

  void learn_usual(const PlainView& view, Stage& stage) const {
    for (std::size_t gauge = 0; gauge < network_.size(); ++gauge)
      stage.usual_ratios.emplace_back(ratios_of(view, gauge).log_ratios);
  }

  DayRatios ratios_of(const PlainView& view, std::size_t gauge) const {
    return day_ratios(view.days, gauge, network_.gauges[gauge].bucket_mm);
  }

  std::vector<Pass> passes_of(std::size_t variant) const {
    const FaultVariant& what = fault_variants()[variant];
    const std::vector<Stage>& stages = stages_for(what);
    std::vector<Pass> passes;
    const std::size_t quota =
        what.everywhere ? network_.size()
                        : (static_cast<std::size_t>(options_.faults_per_kind) + stages.size() - 1) /
                              stages.size();
    for (std::size_t s = 0; s < stages.size(); ++s) {
      Random random(mix_bits(options_.seed ^ mix_bits(variant * 1024 + s + 1)));
      std::size_t drawn = 0;
      for (const auto& group : far_groups(around_, random)) {
        if (drawn >= quota) break;
        Pass pass{s, {}};
        for (const std::size_t gauge : group) {
          const auto fault = draw_fault(around_, stages[s].truth.depths, variant, gauge, random);
          if (!fault || drawn + pass.faults.size() >= quota) continue;
          pass.faults.push_back(*fault);
          if (fault->other != fault->gauge) break;  // a swap has no room beside it
        }
        drawn += pass.faults.size();
        if (!pass.faults.empty()) passes.push_back(std::move(pass));
      }
    }
    return passes;
  }

  void play() {
    std::vector<Pass> passes;
    for (std::size_t variant = 0; variant < fault_variants().size(); ++variant) {
      for (Pass& pass : passes_of(variant)) passes.push_back(std::move(pass));
    }
    std::vector<PassScore> scores(passes.size());
    std::mutex telling;
    std::size_t done = 0;
    parallel_for(passes.size(), options_.threads, [&](std::size_t i) {
      scores[i] = played(passes[i]);
      const std::lock_guard lock(telling);
      ++done;
      tell(kShareBeforePasses + (1 - kShareBeforePasses - kShareOfFilling) *
                                    static_cast<double>(done) / static_cast<double>(passes.size()),
           "planting faults");
    });
    for (std::size_t i = 0; i < passes.size(); ++i) {
      NeighbourCalls& sum = result_.neighbours[passes[i].faults[0].variant];
      sum.more += scores[i].neighbours.more;
      sum.fewer += scores[i].neighbours.fewer;
      sum.gauge_years += scores[i].neighbours.gauge_years;
      for (FaultOutcome& outcome : scores[i].outcomes) result_.outcomes.push_back(outcome);
    }
  }

  PassScore played(const Pass& pass) const {
    const Stage& stage = stages_for(fault_variants()[pass.faults[0].variant])[pass.stage];
    RainRecord faulty = stage.read;
    for (const InjectedFault& fault : pass.faults) {
      for (const std::size_t gauge : {fault.gauge, fault.other})
        take_row(stage.truth, gauge, faulty);
      inject(faulty.depths, network_, fault);
    }
    const auto after =
        check_with_frozen_nulls(network_, faulty, stage.nulls, check_options(1)).findings;
    const PlainView view(faulty.depths, around_, stage.nulls.sites, 1);
    PassScore score;
    for (const InjectedFault& fault : pass.faults) {
      FaultOutcome outcome =
          fault_outcome(stage.truth.depths, faulty.depths, fault, stage.known, after, stage.storms);
      score_plain_rules(view, stage, faulty.depths, outcome);
      score.outcomes.push_back(outcome);
    }
    score.neighbours = neighbour_calls(pass, stage, after);
    return score;
  }

  void score_plain_rules(const PlainView& view, const Stage& stage, const RainTable& faulty,
                         FaultOutcome& outcome) const {
    const RainTable& truth = stage.truth.depths;
    const StepAxis::Range& steps = outcome.fault.over;
    const Interval over{truth.axis().begin(steps.first), truth.axis().end(steps.last - 1)};
    const std::size_t gauge = outcome.fault.gauge;
    const auto hidden_at_first = [&](const std::vector<RuleEpisode>& episodes) {
      for (const RuleEpisode& e : episodes) {
        if (!e.called || *e.called <= over.from || e.over.from >= over.to) continue;
        return hidden_mm(truth, faulty, gauge, {over.from, std::min(*e.called, over.to)});
      }
      return FaultOutcome::kNone;
    };
    outcome.dry_sum_hidden_mm = hidden_at_first(
        dry_sum_episodes(view.hours, view.expected, gauge, result_.dry_sum_threshold_mm));
    outcome.residual_hidden_mm =
        hidden_at_first(residual_episodes(view.days, gauge, result_.residual_threshold));
    outcome.found_by_cusum = !std::isnan(
        hidden_at_first(cusum_episodes(ratios_of(view, gauge), view.days.axis,
                                       stage.usual_ratios[gauge], result_.cusum_threshold)));
  }

  NeighbourCalls neighbour_calls(const Pass& pass, const Stage& stage,
                                 const std::vector<Finding>& after) const {
    std::vector<bool> faulty(network_.size(), false);
    for (const InjectedFault& fault : pass.faults) {
      faulty[fault.gauge] = faulty[fault.other] = true;
    }
    std::vector<bool> beside(network_.size(), false);
    NeighbourCalls calls;
    for (std::size_t gauge = 0; gauge < network_.size(); ++gauge) {
      const auto& of = around_.of[gauge];
      const auto used =
          of.begin() + static_cast<std::ptrdiff_t>(std::min(of.size(), around_.options.used));
      beside[gauge] = !faulty[gauge] && std::any_of(of.begin(), used, [&](const NearbyGauge& n) {
        return faulty[n.gauge];
      });
      if (!beside[gauge]) continue;
      calls.gauge_years += gauge_years(stage.untouched.gauges[gauge], stage.truth.depths.axis());
    }
    calls.more = count_new(after, stage.untouched.findings, beside);
    calls.fewer = count_new(stage.untouched.findings, after, beside);
    return calls;
  }

  void fill() {
    RainRecord truth;
    truth.depths = accepted_.depths;
    const std::string name = "gaps " + std::to_string(options_.seed);
    const auto gaps = random_gaps(truth, kGapsPerGauge, name);
    const RainRecord hidden = with_hidden(truth, gaps);
    FillOptions options;
    options.threads = options_.threads;
    const FillResult filled = fill_gaps(network_, hidden, all_good(hidden.depths), options);
    result_.fill = score_fill(network_, truth, filled, gaps);
  }

  const Network& network_;
  const RainRecord& record_;
  const RehearsalOptions& options_;
  Neighbourhoods around_;
  RainRecord accepted_;
  std::vector<Stage> stages_;
  std::vector<Stage> long_stages_;
  Rehearsal result_;
};

}  // namespace

std::optional<std::string> RehearsalOptions::problem() const {
  if (parts < 0 || parts == 1) return "parts must be 0 or at least 2";
  if (faults_per_kind < 1) return "faults_per_kind must be at least 1";
  return check.problem();
}

Rehearsal rehearse(const Network& network, const RainRecord& record,
                   const RehearsalOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  return Rehearser(network, record, options).run();
}

}  // namespace gaugeloom
