// Writes the files of the invented basin: make_demo FOLDER.

#include <cstdio>
#include <exception>
#include <string>

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "support/demo_basin.hpp"
#include "support/vector_file.hpp"

namespace {

void write(const std::string& path, const std::string& bytes) {
  gaugeloom::AtomicFile file(path);
  file.write(bytes);
  file.commit();
}

}  // namespace

int main(int count, char** arguments) {
  using namespace gaugeloom;
  if (count != 2) {
    std::fputs("usage: make_demo FOLDER\n", stderr);
    return 2;
  }
  try {
    const std::string folder = std::string(arguments[1]) + "/";
    const support::DemoBasin basin = support::demo_basin();
    write(folder + "gauges.csv", support::gauges_csv(basin));
    write(folder + "rain.csv.gz", gzip_member(support::rain_csv(basin), 12));
    write(folder + "tips.csv.gz", gzip_member(support::tips_csv(basin), 12));
    write(folder + "calibration.csv", support::calibration_csv());
    write(folder + "visits.csv", support::visits_csv());
    write(folder + "outages.csv", support::outages_csv());
    write(folder + "catchments.geojson", support::catchments_geojson(basin));
    write(folder + "planted_faults.csv", support::planted_faults_csv(basin));
    const support::ElevationGrid& land = basin.elevation;
    support::write_raster(folder + "elevation.tif", basin.network.working_crs, land.west_m,
                          land.north_m, land.cell_m, land.columns, land.elevation_m);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "make_demo: %s\n", error.what());
    return 1;
  }
  return 0;
}
