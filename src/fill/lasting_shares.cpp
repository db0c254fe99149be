#include "fill/lasting_shares_internal.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "fill/latent_field_internal.hpp"
#include "gaugeloom/core/normal_law.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr std::size_t kOrders = 4;
constexpr std::size_t kPlaces = 64;  // of a law, in equal shares
constexpr double kLeastMm = 1;       // lighter windows count for little
constexpr std::size_t kMostWindows = 8;
constexpr int kSweeps = 3;
constexpr int kHalvings = 8;

using Orders = std::array<double, kOrders>;

// The normalised Hermite polynomials of orders 1 to 4 at the middles of equal shares.
std::array<Orders, kPlaces> hermite_values() {
  std::array<Orders, kPlaces> values{};
  for (std::size_t i = 0; i < kPlaces; ++i) {
    const double z = normal_quantile((static_cast<double>(i) + 0.5) / kPlaces);
    const double z2 = z * z;
    values[i] = {z, (z2 - 1) / std::sqrt(2.0), z * (z2 - 3) / std::sqrt(6.0),
                 (z2 * (z2 - 6) + 3) / std::sqrt(24.0)};
  }
  return values;
}

struct UncertainStep {
  std::vector<NodePlace> places;  // per scale
  Orders moments{};
  double variance = 0;
};

struct Window {
  std::vector<UncertainStep> steps;
  double wanted_mm2 = 0;
};

Orders moments_of(const BandLaw& law) {
  static const std::array<Orders, kPlaces> hermite = hermite_values();
  Orders moments{};
  for (std::size_t i = 0; i < kPlaces; ++i) {
    const double depth_mm = law.quantile_mm((static_cast<double>(i) + 0.5) / kPlaces);
    for (std::size_t k = 0; k < kOrders; ++k) moments[k] += hermite[i][k] * depth_mm / kPlaces;
  }
  return moments;
}

double correlation(const UncertainStep& a, const UncertainStep& b, std::span<const double> shares) {
  double sum = 0;
  for (std::size_t scale = 1; scale < shares.size(); ++scale)  // the step's own part is alone
    sum += shares[scale] * correlation(a.places[scale], b.places[scale]);
  return sum;
}

double variance_mm2(const Window& window, std::span<const double> shares) {
  double sum = 0;
  for (std::size_t i = 0; i < window.steps.size(); ++i) {
    const UncertainStep& a = window.steps[i];
    sum += a.variance;
    for (std::size_t j = 0; j < i; ++j) {
      const UncertainStep& b = window.steps[j];
      const double together = correlation(a, b, shares);
      double power = 2;
      for (std::size_t k = 0; k < kOrders; ++k) {
        power *= together;
        sum += power * a.moments[k] * b.moments[k];
      }
    }
  }
  return sum;
}

double mean_ratio_of(std::span<const Window> windows, std::span<const double> shares) {
  double sum = 0;
  for (const Window& window : windows) sum += variance_mm2(window, shares) / window.wanted_mm2;
  return sum / static_cast<double>(windows.size());
}

class Windows {
 public:
  Windows(const FillResult& filled, std::size_t gauge, const StepLaws& laws,
          std::span<const std::chrono::seconds> scales)
      : filled_(filled), record_(filled.record), gauge_(gauge), laws_(laws), scales_(scales) {}

  std::vector<Window> of(std::span<const StepAxis::Range> runs, std::size_t length) const {
    std::vector<StepAxis::Range> pieces;
    for (const StepAxis::Range& run : runs)
      for (std::size_t first = run.first; 2 * (run.last - first) > length && first < run.last;
           first = std::min(run.last, first + length)) {
        const StepAxis::Range piece{first, std::min(run.last, first + length)};
        if (depth_mm(piece) >= kLeastMm) pieces.push_back(piece);
      }
    std::vector<Window> windows;
    const std::size_t kept = std::min(kMostWindows, pieces.size());
    for (std::size_t i = 0; i < kept; ++i)
      if (Window window = window_of(pieces[i * pieces.size() / kept]); window.wanted_mm2 > 0)
        windows.push_back(std::move(window));
    return windows;
  }

 private:
  double depth_mm(const StepAxis::Range& piece) const {
    double sum = 0;
    for (std::size_t s = piece.first; s < piece.last; ++s)
      sum += static_cast<double>(record_.depth.depth_mm(gauge_, s));
    return sum;
  }

  Window window_of(const StepAxis::Range& piece) const {
    const StepAxis& axis = record_.depth.axis();
    Window window;
    const double hours = axis.step_hours() * static_cast<double>(piece.last - piece.first);
    const double error_mm = filled_.errors.at(hours, depth_mm(piece)).standard_error_mm;
    window.wanted_mm2 = error_mm * error_mm;
    for (std::size_t s = piece.first; s < piece.last; ++s) {
      const std::optional<BandLaw> law = laws_.at(s);
      if (!law) continue;
      UncertainStep step;
      for (const std::chrono::seconds scale : scales_)
        step.places.push_back(node_place(axis.end(s), scale, axis.step()));
      step.moments = moments_of(*law);
      const double mean_mm = law->mean_mm();
      step.variance = law->mean_square_mm2() - mean_mm * mean_mm;
      window.steps.push_back(std::move(step));
    }
    return window;
  }

  const FillResult& filled_;
  const SeriesRecord& record_;
  std::size_t gauge_;
  const StepLaws& laws_;
  std::span<const std::chrono::seconds> scales_;
};

// Of what lasts beyond scale i - 1, the share that lasts beyond it.
std::vector<double> shares_of(std::span<const double> beyond) {
  std::vector<double> shares;
  double rest = 1;
  for (const double share : beyond) {
    shares.push_back(rest * (1 - share));
    rest *= share;
  }
  shares.push_back(rest);
  return shares;
}

}  // namespace

std::vector<double> lasting_shares(const FillResult& filled, std::size_t gauge,
                                   const StepLaws& laws, std::span<const StepAxis::Range> runs,
                                   std::span<const std::chrono::seconds> scales) {
  const Windows cut(filled, gauge, laws, scales);
  const std::chrono::seconds step = scales.front();
  std::vector<std::vector<Window>> windows;
  for (const std::chrono::seconds scale : scales.subspan(1))
    windows.push_back(cut.of(runs, static_cast<std::size_t>(scale / step)));
  std::vector<double> beyond(windows.size(), 0.5);
  for (int sweep = 0; sweep < kSweeps; ++sweep)
    for (std::size_t i = 0; i < windows.size(); ++i) {
      if (windows[i].empty()) continue;
      double from = 0;
      double to = 1;
      for (int halving = 0; halving < kHalvings; ++halving) {
        beyond[i] = (from + to) / 2;
        (mean_ratio_of(windows[i], shares_of(beyond)) < 1 ? from : to) = beyond[i];
      }
    }
  return shares_of(beyond);
}

}  // namespace gaugeloom::fill_internal
