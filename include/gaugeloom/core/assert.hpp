#pragma once
// Asserts for our own bugs: live unless NDEBUG, that is in the presets dev and asan.

namespace gaugeloom {

// Prints the broken rule and aborts.
[[noreturn]] void assertion_failed(const char* rule, const char* file, int line);

}  // namespace gaugeloom

#ifdef NDEBUG
#define GAUGELOOM_ASSERT(rule) static_cast<void>(0)
#else
#define GAUGELOOM_ASSERT(rule) \
  ((rule) ? static_cast<void>(0) : ::gaugeloom::assertion_failed(#rule, __FILE__, __LINE__))
#endif
