#pragma once
// Where the rain of a storm was, hour by hour, and which way it went.

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/rain/rain_table.hpp"
#include "gaugeloom/storms/storm.hpp"

namespace gaugeloom {

struct TrackPoint {
  Interval over;                      // an hour of UTC (or a longer step)
  double mean_mm = 0;                 // over the gauges that have any step of it
  std::size_t wet = 0;                // gauges with rain in it
  std::optional<MetricPoint> centre;  // of the depths: sum of depth x place / sum of depth; nothing
                                      // in a dry hour
};

struct StormMotion {
  double east_km_h = 0;
  double north_km_h = 0;
  double explained = 0;  // share of the spread of the gauges' times that it explains
  double speed_km_h() const;
  // One of 16 points of the compass, towards which it went: "N", "NNE", ...; empty without motion.
  std::string_view towards() const;
};

struct StormTrack {
  std::vector<TrackPoint> points;     // every hour of the storm
  std::optional<MetricPoint> centre;  // of its total; nothing without rain
  std::optional<StormMotion> motion;  // nothing where it explains too little
};

// The path of the centre of the depths, hour by hour, and the even motion that best explains when
// the gauges had their rain: the middle of each gauge's rain in time as a plane over the places, by
// least squares, weighted by depth. The path stays within the network however far the storm goes;
// the motion does not depend on how wide the storm is. It is how the rain went over the gauges:
// single cells within may go another way. There is none with fewer than 6 gauges with rain, or
// where the plane explains less than 0.7 of the spread of their times (our choices): the storm
// stood, or came in several waves.
// Laws (each one is a test): rain that moves evenly has its motion, be it wider than the network or
//   not; a network mirrored mirrors motion and track.
// Requires: positions.size() == depth.gauge_count(). Cost: the steps of the storm, once.
StormTrack storm_track(std::span<const MetricPoint> positions, const RainTable& depth,
                       const Storm& storm);

}  // namespace gaugeloom
