#pragma once
// Options that several commands share, and what they become in the library.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/depth_variogram.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/interp/surface.hpp"
#include "gaugeloom/interp/variogram.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/io/tip_reader.hpp"
#include "option_list.hpp"

namespace gaugeloom {

// The list of gauges.
struct NetworkInput {
  std::string gauges, layer, crs, work_crs;
  bool strict = false;

  void declare(OptionList& options);
  GaugeReadOptions read_options() const;
};

// The depth series. Declare after NetworkInput, whose --strict it shares.
struct RainInput {
  std::vector<std::string> rain;
  DepthUnit unit = DepthUnit::mm;
  AbsentRow absent = AbsentRow::missing;
  std::optional<std::chrono::minutes> utc_offset;
  std::optional<std::string> time_zone;
  StepLabel label = StepLabel::end;
  std::optional<std::chrono::seconds> step;
  std::chrono::minutes day_start{0};  // after 00:00 UTC
  std::map<std::string, std::string> quality_codes;

  void declare(OptionList& options, bool required = true);
  // Throws Error{invalid_option} for a word of [quality_codes] that is none of ours, and for what
  // the library's own options refuse.
  RainReadOptions read_options(bool strict, int threads) const;
};

// Raw tips and the steps they are turned into. Declare after NetworkInput, whose --strict it
// shares.
struct TipInput {
  std::vector<std::string> tips;
  std::optional<std::chrono::minutes> utc_offset;
  std::optional<std::string> time_zone;
  std::chrono::seconds step{300};
  std::chrono::minutes day_start{0};  // after 00:00 UTC

  void declare(OptionList& options);
  // The files alone; nothing says yet that they are required.
  OptionSpec& declare_files(OptionList& options);
  // Throws Error{invalid_option} for what the library's own options refuse.
  TipReadOptions read_options(bool strict, int threads) const;
};

// A variogram: every part left out is fitted to the record.
struct VariogramInput {
  std::optional<VariogramShape> shape;
  std::optional<double> nugget_mm2, partial_sill_mm2, range_km, smoothness;

  void declare(OptionList& options);
  VariogramParts parts() const;
};

// How to interpolate.
struct MethodInput {
  InterpolationMethod method = InterpolationMethod::ordinary_kriging;
  double power = 2;
  std::optional<int> neighbours;  // 0 = all; not given: usual_surface_neighbours()
  NegativeWeights negative_weights = NegativeWeights::keep;

  // The values at the time of the call are the defaults.
  void declare(OptionList& options);
  // Of a map of so many gauges.
  SurfaceOptions surface(const Variogram& variogram, std::size_t gauges) const;
};

// "the nearest 16 gauges", or `all` for 0.
std::string neighbour_words(int neighbours, const std::string& all);

// Declares an option for an instant; "2021-03-04T10:00Z"; without an offset it is UTC.
OptionSpec& declare_instant(OptionList& options, const std::string& name,
                            std::optional<Instant>& into, const std::string& help);

}  // namespace gaugeloom
