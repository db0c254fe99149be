// Worked examples of IOGP Publication 373-7-2, Guidance Note 7 part 2 (EPSG). Coordinates are
// printed to 0.01 m; the tolerance of one unit of that digit also covers the series terms the note
// leaves out.
#include <gtest/gtest.h>

#include "gaugeloom/geo/work_crs.hpp"

namespace gaugeloom {
namespace {

struct Example {
  const char* name;
  const char* degrees;
  const char* projected;
  CrsPoint place;
  CrsPoint metres;
};

const Example kExamples[] = {
    // Lambert Azimuthal Equal Area, ETRS89-extended / LAEA Europe: 50 N 5 E (published).
    {"LAEA Europe", "EPSG:4258", "EPSG:3035", {5, 50}, {3962799.45, 2999718.85}},
    // Transverse Mercator, OSGB36 / British National Grid: 50 30 N 0 30 E (from memory).
    {"British National Grid", "EPSG:4277", "EPSG:27700", {0.5, 50.5}, {577274.99, 69740.50}},
};

TEST(CrsConversionReference, AgreesWithTheWorkedExamples) {
  for (const Example& example : kExamples) {
    SCOPED_TRACE(example.name);
    const CrsTransform transform(example.degrees, example.projected);
    const CrsPoint metres = transform.forward(example.place);
    EXPECT_NEAR(metres.x, example.metres.x, 0.01);
    EXPECT_NEAR(metres.y, example.metres.y, 0.01);
    const CrsPoint place = transform.inverse(example.metres);
    EXPECT_NEAR(place.x, example.place.x, 1e-7);
    EXPECT_NEAR(place.y, example.place.y, 1e-7);
  }
}

}  // namespace
}  // namespace gaugeloom
