#pragma once
/// \file detail/pieces_shape.hpp  Rings tidied and polygons parted at an upright line.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/geometry.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Drops what says nothing: repeated points, points on the line between their neighbours, spikes; and turns
/// the ring so that it starts at its lowest point, of several the leftmost. `tolerance` decides all of it.
inline void tidy_ring(Ring& ring) {
  const auto idle = [](Point before, Point here, Point after) {
    const double dx = after.x - before.x, dy = after.y - before.y;
    const double span2 = dx * dx + dy * dy;
    const double off = cross(before, here, after);
    const double to_here = std::fabs(here.x - before.x) + std::fabs(here.y - before.y);
    if (to_here <= tolerance) return true;
    if (span2 <= tolerance * tolerance) return true;  // there and back: a spike
    return off * off <= tolerance * tolerance * span2;
  };
  bool again = true;
  while (again && ring.size() >= 3) {
    again = false;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point before = kept > 0 ? ring[kept - 1] : ring.back();
      const Point after = i + 1 < ring.size() ? ring[i + 1] : ring.front();
      if (idle(before, ring[i], after)) {
        again = true;
      } else {
        ring[kept++] = ring[i];
      }
    }
    ring.resize(kept);
  }
  if (ring.size() < 3) {
    ring.clear();
    return;
  }
  const auto first = std::min_element(
      ring.begin(), ring.end(), [](Point a, Point b) { return a.y < b.y || (a.y == b.y && a.x < b.x); });
  std::rotate(ring.begin(), first, ring.end());
}

/// Edges of a tidy ring that are upright or level by `tolerance` become so exactly: no two of a kind follow
/// each other, so none is moved twice.
inline void square_up(Ring& ring) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    Point& a = ring[i];
    Point& b = ring[i + 1 < ring.size() ? i + 1 : 0];
    if (std::fabs(b.x - a.x) <= tolerance) b.x = a.x;
    if (std::fabs(b.y - a.y) <= tolerance) b.y = a.y;
  }
}

/// Whether p lies inside a ring; on its boundary either answer may come.
inline bool ring_holds(const Ring& ring, Point p) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Point a = ring[i], b = ring[j];
    if ((a.y > p.y) == (b.y > p.y)) continue;
    if (p.x < (b.x - a.x) * ((p.y - a.y) / (b.y - a.y)) + a.x) inside = !inside;
  }
  return inside;
}

/// The part of a polygon left of the upright line x = at, in as many polygons as it falls into. Chains of
/// the boundary that stay left of it are linked along the line from each interval's lower to its upper end.
inline std::vector<Polygon> left_of(const Polygon& polygon, double at) {
  struct Chain {
    Ring points;
    std::size_t next = 0;
    bool used = false;
  };
  struct Crossing {
    double y;
    bool begins;
    std::size_t chain;
  };
  std::vector<Chain> chains;
  std::vector<Crossing> crossings;
  std::vector<Ring> whole;  // rings that do not reach the line; the outer one first, if it is one
  bool outer_whole = false;
  const auto take = [&](const Ring& ring, bool outer) {
    const std::size_t n = ring.size();
    std::size_t start = n;
    bool any_in = false, any_out = false;
    for (std::size_t i = 0; i < n; ++i) {
      const bool in = ring[i].x < at;
      (in ? any_in : any_out) = true;
      if (in && !(ring[(i + n - 1) % n].x < at)) start = i;
    }
    if (!any_in) return;
    if (!any_out) {
      whole.push_back(ring);
      outer_whole = outer_whole || outer;
      return;
    }
    const auto crossing = [&](Point a, Point b) {
      return Point{at, a.y + (b.y - a.y) * ((at - a.x) / (b.x - a.x))};
    };
    for (std::size_t k = 0; k < n; ++k) {
      const std::size_t i = (start + k) % n, after = (i + 1) % n;
      if (!(ring[i].x < at)) continue;
      const Point before = ring[(i + n - 1) % n];
      if (!(before.x < at)) {
        chains.emplace_back();
        chains.back().points.push_back(crossing(ring[i], before));
        crossings.push_back({chains.back().points.back().y, true, chains.size() - 1});
      }
      chains.back().points.push_back(ring[i]);
      if (!(ring[after].x < at)) {
        chains.back().points.push_back(crossing(ring[i], ring[after]));
        crossings.push_back({chains.back().points.back().y, false, chains.size() - 1});
      }
    }
  };
  take(polygon.outer, true);
  if (outer_whole) return {polygon};
  for (const Ring& hole : polygon.holes) take(hole, false);

  std::sort(crossings.begin(), crossings.end(), [](const Crossing& a, const Crossing& b) {
    if (a.y != b.y) return a.y < b.y;
    if (a.begins != b.begins) return a.begins;
    return a.chain < b.chain;
  });
  // The interior lies between the first and second crossing, the third and fourth, ...: where two intervals
  // touch, the lower one is closed before the upper one opens.
  std::vector<std::size_t> open_ends, open_begins;
  for (const Crossing& c : crossings) {
    if (c.begins && !open_ends.empty()) {
      chains[open_ends.back()].next = c.chain;
      open_ends.pop_back();
    } else if (!c.begins && !open_begins.empty()) {
      chains[c.chain].next = open_begins.back();
      open_begins.pop_back();
    } else {
      (c.begins ? open_begins : open_ends).push_back(c.chain);
    }
  }

  std::vector<Polygon> parts;
  for (std::size_t i = 0; i < chains.size(); ++i) {
    if (chains[i].used) continue;
    Polygon part;
    for (std::size_t c = i; !chains[c].used; c = chains[c].next) {
      chains[c].used = true;
      part.outer.insert(part.outer.end(), chains[c].points.begin(), chains[c].points.end());
    }
    tidy_ring(part.outer);
    if (!part.outer.empty()) parts.push_back(std::move(part));
  }
  std::sort(parts.begin(), parts.end(), [](const Polygon& a, const Polygon& b) {
    const Point p = a.outer.front(), q = b.outer.front();
    return p.x < q.x || (p.x == q.x && p.y < q.y);
  });
  for (Ring& hole : whole)
    for (Polygon& part : parts)
      if (parts.size() == 1 || ring_holds(part.outer, hole.front())) {
        part.holes.push_back(std::move(hole));
        break;
      }
  return parts;
}

inline void mirror_polygon(Polygon& polygon) {
  const auto mirror = [](Ring& ring) {
    for (Point& p : ring) p.x = -p.x;
    std::reverse(ring.begin(), ring.end());
  };
  mirror(polygon.outer);
  for (Ring& hole : polygon.holes) mirror(hole);
}

/// The part right of the line.
inline std::vector<Polygon> right_of(Polygon polygon, double at) {
  mirror_polygon(polygon);
  std::vector<Polygon> parts = left_of(polygon, -at);
  for (Polygon& part : parts) {
    mirror_polygon(part);
    tidy_ring(part.outer);
  }
  return parts;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
