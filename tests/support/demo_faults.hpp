#pragma once
// The faults planted in the invented basin, and what a gauge with them reports.

#include <span>

#include "support/demo_basin.hpp"

namespace gaugeloom::support {

std::vector<PlantedFault> planted_faults();

// Depths per step as the logger of gauge `gauge` stored them, NaN where nothing was stored.
std::vector<float> read_with_faults(std::vector<double> water_mm, double bucket_mm,
                                    std::size_t gauge, const StepAxis& axis,
                                    std::span<const PlantedFault> faults);

}  // namespace gaugeloom::support
