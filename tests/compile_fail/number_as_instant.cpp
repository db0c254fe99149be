#include "gaugeloom/time/instant.hpp"

gaugeloom::Interval hour() {
#ifdef MISUSE
  return {0, 3600};  // seconds since when?
#else
  return {gaugeloom::Instant{}, gaugeloom::Instant{std::chrono::hours{1}}};
#endif
}
