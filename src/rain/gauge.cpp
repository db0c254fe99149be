#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

std::string Gauge::label() const {
  return name.empty() || name == id ? id : name + " (" + id + ")";
}

std::vector<MetricPoint> Network::positions() const {
  std::vector<MetricPoint> points;
  points.reserve(gauges.size());
  for (const Gauge& gauge : gauges) points.push_back(gauge.position);
  return points;
}

std::optional<std::size_t> Network::find(std::string_view id) const {
  for (std::size_t i = 0; i < gauges.size(); ++i)
    if (gauges[i].id == id) return i;
  return std::nullopt;
}

}  // namespace gaugeloom
