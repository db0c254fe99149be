#include "option_groups.hpp"

#include <fmt/format.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

[[noreturn]] void misuse(const std::string& sentence) {
  throw Error(ErrorCode::invalid_option, sentence);
}

void declare_offset(OptionList& options, std::optional<std::chrono::minutes>& into) {
  options
      .add("utc-offset", "+HH:MM",
           "Offset from UTC of times that are written without one. Without this option and "
           "--time-zone they are taken as UTC, with a notice.")
      .set = [&into](const std::string& text) {
    into = parse_utc_offset(text);
    if (!into) misuse(fmt::format("--utc-offset {} is not an offset; write it like +01:00", text));
  };
}

void declare_time_zone(OptionList& options, std::optional<std::string>& into) {
  options.add("time-zone", "AREA/CITY", "Time zone of times that are written without an offset.")
      .set = [&into](const std::string& text) { into = text; };
}

std::chrono::seconds parse_step(const std::string& text) {
  const auto step = parse_duration(text);
  if (!step) misuse(fmt::format("--step {} is not a duration; write it like 15min or 1h", text));
  return *step;
}

void declare_step(OptionList& options, std::optional<std::chrono::seconds>& into) {
  options
      .add("step", "DURATION",
           "Length of a step: 5min, 15min, 1h, 1d. Without it, the largest step that fits all "
           "times found.")
      .set = [&into](const std::string& text) { into = parse_step(text); };
}

void declare_day_start(OptionList& options, std::chrono::minutes& into) {
  options.add("day-start", "HH:MM", "Time of day, in UTC, at which the rain day begins.", "00:00")
      .set = [&into](const std::string& text) {
    const auto parsed = parse_iso8601("2000-01-01T" + text);
    const auto midnight = std::chrono::sys_days{std::chrono::year{2000} / 1 / 1};
    if (text.size() != 5 || !parsed || parsed->utc() >= midnight + std::chrono::hours(24))
      misuse(fmt::format("--day-start {} is not a time of day; write it like 09:00", text));
    into = std::chrono::duration_cast<std::chrono::minutes>(parsed->utc() - midnight);
  };
}

}  // namespace

void NetworkInput::declare(OptionList& options) {
  options.heading("Gauges");
  options
      .path("gauges", "SOURCE", gauges,
            "The list of gauges: any vector source GDAL opens (CSV, GeoPackage, GeoJSON, "
            "Shapefile, PG:...). Fields: gauge (id), a point or lon,lat or x,y; optional name, "
            "elevation_m, bucket_mm, accuracy_percent, max_rate_mm_h, siphon_ml, opened, closed.")
      .required = true;
  options.text("layer", "NAME", layer, "Layer of the source, when it has several.");
  options.text("crs", "CRS", crs,
               "Coordinate reference system of a source that names none: EPSG:3035, WKT, or local "
               "for plain metres without a place on Earth. A CSV with lon,lat is EPSG:4326.");
  options.text("work-crs", "CRS", work_crs,
               "Metric CRS in which distances are computed. Without it: the CRS of the source when "
               "it is metric, else a Lambert azimuthal equal-area centred on the network.");
  options.toggle("strict", strict,
                 "Make errors of what is otherwise noticed and passed over: gauges in the series "
                 "or beside it that are not in the list, depths beyond the world record.");
}

GaugeReadOptions NetworkInput::read_options() const {
  GaugeReadOptions read;
  read.layer = layer;
  read.crs = crs;
  read.work_crs = work_crs;
  read.strict = strict;
  return read;
}

void RainInput::declare(OptionList& options, bool required) {
  options.heading("Rain");
  options
      .paths("rain", "PATH", rain,
             "Depths per step: a CSV file (or its gzip), a folder of them, or a pattern; may be "
             "given several times. Columns time,gauge,depth_mm[,quality][,since], or "
             "time,<gauge>,<gauge>,...")
      .required = required;
  options.choice<DepthUnit>("unit", unit, {{"mm", DepthUnit::mm}, {"in", DepthUnit::inch}},
                            "Unit of the depths. With in the column is depth_in.");
  options.choice<AbsentRow>("absent", absent,
                            {{"missing", AbsentRow::missing}, {"zero", AbsentRow::zero}},
                            "What a step without a row means; zero, for sources that write wet "
                            "steps only, needs --step.");
  declare_offset(options, utc_offset);
  declare_time_zone(options, time_zone);
  options.choice<StepLabel>("label", label, {{"end", StepLabel::end}, {"start", StepLabel::start}},
                            "Which end of its step a time marks.");
  declare_step(options, step);
  declare_day_start(options, day_start);
  options.table("quality_codes", quality_codes,
                "Words of the column quality, each with one of ours: good, unchecked, suspect, "
                "poor, estimate, missing.");
}

