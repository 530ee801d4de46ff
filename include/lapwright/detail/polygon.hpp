#pragma once
/// \file detail/polygon.hpp  Small things about rings that several stages need.
#include <algorithm>
#include <cmath>
#include <cstddef>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// > 0 where c lies left of a to b; twice the triangle's area.
inline double cross(Point a, Point b, Point c) {
  const double left = (b.x - a.x) * (c.y - a.y);
  const double right = (b.y - a.y) * (c.x - a.x);
  return left - right;
}

/// Signed area, square inches: > 0 counter-clockwise. Taken from the first vertex, so that far coordinates
/// cost no digits.
inline double signed_area(const Ring& ring) {
  double twice = 0;
  for (std::size_t i = 1; i + 1 < ring.size(); ++i) twice += cross(ring[0], ring[i], ring[i + 1]);
  return twice / 2;
}

inline double area(const Polygon& polygon) {
  double sum = signed_area(polygon.outer);
  for (const Ring& hole : polygon.holes) sum += signed_area(hole);
  return sum;
}

/// Bounds of a ring that is not empty.
inline Box bounds(const Ring& ring) {
  Box box{ring.front().x, ring.front().y, ring.front().x, ring.front().y};
  for (Point p : ring) {
    box.x_min = std::min(box.x_min, p.x);
    box.y_min = std::min(box.y_min, p.y);
    box.x_max = std::max(box.x_max, p.x);
    box.y_max = std::max(box.y_max, p.y);
  }
  return box;
}

inline double distance(Point a, Point b) {
  return std::hypot(b.x - a.x, b.y - a.y);
}

/// Distance of p from the segment a to b.
inline double distance_to_segment(Point p, Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y;
  const double length2 = dx * dx + dy * dy;
  if (length2 <= 0) return distance(p, a);
  const double t = std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / length2, 0.0, 1.0);
  return distance(p, {a.x + t * dx, a.y + t * dy});
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
