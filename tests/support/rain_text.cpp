#include "support/rain_text.hpp"

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom::support {

Network network_of(const std::vector<std::string>& ids) {
  Network network;
  network.working_crs = "local";
  for (const std::string& id : ids) {
    Gauge gauge;
    gauge.id = id;
    gauge.position = {1000.0 * static_cast<double>(network.size()), 0};
    network.gauges.push_back(gauge);
  }
  return network;
}

std::string RainFromText::depths(const Network& network) const {
  std::string text;
  for (std::size_t g = 0; g < record.depths.gauge_count(); ++g) {
    text += network.gauges[g].id + ":";
    for (std::size_t s = 0; s < record.depths.step_count(); ++s)
      text += record.depths.is_measured(g, s) ? fmt::format(" {}", record.depths.depth_mm(g, s))
                                              : std::string(" -");
    text += '\n';
  }
  return text;
}

RainFromText rain_of(std::string_view text, const Network& network,
                     const RainReadOptions& options) {
  RainFromText read;
  read.record = parse_rain(text, "rain.csv", network, options, read.notices);
  return read;
}

std::string rain_refusal(std::string_view text, const Network& network,
                         const RainReadOptions& options) {
  try {
    rain_of(text, network, options);
  } catch (const Error& error) {
    return error.what();
  }
  return "accepted";
}

}  // namespace gaugeloom::support
