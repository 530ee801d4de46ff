#pragma once
/// \file detail/offset.hpp  Edges moved sideways, each by its own depth: the strips that trim takes from a
/// wall and the growth of openings. Mitred; square steps between neighbours in one line.
#include <cmath>
#include <cstddef>
#include <vector>

#include <lapwright/detail/polygon.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Unit normal on the left of a to b; exact for level and upright edges.
inline Point left_normal(Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y;
  if (dx == 0) return {dy > 0 ? -1.0 : 1.0, 0.0};
  if (dy == 0) return {0.0, dx > 0 ? 1.0 : -1.0};
  const double length = std::sqrt(dx * dx + dy * dy);
  return {-dy / length, dx / length};
}

/// Where the moved lines of two neighbours meet at their corner.
struct MovedCorner {
  Point before;          ///< end of the edge before
  Point after;           ///< start of the edge after; another point only where the two are in one line
  bool in_line = false;  ///< the edges are in one line: a square step where the depths differ
};

/// The corner `at` between the edges from `from` and to `to`, moved to their left by depth_before and
/// depth_after (may be negative).
inline MovedCorner move_corner(Point from, Point at, Point to, double depth_before, double depth_after) {
  const Point n = left_normal(from, at), m = left_normal(at, to);
  const double n_m = n.x * m.y, m_n = n.y * m.x;
  const double turn = n_m - m_n;
  const double along = n.x * m.x + n.y * m.y;
  // In one line by `tolerance`: a vertex that snapping has put beside it must not throw the crossing far
  // away.
  if (along > 0 && (distance_to_segment(at, from, to) <= tolerance || std::abs(turn) < 1e-12)) {
    const Point before{at.x + n.x * depth_before, at.y + n.y * depth_before};
    if (depth_before == depth_after) return {before, before, true};
    return {before, {at.x + m.x * depth_after, at.y + m.y * depth_after}, true};
  }
  if (std::abs(turn) < 1e-12) {  // turned back on itself: no simple outline does
    const Point p{at.x + n.x * depth_before, at.y + n.y * depth_before};
    return {p, {at.x + m.x * depth_after, at.y + m.y * depth_after}, false};
  }
  const double x1 = depth_before * m.y, x2 = depth_after * n.y;
  const double y1 = depth_after * n.x, y2 = depth_before * m.x;
  // + 0.0: no negative zero
  Point p{at.x + (x1 - x2) / turn + 0.0, at.y + (y1 - y2) / turn + 0.0};
  // Level and upright lines keep their own coordinate exactly.
  if (n.x == 0) p.y = at.y + n.y * depth_before;
  if (m.x == 0) p.y = at.y + m.y * depth_after;
  if (n.y == 0) p.x = at.x + n.x * depth_before;
  if (m.y == 0) p.x = at.x + m.x * depth_after;
  return {p, p, false};
}

/// The corners of a ring with each edge moved to its left by depth[i] (negative: outward of a
/// counter-clockwise ring). corners[i] is the one at ring[i].
inline std::vector<MovedCorner> move_edges(const Ring& ring, const std::vector<double>& depth) {
  const std::size_t n = ring.size();
  std::vector<MovedCorner> corners(n);
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t h = (i + n - 1) % n;
    corners[i] = move_corner(ring[h], ring[i], ring[(i + 1) % n], depth[h], depth[i]);
  }
  return corners;
}

/// What edge i takes: between it and its moved line. Counter-clockwise; two triangles, as one ring each,
/// where the moved edge has turned round because its neighbours meet before its depth.
struct Strip {
  Ring first;
  Ring second;    ///< usually empty
  bool vanishes;  ///< the moved edge has turned round
};

inline Strip strip_of(Point a, Point b, Point moved_a, Point moved_b) {
  Strip strip{{a, b, moved_b, moved_a}, {}, false};
  const double dx = b.x - a.x, dy = b.y - a.y;
  const double along = (moved_b.x - moved_a.x) * dx + (moved_b.y - moved_a.y) * dy;
  strip.vanishes = along < 0;
  if (strip.vanishes) {
    // The sides a to moved_a and b to moved_b cross at x.
    const double ux = moved_a.x - a.x, uy = moved_a.y - a.y, vx = moved_b.x - b.x, vy = moved_b.y - b.y;
    const double det = ux * vy - uy * vx;
    const double t = det != 0 ? (dx * vy - dy * vx) / det : 0;
    const Point x{a.x + t * ux, a.y + t * uy};
    strip.first = {a, b, x};
    strip.second = {x, moved_a, moved_b};
  }
  for (Ring* ring : {&strip.first, &strip.second})
    if (!ring->empty() && signed_area(*ring) < 0) std::reverse(ring->begin(), ring->end());
  return strip;
}

/// A ring that turns left at every corner (by `tolerance`).
inline bool convex(const Ring& ring) {
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = ring[i], b = ring[(i + 1) % n], c = ring[(i + 2) % n];
    if (cross(a, b, c) < 0 && distance_to_segment(b, a, c) > tolerance) return false;
  }
  return true;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
