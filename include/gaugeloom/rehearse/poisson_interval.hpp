#pragma once
// How often something happens that was counted only now and then.

#include <cstddef>

namespace gaugeloom {

struct RateInterval {
  double rate = 0;  // count / exposure
  double low = 0;   // NaN, all three, without exposure
  double high = 0;
};

// The exact 95 % interval of a Poisson rate from `count` events over `exposure`: the rates at which
// so many or more, and so many or fewer, have probability 2.5 %.
// Source: F. Garwood, Biometrika 28, 1936. Requires exposure >= 0. Cost: some hundred sums of
// `count` terms.
RateInterval poisson_interval(std::size_t count, double exposure);

}  // namespace gaugeloom
