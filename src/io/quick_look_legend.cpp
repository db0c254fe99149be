#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "gaugeloom/storms/rain_classes.hpp"
#include "io/quick_look_internal.hpp"

namespace gaugeloom::quick_look {
namespace {

constexpr int kBar = 40;  // thickness of the bar of classes
constexpr int kGap = 16;
constexpr int kRow = 46;      // from row to row of the key
constexpr int kUpright = 44;  // height of a class in an upright bar
constexpr TextStyle kHeading{kLegend.size, Weight::bold};
constexpr const char32_t* kNumbers = U"numbers: totals of gauges";
constexpr double kMark = 12;
constexpr double kToMiddle = 0.36;  // of the em: half the height of a capital

const char* words(Mark mark) {
  switch (mark) {
    case Mark::measured:
      return "measured";
    case Mark::partly_filled:
      return "partly filled";
    case Mark::mostly_filled:
      return "mostly filled";
    case Mark::left_out:
      return "left out";
  }
  return "";
}

// The longest round length (1, 2 or 5 times a power of ten) of at most `pixels`.
double round_length_m(double cell_m, double pixels) {
  double power = 1e-3;
  while (power * 10 <= cell_m * pixels) power *= 10;
  for (const double step : {5.0, 2.0})
    if (step * power <= cell_m * pixels) return step * power;
  return power;
}

std::string length_words(double length_m) {
  return length_m < 1000 ? fmt::format("{:.6g} m", length_m)
                         : fmt::format("{:.6g} km", length_m / 1000);
}

// A symbol and its words.
struct KeyItem {
  std::u32string text;
  double symbol_width;
  std::function<void(Canvas&, SheetPoint middle_left)> draw;
};

void draw_scale(Canvas& canvas, SheetPoint at, double pixels) {
  const Stroke stroke{kInk, 3};
  canvas.line({at.x, at.y}, {at.x + pixels, at.y}, stroke);
  for (const double end : {0.0, pixels / 2, pixels})
    canvas.line({at.x + end, at.y - (end == pixels / 2 ? 6 : 10)}, {at.x + end, at.y}, stroke);
}

void draw_north(Canvas& canvas, SheetPoint at) {
  const SheetPoint half[] = {{at.x + 10, at.y - 18}, {at.x + 20, at.y + 14}, {at.x + 10, at.y + 7}};
  const SheetPoint other[] = {{at.x + 10, at.y - 18}, {at.x, at.y + 14}, {at.x + 10, at.y + 7}};
  canvas.polygon(half, kInk, {kInk, 2});
  canvas.polygon(other, kPaper, {kInk, 2});
}

// One drawing, or one measuring, of a legend.
class Drawing {
 public:
  Drawing(const Legend& legend, Canvas* canvas, const PixelBox& room)
      : legend_(legend), letters_(*legend.letters), canvas_(canvas), room_(room), y_(room.top) {}

  int draw(std::vector<PixelBox>& classes) {
    heading();
    classes = bar();
    values();
    y_ += (legend_.upright ? bar_length() : kBar + line()) + kGap;
    key();
    return y_ - room_.top;
  }

 private:
  int classes() const { return static_cast<int>(class_count(legend_.bounds_mm)); }
  int bar_length() const { return legend_.upright ? kUpright * classes() : room_.width; }
  static int line() { return static_cast<int>(kLegend.size * kLineHeight); }

  void put(const std::u32string& text, double x, double base, const TextStyle& style = kLegend) {
    if (canvas_) canvas_->text(letters_, text, {x, base}, style, kInk);
  }

  double width_of(const KeyItem& item) const {
    return item.symbol_width + kGap + letters_.width(item.text, kLegend);
  }

  void put(const KeyItem& item, double x) {
    const double middle = y_ + kRow / 2.0;
    if (canvas_) item.draw(*canvas_, {x, middle});
    put(item.text, x + item.symbol_width + kGap, middle + kToMiddle * kLegend.size);
  }

  // Item by item from the left, broken where the row is full.
  void put(const std::vector<KeyItem>& items) {
    double x = room_.left;
    for (KeyItem item : items) {
      item.text = letters_.fitted(item.text, kLegend, room_.width - item.symbol_width - kGap);
      if (x > room_.left && x + width_of(item) > room_.left + room_.width) {
        x = room_.left;
        y_ += kRow;
      }
      put(item, x);
      x += width_of(item) + 2.5 * kGap;
    }
    y_ += kRow;
  }

  std::vector<KeyItem> scale() const {
    const double length_m = round_length_m(legend_.cell_m, legend_.widest_bar);
    const double pixels = length_m / legend_.cell_m;
    std::vector<KeyItem> items{
        {shown_characters(length_words(length_m)), pixels, [pixels](Canvas& on, SheetPoint at) {
           draw_scale(on, {at.x, at.y + 5}, pixels);
         }}};
    if (legend_.north_up) items.push_back({U"N", 20, draw_north});
    return items;
  }

