#include "gaugeloom/expect/miss_law.hpp"

#include <algorithm>
#include <cmath>

#include "expect/falling_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kDepths = kMissDepthEdgesMm.size();
constexpr std::size_t kWets = kMissWetEdges.size();
constexpr double kBinPrior = 20;        // windows a bin's parent counts for; our choice
constexpr double kGaugePrior = 5;       // dry windows "1" counts for in a gauge's factor
constexpr double kTelling = 0.5;        // only bins that tell something shape that factor
constexpr double kMostWindows = 1e15;   // of a law that is read back
constexpr double kLeastFactor = 1e-12;  // the same

template <std::size_t N>
std::size_t bin_of(const std::array<double, N>& edges, double value) {
  std::size_t bin = 0;
  while (bin + 1 < N && value >= edges[bin + 1]) ++bin;
  return bin;
}

std::size_t index_of(double expected_mm, double wet_share, bool dry_before) {
  const std::size_t depth = bin_of(kMissDepthEdgesMm, expected_mm);
  return (depth * kWets + bin_of(kMissWetEdges, wet_share)) * 2 + (dry_before ? 1 : 0);
}

bool tells(double observed_mm, double expected_mm) {
  return !std::isnan(observed_mm) && !std::isnan(expected_mm) &&
         expected_mm >= kMissDepthEdgesMm[0];
}

double shrunk(double dry, double windows, double prior) {
  return (dry + kBinPrior * prior) / (windows + kBinPrior);
}

}  // namespace

void DryMemory::push(double observed_mm, double expected_mm) {
  observed_[next_] = std::isnan(observed_mm) ? 0 : observed_mm;
  estimates_[next_] = std::isnan(expected_mm) || std::isnan(observed_mm) ? 0 : expected_mm;
  next_ = (next_ + 1) % observed_.size();
  rain_ = observed_[0] > 0 || observed_[1] > 0 || observed_[2] > 0;
  expected_ = estimates_[0] + estimates_[1] + estimates_[2];
}

class MissLawLearner {
 public:
  MissLawLearner(const RainTable& depths, const ExpectedDepths& expected,
                 const Exclusions& excluded, double longest_dry_mm)
      : depths_(depths), expected_(expected), excluded_(excluded), longest_(longest_dry_mm) {}

  MissLaw learn(int threads) {
    const std::size_t gauges = depths_.gauge_count();
    std::vector<std::vector<MissBin>> counts(gauges, std::vector<MissBin>(kDepths * kWets * 2));
    parallel_for(gauges, threads, [&](std::size_t gauge) { count(gauge, counts[gauge]); });
    MissLaw law;
    for (const auto& of_gauge : counts) {
      for (std::size_t i = 0; i < of_gauge.size(); ++i) {
        law.bins_[i].windows += of_gauge[i].windows;
        law.bins_[i].dry += of_gauge[i].dry;
      }
    }
    shrink(law);
    for (std::size_t gauge = 0; gauge < gauges; ++gauge) {
      law.factors_.push_back(factor(counts[gauge], law));
    }
    return law;
  }

 private:
  struct Seen {
    std::size_t bin;
    bool dry;
  };

  void count(std::size_t gauge, std::vector<MissBin>& bins) const {
    DryMemory memory;
    std::vector<Seen> run;  // since the last rain
    double run_expected = 0;
    const auto flush = [&] {
      for (const Seen& seen : run) {
        if (run_expected > longest_) break;
        ++bins[seen.bin].windows;
        if (seen.dry) ++bins[seen.bin].dry;
      }
      run.clear();
      run_expected = 0;
    };
    for (std::size_t w = 0; w < depths_.step_count(); ++w) {
      const double observed = depths_.depth_mm(gauge, w);
      const double expected = expected_.depth_at(gauge, w);
      if (tells(observed, expected) && !excluded_.at(gauge, w)) {
        const bool dry = !(observed > 0);
        if (!dry) flush();
        run.push_back({index_of(expected, expected_.wet_at(gauge, w), memory.dry_before()), dry});
        if (dry) run_expected += expected;
        if (!dry) flush();
      }
      memory.push(observed, expected);
    }
    flush();
  }

