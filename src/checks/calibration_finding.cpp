#include "checks/calibration_finding_internal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "checks/calibration_change_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/intensity_slope_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/tips/tip_loss.hpp"

namespace gaugeloom {
namespace {

constexpr double kAgreement = 0.05;  // of a log ratio
constexpr double kUndone = 0.5;
constexpr double kClearBend = 3;  // standard errors
constexpr float kLeastHourMm = 0.1F;

// A change with where it stands in the record, in hours, and the mean log ratios around it.
struct Episode {
  CalibrationChange change;
  std::size_t first_hour = 0;  // [first, last)
  std::size_t last_hour = 0;
  bool put_right = false;
  double before = 0;
  double after = 0;
};

class Teller {
 public:
  Teller(const CheckContext& context, const CalibrationStudy& study, ChangeShape shape)
      : context_(context),
        study_(study),
        shape_(shape),
        kind_(shape == ChangeShape::step ? FindingKind::calibration_step
                                         : FindingKind::calibration_drift) {}

  CheckOutcome run() {
    CheckOutcome out;
    out.threshold = study_.law.level(shape_);
    for (std::size_t gauge = 0; gauge < context_.network.size(); ++gauge) {
      for (const Episode& e : episodes(gauge)) {
        if (e.change.change.shape != shape_) continue;
        Finding finding = made(gauge, e);
        if (is_known(finding)) continue;
        if (context_.keep_growth) out.growth.push_back(growth(finding, e.change));
        out.findings.push_back(std::move(finding));
      }
    }
    return out;
  }

 private:
  ScoreGrowth growth(const Finding& finding, const CalibrationChange& change) const {
    std::vector<ScorePoint> points;
    for (const ScoreAt& p : score_path(study_.series[finding.gauge], study_.law, change))
      points.push_back({context_.days.axis.end(day_of(finding.gauge, p.at)), p.score});
    return growth_of(std::move(points), study_.law.level(shape_), finding.called);
  }

  const std::vector<std::size_t>& window() const { return context_.days.first_window; }
  std::size_t day_of(std::size_t gauge, std::size_t at) const {
    return static_cast<std::size_t>(study_.series[gauge][at].day);
  }
  // The first hour after the last judged day before the change.
  std::size_t hour_of(std::size_t gauge, const CalibrationChange& c) const {
    return window()[day_of(gauge, c.change.at - 1) + 1];
  }

  std::vector<Episode> episodes(std::size_t gauge) const {
    const auto& changes = study_.changes[gauge];
    std::vector<Episode> out;
    for (std::size_t i = 0; i < changes.size(); ++i) {
      Episode e = around(gauge, changes[i]);
      e.first_hour = hour_of(gauge, changes[i]);
      e.last_hour = context_.hours.step_count();
      if (i + 1 < changes.size()) {
        e.last_hour = hour_of(gauge, changes[i + 1]);
        const double rest = changes[i].change.change + changes[i + 1].change.change;
        if (std::abs(rest) < kUndone * std::abs(changes[i].change.change)) ++i;
      } else if (e.put_right) {
        e.last_hour = std::exchange(e.first_hour, i > 0 ? hour_of(gauge, changes[i - 1]) : 0);
      }
      if (e.last_hour > e.first_hour) out.push_back(std::move(e));
    }
    return out;
  }

  Episode around(std::size_t gauge, const CalibrationChange& change) const {
    Episode e{change, 0, 0, false, 0, 0};
    double weights = 0;
    for (std::size_t i = change.first; i < change.change.at; ++i) {
      const RatioPoint& p = study_.series[gauge][i];
      e.before += p.weight * p.value;
      weights += p.weight;
    }
    e.before = e.before / weights + portable_log(context_.site_ratio[gauge]);
    e.after = e.before + change.change.change;
    e.put_right = change.change.shape == ChangeShape::step && std::abs(e.after) < kAgreement &&
                  std::abs(e.before) > std::abs(e.after) + kAgreement;
    return e;
  }

  bool is_known(const Finding& finding) const {
    if (shape_ == ChangeShape::ramp) return false;  // the drift says more: settle_overlaps
    return std::any_of(context_.earlier.begin(), context_.earlier.end(), [&](const Finding& f) {
      const bool gain = f.kind == FindingKind::reads_low || f.kind == FindingKind::reads_high;
      return gain && overlap(f, finding);
    });
  }

  Finding made(std::size_t gauge, const Episode& e) const {
    const CalibrationChange& c = e.change;
    Finding f = finding_over(context_, kind_, gauge, e.first_hour, e.last_hour);
    if (e.last_hour < context_.hours.step_count()) f.to = context_.hours.axis().begin(e.last_hour);
    const bool knows_the_year = recurring_season_variance(study_.series[gauge]).has_value();
    const bool sure = knows_the_year && c.change.score >= study_.law.level(shape_).confirmed;
    f.tier = sure ? Tier::confirmed : Tier::provisional;
    f.score = c.change.score;
    f.called = context_.days.axis.end(day_of(gauge, c.called));
    f.neighbours = c.witnesses;
    f.reason = shape_ == ChangeShape::step ? step_text(gauge, e) : drift_text(gauge, e);
    f.reason += intensity_text(gauge, c);
    f.innocent_explanation = innocent(c.change.change, knows_the_year);
    return f;
  }

