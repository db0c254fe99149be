#pragma once
// The colours of rain in pictures: from blush for the least through lilac and cobalt to ink for the
// most, our own. Their lightness falls evenly, so that grey copies and colour-blind eyes keep the
// order.
// Source: B. Ottosson, A perceptual color space for image processing (OKLab), 2020, from memory;
// IEC 61966-2-1 (sRGB), from memory.

#include <cstdint>

namespace gaugeloom {

struct Rgb {  // sRGB
  std::uint8_t red = 0;
  std::uint8_t green = 0;
  std::uint8_t blue = 0;
  bool operator==(const Rgb&) const = default;
};

// Where equal distances look about equally far apart. lightness: 0 black, 1 white; a grows from
// green to red, b from blue to yellow.
struct OkLab {
  double lightness = 0;
  double a = 0;
  double b = 0;
};

OkLab oklab(const Rgb& colour);
// The nearest that sRGB can show, channel by channel.
Rgb rgb(const OkLab& colour);

// The colour at `share` of the way from the least (0) to the most (1); clipped to them.
// Laws (each one is a test): lightness falls by the same amount everywhere, and steps of equal
// share
//   look equally far apart within a factor of 1.5; ten colours stay apart for eyes without red,
//   green or blue cones; the same bytes on every processor.
Rgb rain_colour(double share);

}  // namespace gaugeloom
