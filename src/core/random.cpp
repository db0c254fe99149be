#include "gaugeloom/core/random.hpp"

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {

Random::Random(std::string_view name) : engine_(hash_bytes(name)) {}

double Random::uniform() { return static_cast<double>(engine_() >> 11) * 0x1.0p-53; }

double Random::uniform(double from, double to) { return from + (to - from) * uniform(); }

std::size_t Random::below(std::size_t count) {
  GAUGELOOM_ASSERT(count > 0);
  return static_cast<std::size_t>(uniform() * static_cast<double>(count));
}

double Random::normal() {
  double sum = -6.0;
  for (int i = 0; i < 12; ++i) sum += uniform();
  return sum;
}

double Random::exponential(double mean) { return -mean * portable_log(1.0 - uniform()); }

}  // namespace gaugeloom
