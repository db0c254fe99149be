#pragma once
// A rain gauge and the network it belongs to.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct Gauge {
  std::string id;                 // as in the rain files; never empty
  std::string name;               // may be empty
  MetricPoint position;           // in the network's working CRS
  std::optional<LonLat> lon_lat;  // absent in a local CRS
  std::optional<double> elevation_m;
  double bucket_mm = 0.2;               // rain depth per tip, > 0
  double accuracy_percent = 5;          // class limit: 3, 5 or 10 (EN 17277:2019, from memory)
  std::optional<double> max_rate_mm_h;  // what the maker rates it for
  std::optional<double> siphon_ml;
  std::optional<Instant> opened;  // a reading before it or after `closed` is odd
  std::optional<Instant> closed;

  // What people call it: "name (id)", or the id alone.
  std::string label() const;
};

// A gauge that was moved or given another bucket: what held when.
struct GaugeHistory {
  std::size_t gauge = 0;    // its row in Network::gauges
  std::vector<Gauge> rows;  // two or more, by time; [opened, closed) do not overlap
};

// Gauges in the order of the file. Index in this vector = row in every table.
struct Network {
  std::vector<Gauge> gauges;
  std::vector<GaugeHistory> histories;  // of gauges with several rows; see gauge_history.hpp
  std::string working_crs;              // as WKT or an authority code; "local" = plain metres

  std::size_t size() const { return gauges.size(); }
  std::vector<MetricPoint> positions() const;
  // Row of a gauge, by linear search: for messages and tests, not for hot loops.
  std::optional<std::size_t> find(std::string_view id) const;
};

}  // namespace gaugeloom
