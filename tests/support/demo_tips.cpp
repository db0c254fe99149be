#include "support/demo_tips.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <tuple>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom::support {
namespace {

constexpr std::uint64_t kSeed = 20230606;
constexpr double kBucketMm = 0.2;
constexpr double kLossS = 0.45;
constexpr double kMlPerMm = 31.4159;  // funnel of 200 mm

// "V05" stands in row 4.
constexpr std::size_t row(int number) { return static_cast<std::size_t>(number - 1); }

struct TipGauge {
  std::size_t gauge;
  double bucket_mm = kBucketMm;  // what really turns it
  double loss_s = kLossS;
  double siphon_ml = 0;
};

constexpr TipGauge kGauges[] = {
    {row(5), kBucketMm, 0.7},    {row(10)}, {row(14)},      {row(21)}, {row(26)},
    {row(32), kBucketMm, 0, 12}, {row(34)}, {row(37), 0.21}};

Instant at(const char* text) {
  const auto parsed = parse_iso8601(text);
  if (!parsed) throw Error(ErrorCode::invalid_option, std::string("no time: ") + text);
  return parsed->utc();
}

// Seconds since the axis begins at which the bucket turns.
std::vector<double> turns(std::span<const double> water_mm, double step_s, const TipGauge& gauge) {
  std::vector<double> times;
  double held_mm = 0;
  double now = 0;
  for (std::size_t step = 0; step < water_mm.size(); ++step) {
    const double end = static_cast<double>(step + 1) * step_s;
    const double mm_per_s = water_mm[step] / step_s;
    now = std::max(now, static_cast<double>(step) * step_s);
    while (mm_per_s > 0 && now < end) {
      const double full = now + (gauge.bucket_mm - held_mm) / mm_per_s;
      if (full > end) {
        held_mm += (end - now) * mm_per_s;
        break;
      }
      times.push_back(full);
      held_mm = 0;
      now = full + gauge.loss_s;  // what falls while it turns is lost
    }
  }
  return times;
}

// A siphon lets its chamber go at once, 1 ml a second, and the more it rains the less gets through.
std::vector<double> siphon_turns(std::span<const double> water_mm, double step_s,
                                 const TipGauge& gauge) {
  const double chamber_mm = gauge.siphon_ml / kMlPerMm;
  const TipGauge chamber{gauge.gauge, chamber_mm, 0};
  std::vector<double> times;
  double held_mm = 0;
  for (const double full : turns(water_mm, step_s, chamber)) {
    const auto step = std::min(static_cast<std::size_t>(full / step_s), water_mm.size() - 1);
    const double mm_h = 3600 * water_mm[step] / step_s;
    const double passed_mm = chamber_mm / (1 + 0.0002 * mm_h);
    for (double need_mm = kBucketMm - held_mm; need_mm <= passed_mm; need_mm += kBucketMm)
      times.push_back(full + need_mm / passed_mm * gauge.siphon_ml);
    held_mm = std::fmod(held_mm + passed_mm, kBucketMm);
  }
  return times;
}

class TipLog {
 public:
  explicit TipLog(Instant begin) : begin_(begin) {}

  void write(std::size_t gauge, double since_s, const char* counter, bool whole = false) {
    const auto hundredths = static_cast<std::int64_t>(std::floor(since_s * 100));
    Instant t = begin_ + std::chrono::milliseconds(10 * hundredths);
    if (whole) t = std::chrono::floor<std::chrono::seconds>(t);
    tips.push_back({t, gauge, counter, whole});
  }
  void write_evenly(std::size_t gauge, const Interval& over, int count) {
    for (int i = 0; i < count; ++i) {
      const double share = (i + 0.5) / count;
      write(gauge,
            1e-6 * (static_cast<double>((over.from - begin_).count()) +
                    share * static_cast<double>(over.length().count())),
            "logger");
    }
  }

  std::vector<DemoTip> tips;

