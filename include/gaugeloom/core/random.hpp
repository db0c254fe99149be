#pragma once
// Seeded random numbers that are the same with every standard library.

#include <cstdint>
#include <random>
#include <string_view>

namespace gaugeloom {

class Random {
 public:
  explicit Random(std::uint64_t seed) : engine_(seed) {}
  explicit Random(std::string_view name);  // seeded from the hash of a name

  double uniform();                        // in [0, 1)
  double uniform(double from, double to);  // in [from, to)
  std::size_t below(std::size_t count);    // in 0 .. count-1; count is 1 or more
  double normal();                         // mean 0, standard deviation 1 (sum of 12 uniforms - 6,
                                           // so that no library function decides the bytes)
  double exponential(double mean);         // mean > 0
  bool chance(double probability) { return uniform() < probability; }

 private:
  std::mt19937_64 engine_;
};

}  // namespace gaugeloom
