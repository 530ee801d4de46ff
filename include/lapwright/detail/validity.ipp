#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/normal_wall.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/validity.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// An axis-parallel rectangle of four vertices: the usual opening, and simple.
inline bool plain_rectangle(const Ring& r) {
  if (r.size() != 4) return false;
  const bool level_first = r[0].y == r[1].y && r[1].x == r[2].x && r[2].y == r[3].y && r[3].x == r[0].x;
  const bool upright_first = r[0].x == r[1].x && r[1].y == r[2].y && r[2].x == r[3].x && r[3].y == r[0].y;
  return (level_first || upright_first) && r[0].x != r[2].x && r[0].y != r[2].y;
}

/// Where p lies: -1 outside by more than `tolerance`, 0 within it of the ring, 1 inside by more.
inline int side_of_ring(Point p, const Ring& ring) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Point a = ring[j], b = ring[i];
    if (p.x >= std::min(a.x, b.x) - tolerance && p.x <= std::max(a.x, b.x) + tolerance &&
        p.y >= std::min(a.y, b.y) - tolerance && p.y <= std::max(a.y, b.y) + tolerance &&
        distance_to_segment(p, a, b) <= tolerance)
      return 0;
    if ((a.y > p.y) != (b.y > p.y)) {
      const double turn = cross(a, b, p);  // p is off the segment, so the sign is sure
      if ((b.y > a.y) == (turn > 0)) inside = !inside;
    }
  }
  return inside ? 1 : -1;
}

/// How far a lies left of the line c to d, inches.
inline double left_of(Point a, Point c, Point d) {
  const double dx = d.x - c.x, dy = d.y - c.y;
  const double length = std::sqrt(dx * dx + dy * dy);
  return length > 0 ? cross(c, d, a) / length : 0;
}

/// Segments that pass through each other, every end further than `tolerance` from the other's line.
inline bool cross_clearly(Point a, Point b, Point c, Point d) {
  if (std::max(a.x, b.x) < std::min(c.x, d.x) || std::max(c.x, d.x) < std::min(a.x, b.x) ||
      std::max(a.y, b.y) < std::min(c.y, d.y) || std::max(c.y, d.y) < std::min(a.y, b.y))
    return false;
  const double a_left = left_of(a, c, d), b_left = left_of(b, c, d);
  if (!((a_left > tolerance && b_left < -tolerance) || (a_left < -tolerance && b_left > tolerance)))
    return false;
  const double c_left = left_of(c, a, b), d_left = left_of(d, a, b);
  return (c_left > tolerance && d_left < -tolerance) || (c_left < -tolerance && d_left > tolerance);
}

inline bool edges_cross(const Ring& a, const Ring& b) {
  for (std::size_t i = 0; i < a.size(); ++i)
    for (std::size_t j = 0; j < b.size(); ++j)
      if (cross_clearly(a[i], a[(i + 1) % a.size()], b[j], b[(j + 1) % b.size()])) return true;
  return false;
}

/// A point inside a simple ring, well away from its edges where it can be: the middle of the widest of a few
/// levels' stretches.
inline Point inner_point(const Ring& ring) {
  const Box box = bounds(ring);
  Point best = ring.front();
  double widest = 0;
  for (double share : {0.5, 0.25, 0.75, 0.125, 0.875, 0.3, 0.7, 0.01, 0.99}) {
    const double y = box.y_min + share * (box.y_max - box.y_min);
    std::vector<double> x;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], b = ring[(i + 1) % ring.size()];
      if ((a.y > y) != (b.y > y)) x.push_back(a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)));
    }
    std::sort(x.begin(), x.end());
    for (std::size_t i = 0; i + 1 < x.size(); i += 2)
      if (x[i + 1] - x[i] > widest) {
        widest = x[i + 1] - x[i];
        best = {x[i] + (x[i + 1] - x[i]) / 2, y};
      }
  }
  return best;
}

/// The sign of the turn from a to b to c, exactly: differences of coordinates on the grid are exact, rounding
/// keeps the order of two products, and where they round alike their remainders decide.
inline int exact_turn(Point a, Point b, Point c) {
  const double ux = b.x - a.x, uy = b.y - a.y, vx = c.x - a.x, vy = c.y - a.y;
  const double left = ux * vy, right = uy * vx;
  if (left != right) return left > right ? 1 : -1;
  const double left_rest = std::fma(ux, vy, -left), right_rest = std::fma(uy, vx, -right);
  return left_rest == right_rest ? 0 : left_rest > right_rest ? 1 : -1;
}

/// p, which lies on the line through a and b, lies between them or is one of them.
inline bool between(Point p, Point a, Point b) {
  return p.x >= std::min(a.x, b.x) && p.x <= std::max(a.x, b.x) && p.y >= std::min(a.y, b.y) &&
         p.y <= std::max(a.y, b.y);
}

/// Two segments have a point in common, exactly.
inline bool segments_meet(Point a, Point b, Point c, Point d) {
  const int abc = exact_turn(a, b, c), abd = exact_turn(a, b, d);
  if (abc * abd > 0) return false;
  const int cda = exact_turn(c, d, a), cdb = exact_turn(c, d, b);
  if (cda * cdb > 0) return false;
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (abc == 0 && between(c, a, b)) || (abd == 0 && between(d, a, b)) || (cda == 0 && between(a, c, d)) ||
         (cdb == 0 && between(b, c, d));
}