 private:
  Instant begin_;
};

// What the counters of a gauge make of the turns of its bucket.
void log_turns(const TipGauge& gauge, std::span<const double> times, Random& random, TipLog& log) {
  for (const double t : times) {
    log.write(gauge.gauge, t, "logger", gauge.gauge == row(10));
    if (gauge.gauge == row(14)) {
      if (random.chance(0.02)) log.write(gauge.gauge, t + random.uniform(0.03, 0.2), "logger");
      log.write(gauge.gauge, t, "telemetry");
    }
    if (gauge.gauge == row(21) && !random.chance(0.10))  // its clock is 1.2 s fast
      log.write(gauge.gauge, t + 1.2, "telemetry");
    if (gauge.gauge == row(34) && random.chance(0.02)) log.write(gauge.gauge, t, "logger");
  }
}

void lose(std::vector<DemoTip>& tips, std::size_t gauge, const char* counter, const char* from,
          const char* to) {
  std::erase_if(tips, [&](const DemoTip& tip) {
    return tip.gauge == gauge && tip.counter == counter && tip.time >= at(from) &&
           tip.time < at(to);
  });
}

std::string stamp(const DemoTip& tip) {
  const std::string second = format_utc(std::chrono::floor<std::chrono::seconds>(tip.time));
  if (tip.whole_seconds) return second;
  const auto us = (tip.time - std::chrono::floor<std::chrono::seconds>(tip.time)).count();
  return fmt::format("{}.{:02}Z", second.substr(0, 19), us / 10000);
}

}  // namespace

std::vector<std::size_t> demo_tip_gauges() {
  std::vector<std::size_t> rows;
  for (const TipGauge& gauge : kGauges) rows.push_back(gauge.gauge);
  return rows;
}

double demo_siphon_ml(std::size_t gauge) {
  for (const TipGauge& one : kGauges)
    if (one.gauge == gauge) return one.siphon_ml;
  return 0;
}

std::vector<DemoTip> demo_tips(const std::vector<double>& water_mm, const StepAxis& axis) {
  const auto step_s = static_cast<double>(axis.step().count());
  TipLog log(axis.span().from);
  for (const TipGauge& gauge : kGauges) {
    const auto water = std::span(water_mm).subspan(gauge.gauge * axis.count(), axis.count());
    const auto times =
        gauge.siphon_ml > 0 ? siphon_turns(water, step_s, gauge) : turns(water, step_s, gauge);
    Random random(mix_bits(kSeed + gauge.gauge));
    log_turns(gauge, times, random, log);
  }
  lose(log.tips, row(21), "logger", "2023-06-19T00:00", "2023-06-24T00:00");
  lose(log.tips, row(26), "logger", "2023-06-28T06:00", "2023-06-29T12:00");
  // 628.3 ml are 20 mm: in 45 min 94 bucketfuls of 0.21 mm and what is lost in turning; 6 turns are
  // made by hand.
  log.write_evenly(row(37), {at("2023-06-12T09:05"), at("2023-06-12T09:50")}, 94);
  log.write_evenly(row(26), {at("2023-06-29T12:10"), at("2023-06-29T12:11")}, 6);
  std::stable_sort(log.tips.begin(), log.tips.end(), [](const DemoTip& a, const DemoTip& b) {
    return std::tie(a.time, a.gauge) < std::tie(b.time, b.gauge);
  });
  return log.tips;
}

std::string tips_csv(const std::vector<DemoTip>& tips, const std::vector<std::string>& gauge_ids) {
  std::string text = "time,gauge,counter\n";
  for (const DemoTip& tip : tips)
    text += fmt::format("{},{},{}\n", stamp(tip), gauge_ids[tip.gauge], tip.counter);
  return text;
}

std::string calibration_csv() {
  std::string text = "gauge,intensity_mm_h,factor\n";
  // A bucket that loses 0.7 s of inflow at every turn.
  for (const int mm_h : {0, 20, 50, 100, 150})
    text += fmt::format("V05,{},{:.3f}\n", mm_h, 1 / (1 - mm_h * 0.7 / (3600 * kBucketMm)));
  for (const int mm_h : {0, 50, 150})
    text += fmt::format("V32,{},{:.3f}\n", mm_h, 1 + 0.0002 * mm_h);
  return text;
}

std::string visits_csv() {
  return "gauge,from,to,action,poured_ml,note\n"
         "V37,2023-06-12T09:00Z,2023-06-12T10:00Z,calibrated,628.3,poured slowly\n"
         "V05,2023-06-21T08:10Z,2023-06-21T08:40Z,cleaned,,leaves\n"
         "V26,2023-06-29T12:00Z,2023-06-29T12:25Z,repaired,,new battery; turned by hand six "
         "times\n";
}

std::string outages_csv() {
  return "gauge,from,to,cause\n"
         "V26,2023-06-28T06:00Z,2023-06-29T12:00Z,the battery was flat\n";
}

}  // namespace gaugeloom::support