  static void shrink(MissLaw& law) {
    std::array<std::array<double, kWets>, kDepths> parent{};
    for (std::size_t d = 0; d < kDepths; ++d) {
      double dry = 0;
      double windows = 0;
      for (std::size_t i = d * kWets * 2; i < (d + 1) * kWets * 2; ++i) {
        dry += static_cast<double>(law.bins_[i].dry);
        windows += static_cast<double>(law.bins_[i].windows);
      }
      const double by_depth = shrunk(dry, windows, 0.5);
      for (std::size_t w = 0; w < kWets; ++w) {
        const MissBin& wet = law.bins_[(d * kWets + w) * 2];
        const MissBin& after = law.bins_[(d * kWets + w) * 2 + 1];
        parent[d][w] = shrunk(static_cast<double>(wet.dry + after.dry),
                              static_cast<double>(wet.windows + after.windows), by_depth);
      }
    }
    for (std::size_t w = 0; w < kWets; ++w) {
      for (std::size_t before = 0; before < 2; ++before) shrink_column(law, parent, w, before);
    }
  }

  static void shrink_column(MissLaw& law,
                            const std::array<std::array<double, kWets>, kDepths>& parent,
                            std::size_t wet, std::size_t before) {
    std::vector<double> probability;
    std::vector<double> weight;
    for (std::size_t d = 0; d < kDepths; ++d) {
      const MissBin& bin = law.bins_[(d * kWets + wet) * 2 + before];
      const auto windows = static_cast<double>(bin.windows);
      probability.push_back(shrunk(static_cast<double>(bin.dry), windows, parent[d][wet]));
      weight.push_back(windows + 1);
    }
    make_falling(probability, weight);
    for (std::size_t d = 0; d < kDepths; ++d) {
      law.bins_[(d * kWets + wet) * 2 + before].probability = probability[d];
    }
  }

  static double factor(const std::vector<MissBin>& of_gauge, const MissLaw& law) {
    double dry = kGaugePrior;
    double expected = kGaugePrior;
    for (std::size_t i = 0; i < of_gauge.size(); ++i) {
      if (law.bins_[i].probability > kTelling) continue;
      dry += static_cast<double>(of_gauge[i].dry);
      expected += static_cast<double>(of_gauge[i].windows) * law.bins_[i].probability;
    }
    return std::clamp(dry / expected, 0.7, 4.0);
  }

  const RainTable& depths_;
  const ExpectedDepths& expected_;
  const Exclusions& excluded_;
  double longest_;
};

MissLaw::MissLaw() : bins_(kDepths * kWets * 2) {}

MissLaw MissLaw::learned(const RainTable& depths, const ExpectedDepths& expected,
                         const Exclusions& excluded, double longest_dry_mm, int threads) {
  return MissLawLearner(depths, expected, excluded, longest_dry_mm).learn(threads);
}

LawValues MissLaw::values() const {
  LawValues out;
  for (const MissBin& bin : bins_) {
    out.lists["windows"].push_back(static_cast<double>(bin.windows));
    out.lists["dry"].push_back(static_cast<double>(bin.dry));
    out.lists["probability"].push_back(bin.probability);
  }
  out.of_gauges["factor"] = {factors_, 1};
  return out;
}

MissLaw MissLaw::from(const LawValues& values) {
  MissLaw law;
  const std::size_t count = law.bins_.size();
  const auto& windows = values.list("windows", count, {0, kMostWindows});
  const auto& dry = values.list("dry", count, {0, kMostWindows});
  const auto& probability = values.list("probability", count, {kLeastFactor, 1});
  for (std::size_t i = 0; i < count; ++i)
    law.bins_[i] = {static_cast<std::size_t>(windows[i]), static_cast<std::size_t>(dry[i]),
                    probability[i]};
  law.factors_ = values.per_gauge("factor", {kLeastFactor, 1 / kLeastFactor});
  return law;
}

double MissLaw::nats(std::size_t gauge, double expected_mm, double wet_share,
                     bool dry_before) const {
  if (!(expected_mm >= kMissDepthEdgesMm[0])) return 0;
  const double factor = gauge < factors_.size() ? factors_[gauge] : 1;
  const double p = bins_[index_of(expected_mm, wet_share, dry_before)].probability * factor;
  return p >= 1 ? 0 : -portable_log(p);
}

}  // namespace gaugeloom
