#include "support/reference_rain.hpp"

#include <zlib.h>

#include <cmath>
#include <fstream>
#include <limits>
#include <map>
#include <numbers>
#include <sstream>
#include <stdexcept>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom::support {
namespace {

std::vector<std::string> fields(const std::string& line) {
  std::vector<std::string> out;
  std::stringstream stream(line);
  for (std::string field; std::getline(stream, field, ',');) out.push_back(field);
  if (!line.empty() && line.back() == ',') out.emplace_back();
  return out;
}

std::string unzipped(const std::string& path) {
  gzFile file = gzopen(path.c_str(), "rb");
  if (file == nullptr) throw std::runtime_error("cannot open " + path);
  std::string text;
  char block[1 << 16];
  for (int got = gzread(file, block, sizeof block); got > 0;
       got = gzread(file, block, sizeof block)) {
    text.append(block, static_cast<std::size_t>(got));
  }
  gzclose(file);
  return text;
}

Network network_of(const std::string& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot open " + path);
  Network network;
  network.working_crs = "local";
  std::string line;
  std::getline(file, line);
  double lon = 0;
  double lat = 0;
  while (std::getline(file, line)) {
    const auto parts = fields(line);
    Gauge gauge;
    gauge.id = parts.at(0);
    gauge.name = parts.at(1);
    gauge.lon_lat = LonLat{std::stod(parts.at(2)), std::stod(parts.at(3))};
    lon += gauge.lon_lat->lon_deg;
    lat += gauge.lon_lat->lat_deg;
    network.gauges.push_back(gauge);
  }
  lon /= static_cast<double>(network.size());
  lat /= static_cast<double>(network.size());
  constexpr double kMetresPerDegree = 111195;
  const double shrink = std::cos(lat * std::numbers::pi / 180);
  for (Gauge& gauge : network.gauges) {
    gauge.position = {(gauge.lon_lat->lon_deg - lon) * kMetresPerDegree * shrink,
                      (gauge.lon_lat->lat_deg - lat) * kMetresPerDegree};
  }
  return network;
}

}  // namespace

ReferenceRain reference_rain(const std::string& set, std::chrono::seconds step) {
  const std::string folder = std::string(GAUGELOOM_TEST_DATA) + "/reference/data/" + set;
  ReferenceRain out;
  out.network = network_of(folder + "/gauges.csv");
  std::stringstream text(unzipped(folder + "/rain.csv.gz"));
  std::string line;
  std::getline(text, line);
  const auto header = fields(line);
  std::vector<Instant> times;
  std::vector<std::vector<std::string>> rows;
  while (std::getline(text, line)) {
    rows.push_back(fields(line));
    times.push_back(parse_iso8601(rows.back().at(0)).value().utc());
  }
  const auto count = static_cast<std::size_t>((times.back() - times.front()) / step) + 1;
  out.table = RainTable(StepAxis(times.front(), step, count), out.network.size());
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const std::size_t i = out.table.axis().ending_at(times[r]).value();
    for (std::size_t c = 1; c < header.size(); ++c) {
      if (rows[r].at(c).empty()) continue;
      out.table.set(out.network.find(header[c]).value(), i, std::stof(rows[r][c]));
    }
  }
  return out;
}

}  // namespace gaugeloom::support
