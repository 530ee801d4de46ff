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

enum class Beside { left, right };

/// The part of a polygon left (or right) of the upright line x = at, in as many polygons as it falls into.
/// Chains of the boundary that stay on that side are linked along the line over each interval of the inside.
class PolygonParter {
public:
  std::vector<Polygon> part(const Polygon& polygon, Beside beside, double at) {
    right_ = beside == Beside::right;
    at_ = at;
    chains_.clear();
    crossings_.clear();
    points_.clear();
    whole_.clear();
    if (take(polygon.outer)) return {polygon};
    for (const Ring& hole : polygon.holes)
      if (take(hole)) whole_.push_back(&hole);
    link();

    std::vector<Polygon> parts;
    for (std::size_t i = 0; i < chains_.size(); ++i) {
      if (chains_[i].used) continue;
      Polygon part;
      for (std::size_t c = i; !chains_[c].used; c = chains_[c].next) {
        chains_[c].used = true;
        part.outer.insert(part.outer.end(), points_.begin() + chains_[c].first,
                          points_.begin() + chains_[c].last);
      }
      tidy_ring(part.outer);
      if (!part.outer.empty()) parts.push_back(std::move(part));
    }
    std::sort(parts.begin(), parts.end(), [](const Polygon& a, const Polygon& b) {
      const Point p = a.outer.front(), q = b.outer.front();
      return p.x < q.x || (p.x == q.x && p.y < q.y);
    });
    for (const Ring* hole : whole_)
      for (Polygon& part : parts)
        if (parts.size() == 1 || ring_holds(part.outer, hole->front())) {
          part.holes.push_back(*hole);
          break;
        }
    return parts;
  }

private:
  struct Chain {
    std::ptrdiff_t first, last;  // of points_
    std::size_t next;
    bool used;
  };
  struct Crossing {
    double y;
    bool begins;
    std::size_t chain;
  };

  bool in(Point p) const { return right_ ? p.x > at_ : p.x < at_; }
  Point crossing(Point a, Point b) const { return {at_, a.y + (b.y - a.y) * ((at_ - a.x) / (b.x - a.x))}; }

  /// True where all of the ring lies on the side.
  bool take(const Ring& ring) {
    const std::size_t n = ring.size();
    std::size_t start = n;
    bool any_in = false, any_out = false;
    for (std::size_t i = 0; i < n; ++i) {
      const bool here = in(ring[i]);
      (here ? any_in : any_out) = true;
      if (here && !in(ring[i == 0 ? n - 1 : i - 1])) start = i;
    }
    if (!any_in || !any_out) return any_in;
    for (std::size_t k = 0, i = start; k < n; ++k, i = i + 1 == n ? 0 : i + 1) {
      if (!in(ring[i])) continue;
      const Point before = ring[i == 0 ? n - 1 : i - 1], after = ring[i + 1 == n ? 0 : i + 1];
      if (!in(before)) {
        chains_.push_back({static_cast<std::ptrdiff_t>(points_.size()), 0, 0, false});
        points_.push_back(crossing(ring[i], before));
        crossings_.push_back({points_.back().y, true, chains_.size() - 1});
      }
      points_.push_back(ring[i]);
      if (!in(after)) {
        points_.push_back(crossing(ring[i], after));
        crossings_.push_back({points_.back().y, false, chains_.size() - 1});
        chains_.back().last = static_cast<std::ptrdiff_t>(points_.size());
      }
    }
    return false;
  }

  /// The inside lies between the first and second crossing, the third and fourth, ...: where two intervals
  /// touch, the lower one is closed before the upper one opens.
  void link() {
    const bool begins_first = !right_;
    std::sort(crossings_.begin(), crossings_.end(), [begins_first](const Crossing& a, const Crossing& b) {
      if (a.y != b.y) return a.y < b.y;
      if (a.begins != b.begins) return a.begins == begins_first;
      return a.chain < b.chain;
    });
    open_.clear();
    for (const Crossing& c : crossings_) {
      if (!open_.empty() && open_.back().begins != c.begins) {
        const std::size_t ends = c.begins ? open_.back().chain : c.chain;
        chains_[ends].next = c.begins ? c.chain : open_.back().chain;
        open_.pop_back();
      } else {
        open_.push_back(c);
      }
    }
  }

  bool right_ = false;
  double at_ = 0;
  // Scratch, kept warm.
  std::vector<Chain> chains_;
  std::vector<Crossing> crossings_, open_;
  std::vector<Point> points_;
  std::vector<const Ring*> whole_;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
