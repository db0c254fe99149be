#include "gaugeloom/io/gauge_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <memory>

#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/text_check_internal.hpp"
#include "io/vector_source_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kSameSpotM = 0.5;  // our choice: closer than two funnels can stand

struct Fields {
  int gauge, name, elevation, bucket, accuracy, max_rate, siphon, opened, closed, x, y;
};

// A row of the source, before histories are joined.
struct GaugeRow {
  Gauge gauge;
  CrsPoint point;
  std::string place;  // "line 7"
  long line = 0;
};

// Where the positions come from, and in which CRS.
struct Positions {
  bool from_geometry = false;
  std::string crs;
};

std::optional<double> number_within(const VectorRow& row, int field, const char* name, double least,
                                    double most) {
  const auto value = row.number(field);
  if (value && (*value < least || *value > most))
    row.fail(
        fmt::format("{} {} is out of range ({} to {}); check the unit", name, *value, least, most));
  return value;
}

std::optional<Instant> time_of(const VectorRow& row, int field, const char* name) {
  auto text = row.text(field);
  if (!text) return std::nullopt;
  std::replace(text->begin(), text->end(), '/', '-');  // how GDAL writes a date field
  const auto parsed = parse_iso8601(*text);
  if (!parsed)
    row.fail(
        fmt::format("{} in the field {} is not a time; write it like 2019-04-01 or "
                    "2019-04-01T09:00Z",
                    quoted_for_message(*text), name));
  return parsed->utc();
}

Gauge read_gauge(const VectorRow& row, const Fields& fields) {
  Gauge gauge;
  const auto id = row.text(fields.gauge);
  if (!id) row.fail("the field gauge is empty; give every gauge an id");
  gauge.id = *id;
  gauge.name = row.text(fields.name).value_or("");
  gauge.elevation_m = number_within(row, fields.elevation, "elevation_m", -500, 9000);
  gauge.bucket_mm =
      number_within(row, fields.bucket, "bucket_mm", 0.001, 10).value_or(gauge.bucket_mm);
  gauge.accuracy_percent = number_within(row, fields.accuracy, "accuracy_percent", 0.001, 100)
                               .value_or(gauge.accuracy_percent);
  gauge.max_rate_mm_h = number_within(row, fields.max_rate, "max_rate_mm_h", 1, 10000);
  gauge.siphon_ml = number_within(row, fields.siphon, "siphon_ml", 0, 1000);
  gauge.opened = time_of(row, fields.opened, "opened");
  gauge.closed = time_of(row, fields.closed, "closed");
  if (gauge.opened && gauge.closed && *gauge.closed <= *gauge.opened)
    row.fail(fmt::format("gauge {} is closed before it is opened; swap the two times", gauge.id));
  return gauge;
}

CrsPoint geometry_point(const VectorRow& row) {
  const OGRGeometry* geometry = row.geometry();
  if (geometry == nullptr || geometry->IsEmpty())
    row.fail("the gauge has no position; give every gauge a point");
  OGRwkbGeometryType type = wkbFlatten(geometry->getGeometryType());
  if (type == wkbMultiPoint && geometry->toMultiPoint()->getNumGeometries() == 1) {
    geometry = geometry->toMultiPoint()->getGeometryRef(0);
    type = wkbPoint;
  }
  if (type != wkbPoint)
    row.fail(fmt::format("the position is a {}; a gauge stands on one point",
                         geometry->getGeometryName()));
  return {geometry->toPoint()->getX(), geometry->toPoint()->getY()};
}

CrsPoint read_point(const VectorRow& row, const Fields& fields, const Positions& positions) {
  if (positions.from_geometry) return geometry_point(row);
  const auto x = row.number(fields.x);
  const auto y = row.number(fields.y);
  if (!x || !y) row.fail("the gauge has no position; give both coordinates");
  return {*x, *y};
}

