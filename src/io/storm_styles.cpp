#include "io/storm_styles_internal.hpp"

#include <fmt/format.h>

#include <array>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/io/rain_ramp.hpp"
#include "gaugeloom/storms/rain_classes.hpp"

namespace gaugeloom {
namespace {

constexpr const char* kInk = "#1b1e3c";

std::string hex(const Rgb& colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

std::string parameter(const char* name, const std::string& value) {
  return fmt::format("<CssParameter name=\"{}\">{}</CssParameter>", name, value);
}

std::string stroke(const std::string& colour, const char* width) {
  return "<Stroke>" + parameter("stroke", colour) + parameter("stroke-width", width) + "</Stroke>";
}

std::string label(const char* field) {
  return fmt::format(
      "<TextSymbolizer><Label><ogc:PropertyName>{}</ogc:PropertyName></Label><Font>{}</Font>"
      "<Fill>{}</Fill></TextSymbolizer>",
      field, parameter("font-size", "9"), parameter("fill", kInk));
}

std::string equals(const char* field, std::string_view value) {
  return fmt::format(
      "<ogc:Filter><ogc:PropertyIsEqualTo><ogc:PropertyName>{}</ogc:PropertyName>"
      "<ogc:Literal>{}</ogc:Literal></ogc:PropertyIsEqualTo></ogc:Filter>",
      field, value);
}

std::string between(const char* field, double from, double to) {
  return fmt::format(
      "<ogc:Filter><ogc:And><ogc:PropertyIsGreaterThanOrEqualTo><ogc:PropertyName>{0}"
      "</ogc:PropertyName><ogc:Literal>{1:g}</ogc:Literal></ogc:PropertyIsGreaterThanOrEqualTo>"
      "<ogc:PropertyIsLessThan><ogc:PropertyName>{0}</ogc:PropertyName><ogc:Literal>{2:g}"
      "</ogc:Literal></ogc:PropertyIsLessThan></ogc:And></ogc:Filter>",
      field, from, to);
}

std::string rule(const std::string& title, const std::string& filter, const std::string& symbols) {
  return fmt::format("<Rule><Title>{}</Title>{}{}</Rule>", title, filter, symbols);
}

// Gauges by quality: what was measured and tested is round.
std::string gauge_rules() {
  struct Mark {
    const char* quality;
    const char* shape;
    const char* colour;
  };
  constexpr std::array<Mark, 6> kMarks = {{{"good", "circle", "#2f6f5e"},
                                           {"unchecked", "circle", "#ffffff"},
                                           {"estimate", "square", "#d9a441"},
                                           {"suspect", "triangle", "#e07b39"},
                                           {"poor", "star", "#a8324a"},
                                           {"missing", "x", "#6b6b6b"}}};
  std::string rules;
  for (const Mark& mark : kMarks)
    rules += rule(mark.quality, equals("quality", mark.quality),
                  fmt::format("<PointSymbolizer><Graphic><Mark><WellKnownName>{}</WellKnownName>"
                              "<Fill>{}</Fill>{}</Mark><Size>9</Size></Graphic></PointSymbolizer>",
                              mark.shape, parameter("fill", mark.colour), stroke(kInk, "1")) +
                      label("total_mm"));
  return rules;
}

// A polygon layer by a depth, one rule per round class.
std::string depth_rules(const char* field, double highest_mm, const char* opacity,
                        const std::string& more) {
  const auto bounds = class_bounds_mm(0, highest_mm);
  const std::size_t classes = bounds.size() < 2 ? 0 : bounds.size() - 1;
  std::string rules;
  for (std::size_t i = 0; i < classes; ++i) {
    const double share =
        classes < 2 ? 0.5 : static_cast<double>(i) / static_cast<double>(classes - 1);
    rules +=
        rule(fmt::format("{:g} to {:g} mm", bounds[i], bounds[i + 1]),
             between(field, bounds[i], i + 1 == classes ? 1e9 : bounds[i + 1]),
             "<PolygonSymbolizer><Fill>" + parameter("fill", hex(rain_colour(share))) +
                 parameter("fill-opacity", opacity) + "</Fill>" + more + "</PolygonSymbolizer>");
  }
  return rules;
}

}  // namespace

std::string storm_style(std::string_view layer, double highest_mm) {
  std::string rules;
  if (layer == "gauges")
    rules = gauge_rules();
  else if (layer == "isohyets")
    rules =
        rule("isohyet", "",
             "<LineSymbolizer>" + stroke(kInk, "0.8") + "</LineSymbolizer>" + label("depth_mm"));
  else if (layer == "isohyet_bands")
    rules = depth_rules("from_mm", highest_mm, "0.6", "");
  else
    rules = depth_rules("mean_mm", highest_mm, "0.5", stroke(kInk, "1.5"));
  return fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?><StyledLayerDescriptor version=\"1.0.0\" "
      "xmlns=\"http://www.opengis.net/sld\" xmlns:ogc=\"http://www.opengis.net/ogc\"><NamedLayer>"
      "<Name>{0}</Name><UserStyle><Title>{0}</Title><FeatureTypeStyle>{1}</FeatureTypeStyle>"
      "</UserStyle></NamedLayer></StyledLayerDescriptor>",
      layer, rules);
}

}  // namespace gaugeloom
