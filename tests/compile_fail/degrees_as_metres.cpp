#include "gaugeloom/geo/position.hpp"

double length_m() {
  const gaugeloom::MetricPoint here{1000, 2000};
#ifdef MISUSE
  const gaugeloom::LonLat there{7.5, 48.1};  // degrees are not metres
#else
  const gaugeloom::MetricPoint there{1500, 2500};
#endif
  return distance_m(here, there);
}
