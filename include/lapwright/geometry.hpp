#pragma once
/// \file geometry.hpp  The plain values that every stage speaks: points, rings, polygons. Inches, y up.
#include <vector>

namespace lapwright {
inline namespace v0 {

/// Coordinates are snapped on entry to whole multiples of 2^-24 in (1.5 nm): far below any tape, so that
/// spikes and near-repeats vanish at the door, and fine enough that millimetres stay whole within a tenth of
/// `tolerance` however they are added up. Rules (exposures, the division, gaps) are not snapped: seven
/// thousand divisions of 1 mm must not drift.
inline constexpr double snaps_per_inch = 16777216.0;

/// Two places nearer than this coincide (inches). Below any tape, above the noise of double arithmetic on
/// snapped coordinates. Each use says what it decides.
inline constexpr double tolerance = 1e-6;

/// No coordinate or size may be greater (inches); see check_job.
inline constexpr double greatest_length = 1e5;

/// A place on a wall face, seen from outside the house: x right, y up from the house's datum. Inches.
struct Point {
  double x = 0;
  double y = 0;
};
inline bool operator==(Point a, Point b) {
  return a.x == b.x && a.y == b.y;
}
inline bool operator!=(Point a, Point b) {
  return !(a == b);
}

/// A closed chain of points, the first not repeated.
using Ring = std::vector<Point>;

/// Outer ring counter-clockwise, holes clockwise.
struct Polygon {
  Ring outer;
  std::vector<Ring> holes;
};

/// [low, high], inches.
struct Interval {
  double low = 0;
  double high = 0;
};

/// Axis-parallel rectangle, inches.
struct Box {
  double x_min = 0;
  double y_min = 0;
  double x_max = 0;
  double y_max = 0;
};

}  // namespace v0
}  // namespace lapwright
