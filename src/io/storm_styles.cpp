#include "io/storm_styles_internal.hpp"

#include <fmt/format.h>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/io/rain_ramp.hpp"
#include "gaugeloom/storms/rain_classes.hpp"
#include "io/quick_look_internal.hpp"

namespace gaugeloom {
namespace {

using quick_look::kAmber;
using quick_look::kInk;
using quick_look::kVermilion;
using quick_look::kWhite;

std::string hex(const Rgb& colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

std::string parameter(const char* name, const std::string& value) {
  return fmt::format("<CssParameter name=\"{}\">{}</CssParameter>", name, value);
}

std::string stroke(const char* width) {
  return "<Stroke>" + parameter("stroke", hex(kInk)) + parameter("stroke-width", width) +
         "</Stroke>";
}

std::string label(const char* field) {
  return fmt::format(
      "<TextSymbolizer><Label><ogc:PropertyName>{}</ogc:PropertyName></Label><Font>{}</Font>"
      "<Fill>{}</Fill></TextSymbolizer>",
      field, parameter("font-size", "9"), parameter("fill", hex(kInk)));
}

// Conditions, as they stand within a filter.
std::string compared(const char* how, std::string_view field, std::string_view value) {
  return fmt::format(
      "<ogc:PropertyIs{0}><ogc:PropertyName>{1}</ogc:PropertyName><ogc:Literal>{2}</ogc:Literal>"
      "</ogc:PropertyIs{0}>",
      how, field, value);
}

std::string both(const std::string& one, const std::string& other) {
  return "<ogc:And>" + one + other + "</ogc:And>";
}

std::string between(const char* field, double from, double to) {
  return both(compared("GreaterThanOrEqualTo", field, fmt::format("{:g}", from)),
              compared("LessThan", field, fmt::format("{:g}", to)));
}

// The rules of one layer, of one storm or, where it has no name, of all.
class Rules {
 public:
  explicit Rules(std::string_view storm)
      : storm_(storm.empty() ? "" : compared("EqualTo", "storm", storm)) {}

  void add(const std::string& title, const std::string& condition, const std::string& symbols) {
    std::string filter = storm_.empty() ? condition : storm_;
    if (!storm_.empty() && !condition.empty()) filter = both(storm_, condition);
    if (!filter.empty()) filter = "<ogc:Filter>" + filter + "</ogc:Filter>";
    text_ += "<Rule><Title>" + title + "</Title>" + filter + symbols + "</Rule>";
  }
  const std::string& text() const { return text_; }

 private:
  std::string storm_, text_;
};

std::string mark(const char* shape, const Rgb& colour, const char* turn) {
  return fmt::format(
      "<PointSymbolizer><Graphic><Mark><WellKnownName>{}</WellKnownName><Fill>{}</Fill>{}</Mark>"
      "<Size>9</Size><Rotation>{}</Rotation></Graphic></PointSymbolizer>",
      shape, parameter("fill", hex(colour)), stroke("1"), turn);
}

// As the picture of a map marks them: by how much of the total was estimated.
void add_gauges(Rules& rules) {
  const std::string no_total =
      "<ogc:PropertyIsNull><ogc:PropertyName>total_mm</ogc:PropertyName></ogc:PropertyIsNull>";
  const auto with_total = [&no_total](const std::string& other) {
    return both("<ogc:Not>" + no_total + "</ogc:Not>", other);
  };
  const std::string total = label("total_mm");
  rules.add("measured", with_total(compared("EqualTo", "share_filled", "0")),
            mark("circle", kWhite, "0") + total);
  rules.add("partly estimated",
            with_total(both(compared("GreaterThan", "share_filled", "0"),
                            compared("LessThan", "share_filled", "0.5"))),
            mark("square", kAmber, "45") + total);
  rules.add("half or more estimated",
            with_total(compared("GreaterThanOrEqualTo", "share_filled", "0.5")),
            mark("triangle", kVermilion, "0") + total);
  rules.add("no total", no_total, mark("x", kInk, "0"));
}

// A polygon layer by a depth, one rule per round class.
void add_depths(Rules& rules, const char* field, double highest_mm, const char* opacity,
                const std::string& more) {
  const auto bounds = class_bounds_mm(0, highest_mm);
  const std::size_t classes = bounds.size() < 2 ? 0 : bounds.size() - 1;
  for (std::size_t i = 0; i < classes; ++i) {
    const double share =
        classes < 2 ? 0.5 : static_cast<double>(i) / static_cast<double>(classes - 1);
    rules.add(fmt::format("{:g} to {:g} mm", bounds[i], bounds[i + 1]),
              between(field, bounds[i], i + 1 == classes ? 1e9 : bounds[i + 1]),
              "<PolygonSymbolizer><Fill>" + parameter("fill", hex(rain_colour(share))) +
                  parameter("fill-opacity", opacity) + "</Fill>" + more + "</PolygonSymbolizer>");
  }
}

}  // namespace

std::string storm_style(std::string_view layer, std::string_view storm, double highest_mm) {
  Rules rules(storm);
  if (layer == "gauges")
    add_gauges(rules);
  else if (layer == "isohyets")
    rules.add("isohyet", "",
              "<LineSymbolizer>" + stroke("0.8") + "</LineSymbolizer>" + label("depth_mm"));
  else if (layer == "isohyet_bands")
    add_depths(rules, "from_mm", highest_mm, "0.6", "");
  else
    add_depths(rules, "mean_mm", highest_mm, "0.5", stroke("1.5"));
  return fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?><StyledLayerDescriptor version=\"1.0.0\" "
      "xmlns=\"http://www.opengis.net/sld\" xmlns:ogc=\"http://www.opengis.net/ogc\"><NamedLayer>"
      "<Name>{0}</Name><UserStyle><Title>{0}</Title><FeatureTypeStyle>{1}</FeatureTypeStyle>"
      "</UserStyle></NamedLayer></StyledLayerDescriptor>",
      layer, rules.text());
}

}  // namespace gaugeloom