  // Log of the heaviest hour that the neighbours lead us to expect on the day of each point.
  std::vector<double> log_intensities(std::size_t gauge, std::span<const RatioPoint> points) const {
    std::vector<double> logs;
    for (const RatioPoint& p : points) {
      const auto day = static_cast<std::size_t>(p.day);
      float most_mm = kLeastHourMm;
      for (std::size_t h = window()[day]; h < window()[day + 1]; ++h)
        most_mm = std::max(most_mm, context_.expected.depth_at(gauge, h));  // NaN never wins
      logs.push_back(portable_log(most_mm));
    }
    return logs;
  }

  std::string intensity_text(std::size_t gauge, const CalibrationChange& c) const {
    const RatioSeries steady = steadied(study_.series[gauge]);
    const auto slope = [&](std::size_t first, std::size_t last) {
      const auto points = std::span(steady).subspan(first, last - first);
      return intensity_slope(points, log_intensities(gauge, points));
    };
    const IntensitySlope before = slope(c.first, c.change.at);
    const IntensitySlope after = slope(c.change.at, c.last);
    const double bend = after.slope - before.slope;
    if (!(std::abs(bend) > kClearBend * std::hypot(before.error, after.error))) return {};
    return bend < 0 ? " Since then it falls short the more the heavier the rain, as a bucket does "
                      "that loses water while it tips."
                    : " Since then it reads the more the heavier the rain, as a gauge does whose "
                      "tips are corrected twice." +
                          second_correction_text(gauge, c);
  }

  // How much a second correction for what is lost in turning would make, in the heaviest hour that
  // the neighbours lead us to expect since the change.
  std::string second_correction_text(std::size_t gauge, const CalibrationChange& c) const {
    const auto after = std::span(study_.series[gauge]).subspan(c.change.at, c.last - c.change.at);
    const auto logs = log_intensities(gauge, after);
    const double most_mm_h = portable_exp(*std::ranges::max_element(logs));
    const double bucket_mm = context_.network.gauges[gauge].bucket_mm;
    const double once = tip_loss_factor(3600 * bucket_mm / most_mm_h, bucket_mm, kLossTimeS);
    return fmt::format(
        " A second correction of what its bucket loses in turning would make {:.1f} % "
        "in the heaviest hour expected there, {:.0f} mm; more than that is a table "
        "applied twice, or something else.",
        100 * (once - 1), most_mm_h);
  }

  std::string innocent(double change, bool knows_the_year) const {
    std::string text = change < 0
                           ? "Something near may have grown or been built that shelters the gauge."
                           : "A shelter near the gauge may have gone, or storms come from another "
                             "side.";
    if (!knows_the_year)
      text += " In a record of less than two years a site that differs by the season looks alike.";
    return text;
  }

  std::string onset_text(std::size_t gauge, const CalibrationChange& c) const {
    return fmt::format("between {} and {}",
                       day_text(context_.days.axis.begin(day_of(gauge, c.earliest - 1))),
                       day_text(context_.days.axis.begin(day_of(gauge, c.latest))));
  }

  std::string witnesses_text(std::size_t gauge, const CalibrationChange& c) const {
    return fmt::format("{} neighbours show it, among them {}", c.witnesses.size(),
                       neighbours_text(context_, gauge, c.witnesses));
  }

  std::string step_text(std::size_t gauge, const Episode& e) const {
    const Instant when = context_.hours.axis().begin(
        e.put_right && e.change.change.at > 0 ? hour_of(gauge, e.change) : e.first_hour);
    const double factor =
        portable_exp(e.put_right ? e.change.change.change : -e.change.change.change);
    return fmt::format(
        "It read {} of its neighbours before about {} and {} after; the change came {}. Multiply "
        "by {:.2f} {} that day to have it agree with them as {}. {}.",
        percent_text(portable_exp(e.before)), day_text(when), percent_text(portable_exp(e.after)),
        onset_text(gauge, e.change), factor, e.put_right ? "before" : "after",
        e.put_right ? "since" : "before", witnesses_text(gauge, e.change));
  }

  std::string drift_text(std::size_t gauge, const Episode& e) const {
    const double change = e.change.change.change;
    const Instant end = context_.days.axis.end(day_of(gauge, e.change.last - 1));
    return fmt::format(
        "It crept from {} of its neighbours to {}, little by little; this began {}. Multiply by "
        "1.00 then, rising to {:.2f} on {}, to have it agree with them as before. {}.",
        percent_text(portable_exp(e.before)), percent_text(portable_exp(e.after)),
        onset_text(gauge, e.change), portable_exp(-change), day_text(end),
        witnesses_text(gauge, e.change));
  }

  const CheckContext& context_;
  const CalibrationStudy& study_;
  ChangeShape shape_;
  FindingKind kind_;
};

}  // namespace

CheckOutcome find_calibration(const CheckContext& context, ChangeShape shape) {
  const CalibrationStudy study = study_calibration(context);
  return Teller(context, study, shape).run();
}

}  // namespace gaugeloom
