#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "io/quick_look_internal.hpp"

namespace gaugeloom::quick_look {
namespace {

constexpr std::size_t kMostLabels = 14;  // our choice: a picture, no table
constexpr std::size_t kExtremes = 2;     // the wettest and the driest: labelled if at all possible
constexpr double kLongestId = 190;       // pixels
constexpr TextStyle kIdStyle{25, Weight::regular};
constexpr TextStyle kTotalStyle{27, Weight::bold};

struct Box {
  double left, top, right, bottom;
  bool meets(const Box& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
  bool within(const PixelBox& map, double margin) const {
    return left >= map.left + margin && top >= map.top + margin &&
           right <= map.left + map.width - margin && bottom <= map.top + map.height - margin;
  }
};

bool meets(std::span<const Box> boxes, const Box& box) {
  return std::any_of(boxes.begin(), boxes.end(),
                     [&](const Box& other) { return other.meets(box); });
}

PixelBox in_pixels(const Box& box) {
  const auto left = static_cast<int>(std::floor(box.left));
  const auto top = static_cast<int>(std::floor(box.top));
  return {left, top, static_cast<int>(std::ceil(box.right)) - left,
          static_cast<int>(std::ceil(box.bottom)) - top};
}

double apart(SheetPoint a, SheetPoint b) {
  return std::sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y));
}

Box around(SheetPoint at, double reach) {
  return {at.x - reach, at.y - reach, at.x + reach, at.y + reach};
}

struct Label {
  std::u32string id, total;
  double id_width = 0, width = 0;
};

Label label_for(const Lettering& letters, const QuickLookGauge& gauge) {
  Label label;
  label.id = letters.fitted(shown_characters(gauge.id), kIdStyle, kLongestId);
  label.total =
      shown_characters(fmt::format("{:.{}f}", gauge.total_mm, gauge.total_mm < 9.95 ? 1 : 0));
  label.id_width = letters.width(label.id, kIdStyle) + kIdStyle.size / 4;
  label.width = label.id_width + letters.width(label.total, kTotalStyle);
  return label;
}

void draw_label(Canvas& canvas, const Lettering& letters, const Label& label, const Box& box) {
  const SheetPoint base{box.left, box.bottom - 0.2 * kTotalStyle.size};
  const Stroke halo{kPaper, 7};
  canvas.text(letters, label.id, base, kIdStyle, kInk, halo);
  canvas.text(letters, label.total, {base.x + label.id_width, base.y}, kTotalStyle, kInk, halo);
}

// Where a label may stand, best first: right, left, above and below its mark.
std::vector<Box> places(SheetPoint at, double reach, double width) {
  const double height = kTotalStyle.size;
  return {{at.x + reach, at.y - height / 2, at.x + reach + width, at.y + height / 2},
          {at.x - reach - width, at.y - height / 2, at.x - reach, at.y + height / 2},
          {at.x - width / 2, at.y - reach - height, at.x + width / 2, at.y - reach},
          {at.x - width / 2, at.y + reach, at.x + width / 2, at.y + reach + height}};
}

// The wettest, the driest, then always the one farthest from those before it.
class LabelOrder {
 public:
  explicit LabelOrder(std::span<const PlacedGauge> gauges)
      : gauges_(gauges), distance_(gauges.size(), std::numeric_limits<double>::infinity()) {
    for (std::size_t i = 0; i < gauges.size(); ++i)
      if (gauges[i].mark == Mark::left_out) distance_[i] = -1;
  }
  // An index, or the number of gauges when none is left.
  std::size_t next() {
    const std::size_t chosen = taken_ == 0 ? extreme(1) : taken_ == 1 ? extreme(-1) : farthest();
    ++taken_;
    if (chosen == gauges_.size()) return chosen;
    for (std::size_t i = 0; i < gauges_.size(); ++i)
      distance_[i] = std::min(distance_[i], apart(gauges_[i].at, gauges_[chosen].at));
    distance_[chosen] = -1;
    return chosen;
  }

 private:
  std::size_t extreme(double sign) const {
    std::size_t best = gauges_.size();
    for (std::size_t i = 0; i < gauges_.size(); ++i)
      if (distance_[i] >= 0 && (best == gauges_.size() || sign * gauges_[i].gauge->total_mm >
                                                              sign * gauges_[best].gauge->total_mm))
        best = i;
    return best;
  }
  std::size_t farthest() const {
    const auto most = std::max_element(distance_.begin(), distance_.end());
    return most == distance_.end() || *most < 0
               ? gauges_.size()
               : static_cast<std::size_t>(most - distance_.begin());
  }