// Which CRS counts when the source names one and the caller another.
std::string settle_crs(const std::string& own, const GaugeReadOptions& options,
                       const std::string& file, std::vector<std::string>& notices) {
  if (options.crs.empty() || options.crs == own) return own;
  if (own.empty()) return options.crs;
  if (options.crs != kLocalCrs && CrsTransform(own, options.crs).is_identity()) return own;
  const std::string sentence =
      fmt::format("the positions are in {} already, so --crs {} is not used; leave it out",
                  describe_crs(own).name, options.crs);
  if (options.strict) throw Error(ErrorCode::inconsistent_input, sentence, {file});
  notices.push_back(fmt::format("{}: {}", file, sentence));
  return own;
}

Positions find_positions(const VectorSource& source, Fields& fields,
                         const GaugeReadOptions& options, std::vector<std::string>& notices) {
  Positions positions;
  std::string own;
  if (source.has_geometry()) {
    positions.from_geometry = true;
    own = source.crs();
  } else if (source.field("lon") >= 0 && source.field("lat") >= 0) {
    fields.x = source.field("lon");
    fields.y = source.field("lat");
    own = kLonLatCrs;
  } else {
    fields.x = source.field("x");
    fields.y = source.field("y");
    if (fields.x < 0 || fields.y < 0)
      throw Error(ErrorCode::malformed_input,
                  fmt::format("there are no positions: neither points nor the fields lon,lat or "
                              "x,y (found: {})",
                              source.field_names()),
                  {source.shown()});
  }
  positions.crs = settle_crs(own, options, source.shown(), notices);
  if (positions.crs.empty())
    throw Error(ErrorCode::unsupported_crs,
                "the source does not name the CRS of its positions; name it with --crs (local for "
                "plain metres)",
                {source.shown()});
  return positions;
}

Fields find_fields(const VectorSource& source) {
  Fields fields{source.field("gauge"),
                source.field("name"),
                source.field("elevation_m"),
                source.field("bucket_mm"),
                source.field("accuracy_percent"),
                source.field("max_rate_mm_h"),
                source.field("siphon_ml"),
                source.field("opened"),
                source.field("closed"),
                -1,
                -1};
  if (fields.gauge < 0)
    throw Error(ErrorCode::malformed_input,
                fmt::format("there is no field gauge with the ids (found: {}); rename the one that "
                            "holds them",
                            source.field_names()),
                {source.shown()});
  return fields;
}

// Bad coordinates are reported with their row, before anything is computed from them.
void check_place(const CrsTransform& to_degrees, const VectorRow& row, const GaugeRow& read) {
  try {
    to_degrees.forward(read.point);
  } catch (const Error& error) {
    if (error.code() == ErrorCode::malformed_input)
      row.fail(fmt::format("gauge {}: {}", read.gauge.id, error.what()));
    throw Error(error.code(),
                fmt::format("gauge {} ({}): {}", read.gauge.id, read.place, error.what()));
  }
}

std::vector<GaugeRow> read_rows(VectorSource& source, const Fields& fields,
                                const Positions& positions) {
  const CrsTransform to_degrees(positions.crs, positions.crs == kLocalCrs ? kLocalCrs : kLonLatCrs);
  std::vector<GaugeRow> rows;
  while (const auto row = source.next()) {
    GaugeRow read{read_gauge(*row, fields), read_point(*row, fields, positions), row->place(),
                  row->line()};
    check_place(to_degrees, *row, read);
    rows.push_back(std::move(read));
  }
  return rows;
}

using History = std::vector<GaugeRow>;  // the rows of one gauge, by time

std::string period_text(const Gauge& gauge) {
  return fmt::format("{} to {}", gauge.opened ? format_utc(*gauge.opened) : "always",
                     gauge.closed ? format_utc(*gauge.closed) : "now");
}