/// No two edges of a ring on the grid, of four vertices or more and none twice in a row, meet but neighbours
/// in the vertex that they share. Edges by their left end; each is held against those that it stands beside.
inline bool simple_ring(const Ring& r) {
  const std::size_t n = r.size();
  std::vector<std::size_t> order(n), beside;
  for (std::size_t i = 0; i < n; ++i) order[i] = i;
  const auto end = [&](std::size_t i) { return r[i + 1 < n ? i + 1 : 0]; };
  const auto x_min = [&](std::size_t i) { return std::min(r[i].x, end(i).x); };
  std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) {
    const double a = x_min(i), b = x_min(j);
    return a != b ? a < b : i < j;
  });
  for (const std::size_t i : order) {
    const Point a = r[i], b = end(i);
    const double left = x_min(i), low = std::min(a.y, b.y), high = std::max(a.y, b.y);
    std::size_t kept = 0;
    for (const std::size_t j : beside) {
      const Point c = r[j], d = end(j);
      if (std::max(c.x, d.x) < left) continue;  // passed
      beside[kept++] = j;
      if (std::max(c.y, d.y) < low || std::min(c.y, d.y) > high) continue;
      const bool after = j == (i + 1 < n ? i + 1 : 0), before = i == (j + 1 < n ? j + 1 : 0);
      if (!after && !before) {
        if (segments_meet(a, b, c, d)) return false;
        continue;
      }
      // Neighbours: the second must not turn back along the first.
      const Point from = after ? a : c, at = after ? b : d, to = after ? d : b;
      const double dot = (from.x - at.x) * (to.x - at.x) + (from.y - at.y) * (to.y - at.y);
      if (dot > 0 && exact_turn(from, at, to) == 0) return false;
    }
    beside.resize(kept);
    beside.push_back(i);
  }
  return true;
}

LAPW_INLINE std::string why_not_simple(const Ring& given) {
  for (Point p : given)
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) return "it has a coordinate that is no number";
  NormalRing normal = normal_ring(given);
  const Ring& r = normal.points;
  if (r.size() < 3) return "it has fewer than three different vertices";
  if (plain_rectangle(r)) return {};
  if (signed_area(r) <= tolerance * tolerance) return "it encloses no area";
  if (r.size() == 3) return {};

  if (simple_ring(r)) return {};

  // Name the edges, as given: the first pair that meets away from a shared vertex.
  const std::size_t n = r.size();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j) {
      const Point a = r[i], b = r[(i + 1) % n], c = r[j], d = r[(j + 1) % n];
      const bool neighbours = j == i + 1 || (i == 0 && j == n - 1);
      const std::string first = std::to_string(std::min(normal.edge[i], normal.edge[j]));
      const std::string second = std::to_string(std::max(normal.edge[i], normal.edge[j]));
      if (neighbours) {
        // A spike turns back on itself.
        const Point at = j == i + 1 ? b : a, one = j == i + 1 ? a : b, other = j == i + 1 ? d : c;
        const double dot = (one.x - at.x) * (other.x - at.x) + (one.y - at.y) * (other.y - at.y);
        if (dot > 0 && (distance_to_segment(one, at, other) <= tolerance ||
                        distance_to_segment(other, at, one) <= tolerance))
          return "edge " + second + " turns back along edge " + first;
        continue;
      }
      const double abc = cross(a, b, c), abd = cross(a, b, d), cda = cross(c, d, a), cdb = cross(c, d, b);
      const bool crossing = ((abc > 0) != (abd > 0)) && ((cda > 0) != (cdb > 0));
      if (crossing || distance_to_segment(c, a, b) <= tolerance ||
          distance_to_segment(d, a, b) <= tolerance || distance_to_segment(a, c, d) <= tolerance ||
          distance_to_segment(b, c, d) <= tolerance)
        return "edge " + first + " meets edge " + second;
    }
  return "it crosses itself";
}

LAPW_INLINE bool lies_inside(const Ring& opening, const Ring& outline) {
  if (opening.size() < 3 || outline.size() < 3) return false;
  for (Point p : opening)
    if (side_of_ring(p, outline) < 0) return false;
  // Every corner is in; what is left is an edge that leaves between two corners.
  for (Point p : outline)
    if (side_of_ring(p, opening) > 0) return false;
  if (edges_cross(opening, outline)) return false;
  // Corners on the outline, edges across a bay of it: the middles between where they touch.
  for (std::size_t i = 0; i < opening.size(); ++i) {
    const Point a = opening[i], b = opening[(i + 1) % opening.size()];
    const double dx = b.x - a.x, dy = b.y - a.y, length2 = dx * dx + dy * dy;
    if (length2 <= 0) continue;
    std::vector<double> at = {0, 1};
    for (Point p : outline)
      if (distance_to_segment(p, a, b) <= tolerance)
        at.push_back(((p.x - a.x) * dx + (p.y - a.y) * dy) / length2);
    std::sort(at.begin(), at.end());
    for (std::size_t k = 0; k + 1 < at.size(); ++k) {
      const double t = (at[k] + at[k + 1]) / 2;
      if (side_of_ring({a.x + t * dx, a.y + t * dy}, outline) < 0) return false;
    }
  }
  return true;
}

LAPW_INLINE bool insides_overlap(const Ring& a, const Ring& b) {
  if (a.size() < 3 || b.size() < 3) return false;
  const Box one = bounds(a), two = bounds(b);
  if (one.x_max <= two.x_min + tolerance || two.x_max <= one.x_min + tolerance ||
      one.y_max <= two.y_min + tolerance || two.y_max <= one.y_min + tolerance)
    return false;
  if (plain_rectangle(a) && plain_rectangle(b)) return true;
  for (Point p : a)
    if (side_of_ring(p, b) > 0) return true;
  for (Point p : b)
    if (side_of_ring(p, a) > 0) return true;
  if (edges_cross(a, b)) return true;
  // Neither has a corner in the other and no edges cross: the same shape, or shapes that only touch.
  return side_of_ring(inner_point(a), b) > 0 || side_of_ring(inner_point(b), a) > 0;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
