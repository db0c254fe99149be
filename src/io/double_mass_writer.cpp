#include "gaugeloom/io/double_mass_writer.hpp"

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {

void write_double_mass(AtomicFile& file, std::span<const GaugeDoubleMass> points,
                       const Network& network) {
  CsvWriter csv(file, {"gauge", "time", "own_mm", "neighbours_mm"});
  for (const GaugeDoubleMass& point : points)
    csv.row()
        .text(network.gauges[point.gauge].id)
        .raw(format_utc(point.time))
        .fixed(point.own_mm, 3)
        .fixed(point.neighbours_mm, 3)
        .end_row();
  csv.finish();
}

}  // namespace gaugeloom