void sort_history(History& history, const std::string& file) {
  if (history.size() == 1) return;
  for (const GaugeRow& row : history) {
    if (row.gauge.opened || row.gauge.closed) continue;
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("gauge {} stands twice in the list ({} and {}); keep one, or give both "
                            "rows opened and closed",
                            row.gauge.id, history[0].place, history[1].place),
                {file, history[1].line, 0});
  }
  std::stable_sort(history.begin(), history.end(), [](const GaugeRow& a, const GaugeRow& b) {
    return a.gauge.opened.value_or(Instant::min()) < b.gauge.opened.value_or(Instant::min());
  });
  for (std::size_t i = 1; i < history.size(); ++i) {
    const GaugeRow& before = history[i - 1];
    const GaugeRow& row = history[i];
    if (before.gauge.closed && row.gauge.opened && *before.gauge.closed <= *row.gauge.opened)
      continue;
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("gauge {} is open twice at a time: {} says {}, {} says {}; let one row "
                            "close before the next opens",
                            row.gauge.id, before.place, period_text(before.gauge), row.place,
                            period_text(row.gauge)),
                {file, row.line, 0});
  }
}

// One entry per gauge, in the order of their first rows.
std::vector<History> join_histories(std::vector<GaugeRow> rows, const std::string& file) {
  std::vector<History> joined;
  std::map<std::string, std::size_t> known;
  for (GaugeRow& row : rows) {
    const auto [at, is_new] = known.emplace(row.gauge.id, joined.size());
    if (is_new) joined.emplace_back();
    joined[at->second].push_back(std::move(row));
  }
  for (History& history : joined) sort_history(history, file);
  return joined;
}

void notice_shared_spots(const Network& network, const std::string& file,
                         std::vector<std::string>& notices) {
  const GaugeIndex index(network.positions());
  std::size_t pairs = 0;
  std::string first;
  for (std::size_t i = 0; i < network.size(); ++i)
    for (const Neighbour& other : index.within(network.gauges[i].position, kSameSpotM)) {
      if (other.index <= i) continue;
      if (pairs++ == 0)
        first = fmt::format("{} and {}", network.gauges[i].id, network.gauges[other.index].id);
    }
  if (pairs > 0)
    notices.push_back(
        fmt::format("{}: {} pairs of gauges stand on one spot ({}{}); they are used as two gauges",
                    file, pairs, first, pairs > 1 ? ", ..." : ""));
}

Network place_gauges(const std::vector<History>& histories, const Positions& positions,
                     const std::string& work_crs) {
  std::vector<CrsPoint> points;
  for (const History& history : histories)
    for (const GaugeRow& row : history) points.push_back(row.point);
  const Placement placed = place_in_work_crs(points, positions.crs, work_crs);
  Network network;
  network.working_crs = placed.working_crs;
  std::size_t next = 0;
  for (const History& history : histories) {
    std::vector<Gauge> rows;
    for (const GaugeRow& row : history) {
      rows.push_back(row.gauge);
      rows.back().position = placed.positions[next];
      if (!placed.lon_lat.empty()) rows.back().lon_lat = placed.lon_lat[next];
      ++next;
    }
    network.gauges.push_back(rows.back());
    network.gauges.back().opened = rows.front().opened;
    if (rows.size() > 1) network.histories.push_back({network.size() - 1, std::move(rows)});
  }
  return network;
}

}  // namespace

Network read_gauges(const std::string& source, const GaugeReadOptions& options,
                    std::vector<std::string>& notices) {
  VectorSource layer(source, options.layer);
  Fields fields = find_fields(layer);
  const Positions positions = find_positions(layer, fields, options, notices);
  const auto gauges = join_histories(read_rows(layer, fields, positions), layer.shown());
  if (gauges.size() < options.fewest)
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("the list holds {} gauges; at least {} are needed to compare them",
                            gauges.size(), options.fewest),
                {layer.shown()});
  Network network = place_gauges(gauges, positions, options.work_crs);
  notice_shared_spots(network, layer.shown(), notices);
  return network;
}

}  // namespace gaugeloom