  void heading() {
    const std::u32string title = U"Rain, mm";
    put(title, room_.left, y_ + kRow / 2.0 + kToMiddle * kLegend.size, kHeading);
    if (!legend_.upright) {  // the scale at the right end of the row
      const double after = letters_.width(title, kHeading) + kGap;
      put(kNumbers, room_.left + after, y_ + kRow / 2.0 + kToMiddle * kLegend.size);
      double x = room_.left + room_.width;
      const std::vector<KeyItem> items = scale();
      for (auto item = items.rbegin(); item != items.rend(); ++item, x -= 2.5 * kGap)
        put(*item, x -= width_of(*item));
    }
    y_ += kRow + (legend_.upright ? kGap : kGap / 4);
  }

  std::vector<PixelBox> bar() {
    std::vector<PixelBox> boxes;
    for (int i = 0; i < classes(); ++i) {
      const int from = bar_length() * i / classes(), to = bar_length() * (i + 1) / classes();
      const PixelBox box = legend_.upright
                               ? PixelBox{room_.left, y_ + bar_length() - to, kBar, to - from}
                               : PixelBox{room_.left + from, y_, to - from, kBar};
      boxes.push_back(box);
      const Rgb colour =
          class_colour(static_cast<std::size_t>(i), static_cast<std::size_t>(classes()));
      if (canvas_) canvas_->fill_pixels(box, 1, [&](std::size_t, std::size_t) { return colour; });
    }
    if (canvas_)
      draw_frame(*canvas_, {room_.left, y_, legend_.upright ? kBar : bar_length(),
                            legend_.upright ? bar_length() : kBar});
    return boxes;
  }

  // The bounds at the ends of the classes.
  void values() {
    const auto bounds = legend_.bounds_mm;
    if (bounds.size() == 1) {  // a dry window
      put(U"0: no rain", room_.left + (legend_.upright ? kBar + kGap : 0),
          y_ + (legend_.upright ? 0 : kBar) + kLegend.size);
      return;
    }
    for (std::size_t i = 0; i < bounds.size(); ++i) {
      const std::u32string text =
          shown_characters(fmt::format("{:.{}f}", bounds[i], class_decimals(bounds)));
      const double along = bar_length() * static_cast<double>(i) / classes();
      const double wide = letters_.width(text, kLegend);
      if (legend_.upright)
        put(text, room_.left + kBar + kGap, y_ + bar_length() - along + kToMiddle * kLegend.size);
      else
        put(text, room_.left + std::clamp(along - wide / 2, 0.0, room_.width - wide),
            y_ + kBar + kLegend.size + 2);
    }
  }

  void key() {
    std::vector<KeyItem> items;
    for (const Mark mark : kMarks) {
      const auto here = std::count_if(legend_.gauges.begin(), legend_.gauges.end(),
                                      [mark](const PlacedGauge& g) { return g.mark == mark; });
      if (here > 0)
        items.push_back({shown_characters(fmt::format("{} ({})", words(mark), here)), 2 * kMark,
                         [mark](Canvas& on, SheetPoint at) {
                           draw_mark(on, mark, {at.x + kMark, at.y}, kMark);
                         }});
    }
    items.push_back(
        {U"no value", 40, [](Canvas& on, SheetPoint at) {
           const PixelBox box{static_cast<int>(at.x), static_cast<int>(at.y) - 14, 40, 28};
           on.fill_pixels(box, 1, hatch_colour);
           draw_frame(on, box);
         }});
    put(items);
    if (!legend_.upright) return;
    put(kNumbers, room_.left, y_ + kRow / 2.0 + kToMiddle * kLegend.size);
    y_ += kRow;
    put(scale());
  }

  const Legend& legend_;
  const Lettering& letters_;
  Canvas* canvas_;
  PixelBox room_;
  int y_;
};

}  // namespace

void draw_frame(Canvas& canvas, const PixelBox& box) {
  const double left = box.left, top = box.top, right = left + box.width, bottom = top + box.height;
  const Stroke stroke{kInk, 2};
  canvas.line({left, top}, {right, top}, stroke);
  canvas.line({right, top}, {right, bottom}, stroke);
  canvas.line({right, bottom}, {left, bottom}, stroke);
  canvas.line({left, bottom}, {left, top}, stroke);
}

int Legend::draw(Canvas* canvas, int left, int top, int width,
                 std::vector<PixelBox>& classes) const {
  return Drawing(*this, canvas, {left, top, width, 0}).draw(classes);
}

}  // namespace gaugeloom::quick_look
