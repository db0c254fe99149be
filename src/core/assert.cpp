#include "gaugeloom/core/assert.hpp"

#include <cstdio>
#include <cstdlib>

namespace gaugeloom {

void assertion_failed(const char* rule, const char* file, int line) {
  std::fprintf(stderr, "%s:%d: broken rule: %s\n", file, line, rule);
  std::abort();
}

}  // namespace gaugeloom