  std::span<const PlacedGauge> gauges_;
  std::vector<double> distance_;  // to the nearest one taken; below 0: taken or left out
  std::size_t taken_ = 0;
};

}  // namespace

Mark mark_of(const QuickLookGauge& gauge) {
  if (std::isnan(gauge.total_mm)) return Mark::left_out;
  if (gauge.share_estimated >= 0.5) return Mark::mostly_filled;
  return gauge.share_estimated > 0 ? Mark::partly_filled : Mark::measured;
}

void draw_mark(Canvas& canvas, Mark mark, SheetPoint centre, double radius) {
  const Stroke edge{kInk, std::max(1.5, radius / 4)};
  const auto [x, y] = centre;
  switch (mark) {
    case Mark::measured:
      canvas.disc(centre, radius * 0.9, kWhite, edge);
      return;
    case Mark::partly_filled: {
      const double reach = radius * 1.25;
      const SheetPoint corners[] = {{x, y - reach}, {x + reach, y}, {x, y + reach}, {x - reach, y}};
      canvas.polygon(corners, kAmber, edge);
      return;
    }
    case Mark::mostly_filled: {
      const SheetPoint corners[] = {{x, y - 1.3 * radius},
                                    {x + 1.2 * radius, y + 0.85 * radius},
                                    {x - 1.2 * radius, y + 0.85 * radius}};
      canvas.polygon(corners, kVermilion, edge);
      return;
    }
    case Mark::left_out:
      for (const Stroke& stroke : {Stroke{kWhite, radius * 0.85}, Stroke{kInk, radius * 0.4}}) {
        canvas.line({x - radius, y - radius}, {x + radius, y + radius}, stroke);
        canvas.line({x - radius, y + radius}, {x + radius, y - radius}, stroke);
      }
      return;
  }
}

std::vector<PlacedGauge> gauges_on(const QuickLook& look, const PixelBox& map) {
  std::vector<PlacedGauge> placed;
  for (const QuickLookGauge& gauge : look.gauges) {
    const double x = (gauge.position.x_m - look.grid.x_min_m) / look.grid.cell_width_m;
    const double y = (look.grid.y_max_m - gauge.position.y_m) / look.grid.cell_height_m;
    if (x >= 0 && y >= 0 && x <= map.width && y <= map.height)
      placed.push_back({&gauge, mark_of(gauge), {map.left + x, map.top + y}});
  }
  return placed;
}

double mark_radius(const PixelBox& map, std::size_t gauges) {
  const double share = static_cast<double>(map.width) * map.height /
                       static_cast<double>(std::max<std::size_t>(gauges, 1));
  return std::clamp(0.2 * std::sqrt(share), 4.0, 12.0);
}

void draw_gauges(Canvas& canvas, std::span<const PlacedGauge> gauges, double radius) {
  for (const Mark mark : kMarks)  // the rarer kinds on top
    for (const PlacedGauge& gauge : gauges)
      if (gauge.mark == mark) draw_mark(canvas, mark, gauge.at, radius);
}

std::vector<PixelBox> draw_labels(Canvas& canvas, const Lettering& letters, const PixelBox& map,
                                  std::span<const PlacedGauge> gauges, double radius) {
  std::vector<Box> marks, taken;
  for (const PlacedGauge& gauge : gauges) marks.push_back(around(gauge.at, 1.4 * radius));
  LabelOrder order(gauges);
  std::size_t asked = 0;
  for (std::size_t i = order.next(); i < gauges.size() && taken.size() < kMostLabels;
       i = order.next(), ++asked) {
    const Label label = label_for(letters, *gauges[i].gauge);
    auto boxes = places(gauges[i].at, 1.4 * radius + 6, label.width);
    std::erase_if(boxes, [&](const Box& box) { return !box.within(map, 6) || meets(taken, box); });
    auto box = std::find_if(boxes.begin(), boxes.end(),
                            [&](const Box& place) { return !meets(marks, place); });
    if (box == boxes.end() && asked < kExtremes) box = boxes.begin();
    if (box == boxes.end()) continue;
    draw_label(canvas, letters, label, *box);
    taken.push_back(*box);
  }
  std::vector<PixelBox> labels;
  for (const Box& box : taken) labels.push_back(in_pixels(box));
  return labels;
}

}  // namespace gaugeloom::quick_look