RainReadOptions RainInput::read_options(bool strict, int threads) const {
  RainReadOptions read;
  read.unit = unit;
  read.absent = absent;
  read.utc_offset = utc_offset;
  read.time_zone = time_zone;
  read.label = label;
  read.step = step;
  read.strict = strict;
  read.threads = threads;
  for (const auto& [code, ours] : quality_codes) {
    const std::optional<Quality> quality = parse_quality(ours);
    if (!quality)
      misuse(
          fmt::format("quality_codes: {} = {} is not a quality; use good, unchecked, suspect, "
                      "poor, estimate or missing",
                      code, ours));
    read.quality_codes[code] = *quality;
  }
  if (const auto problem = read.problem()) misuse(*problem);
  return read;
}

OptionSpec& TipInput::declare_files(OptionList& options) {
  options.heading("Tips");
  return options.paths(
      "tips", "PATH", tips,
      "Raw tips, one row per turn of a bucket: a CSV file (or its gzip), a folder of them, "
      "or a pattern; may be given several times. Columns time,gauge[,counter]; counter "
      "names which switch of a bucket with two of them it was.");
}

void TipInput::declare(OptionList& options) {
  declare_files(options).required = true;
  declare_offset(options, utc_offset);
  declare_time_zone(options, time_zone);
  options
      .add("step", "DURATION",
           "Length of a step of rain.csv, from 1min to 1d; a day is a whole number of them.",
           format_duration(step))
      .set = [this](const std::string& text) { step = parse_step(text); };
  declare_day_start(options, day_start);
}

TipReadOptions TipInput::read_options(bool strict, int threads) const {
  TipReadOptions read;
  read.utc_offset = utc_offset;
  read.time_zone = time_zone;
  read.strict = strict;
  read.threads = threads;
  if (const auto problem = read.problem()) misuse(*problem);
  return read;
}

void VariogramInput::declare(OptionList& options) {
  options.heading("Variogram");
  options.choice<VariogramShape>("variogram", shape,
                                 {{"spherical", VariogramShape::spherical},
                                  {"exponential", VariogramShape::exponential},
                                  {"gaussian", VariogramShape::gaussian},
                                  {"matern", VariogramShape::matern}},
                                 "Shape of the variogram. Every part of the variogram that is left "
                                 "out is fitted to the record.");
  options.real("nugget", "MM2", nugget_mm2, {0, 1e9}, "Nugget in mm2.");
  options.real("partial-sill", "MM2", partial_sill_mm2, {0, 1e9},
               "Sill without the nugget, in mm2.");
  options.real("range-km", "KM", range_km, {0.001, 20000},
               "The model's own range parameter in km: the e-folding distance of the exponential.");
  options.real("smoothness", "NUMBER", smoothness, {0.1, 10}, "Smoothness of the matern shape.");
}

VariogramParts VariogramInput::parts() const {
  VariogramParts parts{shape, nugget_mm2, partial_sill_mm2, std::nullopt, smoothness};
  if (range_km) parts.range_m = 1000 * *range_km;
  return parts;
}

SurfaceOptions MethodInput::surface(const Variogram& variogram, std::size_t gauges) const {
  SurfaceOptions options;
  options.method = method;
  options.neighbours = neighbours.value_or(usual_surface_neighbours(gauges));
  options.power = power;
  options.negative_weights = negative_weights;
  options.variogram = variogram;
  return options;
}

std::string neighbour_words(int neighbours, const std::string& all) {
  return neighbours == 0 ? all : fmt::format("the nearest {} gauges", neighbours);
}

void MethodInput::declare(OptionList& options) {
  options.heading("Interpolation");
  options.choice<InterpolationMethod>("method", method,
                                      {{"idw", InterpolationMethod::inverse_distance},
                                       {"ok", InterpolationMethod::ordinary_kriging}},
                                      "idw: inverse distance weights; ok: ordinary kriging.");
  options.real("power", "NUMBER", power, {0.1, 10}, "Power of the distance in idw.");
  OptionSpec& nearest =
      options.add("neighbours", "N|all", "Nearest gauges with a value that an estimate uses.",
                  neighbours ? fmt::format("{}", *neighbours) : "all of up to 128 gauges, else 12");
  nearest.set = [this](const std::string& text) {
    neighbours = text == "all" ? 0 : parse_whole("neighbours", text);
    if (text != "all" && (*neighbours < 1 || *neighbours > 1024))
      misuse(fmt::format("--neighbours {} is out of range; give a number from 1 to 1024, or all",
                         text));
  };
  options.choice<NegativeWeights>(
      "negative-weights", negative_weights,
      {{"keep", NegativeWeights::keep}, {"drop", NegativeWeights::drop}},
      "Whether negative kriging weights are kept, or set to 0 and the "
      "rest rescaled.");
}

OptionSpec& declare_instant(OptionList& options, const std::string& name,
                            std::optional<Instant>& into, const std::string& help) {
  OptionSpec& spec = options.add(name, "TIME", help);
  spec.set = [&into, name](const std::string& text) {
    const auto parsed = parse_iso8601(text);
    if (!parsed)
      misuse(fmt::format("--{} {} is not a time; write it like 2021-03-04T10:00Z", name, text));
    into = parsed->utc();
  };
  return spec;
}

}  // namespace gaugeloom
