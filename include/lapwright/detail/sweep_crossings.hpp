#pragma once
/// \file detail/sweep_crossings.hpp  Edges that cross, cut where they do, so that a column's order holds from
/// one side of it to the other.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

#include <lapwright/detail/sweep.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Collects rings for a ColumnSweep and cuts their edges where they cross or where a corner lies on them.
class CrossingCutter {
public:
  void clear() { given_.clear(); }

  /// Adds a ring: counter-clockwise ones are entered once, clockwise ones left once.
  void add_ring(const Point* points, std::size_t count, std::int32_t layer) {
    for (std::size_t i = 0, j = count - 1; i < count; j = i++) add_edge(points[j], points[i], layer, 0);
  }
  void add_ring(const Ring& ring, std::int32_t layer) { add_ring(ring.data(), ring.size(), layer); }

  /// Inside of its ring on the left of a to b.
  void add_edge(Point a, Point b, std::int32_t layer, std::int32_t tag) {
    if (a.x < b.x || (a.x == b.x && a.y < b.y))
      given_.push_back({a.x, a.y, b.x, b.y, a.x < b.x ? 1 : 0, layer, tag});
    else
      given_.push_back({b.x, b.y, a.x, a.y, b.x < a.x ? -1 : 0, layer, tag});
  }

  /// Appends the cut edges. Corners nearer than `near` to an edge cut it; upright edges only cut others.
  /// O(n log n + n times the edges side by side).
  void cut(std::vector<SweepEdge>& out, double near) {
    std::sort(given_.begin(), given_.end(), [](const SweepEdge& a, const SweepEdge& b) {
      if (a.x0 != b.x0) return a.x0 < b.x0;
      if (a.y0 != b.y0) return a.y0 < b.y0;
      if (a.x1 != b.x1) return a.x1 < b.x1;
      if (a.y1 != b.y1) return a.y1 < b.y1;
      if (a.layer != b.layer) return a.layer < b.layer;
      if (a.enter != b.enter) return a.enter < b.enter;
      return a.tag < b.tag;
    });
    cuts_.clear();
    slanted_.clear();
    square_.clear();
    // Only a slanted edge can be cut; level and upright ones meet at corners' x, where columns begin anyway.
    for (std::size_t i = 0; i < given_.size(); ++i) {
      const SweepEdge& e = given_[i];
      const bool slanted = e.x0 != e.x1 && e.y0 != e.y1;
      drop_passed(slanted_, e.x0 - near);
      for (std::size_t j : slanted_) meet(j, i, near);
      if (slanted) {
        drop_passed(square_, e.x0 - near);
        for (std::size_t j : square_) meet(i, j, near);
        slanted_.push_back(i);
      } else {
        square_.push_back(i);
      }
    }
    std::sort(cuts_.begin(), cuts_.end(), [](const Cut& a, const Cut& b) {
      if (a.edge != b.edge) return a.edge < b.edge;
      if (a.along != b.along) return a.along < b.along;
      return a.at.x < b.at.x || (a.at.x == b.at.x && a.at.y < b.at.y);
    });
    std::size_t next = 0;
    for (std::size_t i = 0; i < given_.size(); ++i) {
      SweepEdge piece = given_[i];
      const double x1 = piece.x1, y1 = piece.y1;
      for (; next < cuts_.size() && cuts_[next].edge == i; ++next) {
        piece.x1 = std::min(std::max(cuts_[next].at.x, piece.x0), x1);
        piece.y1 = cuts_[next].at.y;
        if (piece.x1 > piece.x0) out.push_back(piece);
        piece.x0 = piece.x1;
        piece.y0 = piece.y1;
      }
      piece.x1 = x1;
      piece.y1 = y1;
      if (piece.x1 > piece.x0) out.push_back(piece);
    }
  }

private:
  struct Cut {
    std::size_t edge;
    double along;  // from the edge's start
    Point at;
  };

  void drop_passed(std::vector<std::size_t>& active, double x) const {
    std::size_t kept = 0;
    for (std::size_t j : active)
      if (given_[j].x1 >= x) active[kept++] = j;
    active.resize(kept);
  }

  static double along(const SweepEdge& e, Point p) {
    return (p.x - e.x0) * (e.x1 - e.x0) + (p.y - e.y0) * (e.y1 - e.y0);
  }

  /// Cuts e at p where p lies on it, not at its ends. \return p is on e, ends included
  bool touch(std::size_t i, Point p, double near) {
    const SweepEdge& e = given_[i];
    const Point a{e.x0, e.y0}, b{e.x1, e.y1};
    if (p.x < e.x0 - near || p.x > e.x1 + near || p.y < std::min(e.y0, e.y1) - near ||
        p.y > std::max(e.y0, e.y1) + near)
      return false;
    const double dx = b.x - a.x, dy = b.y - a.y, length = std::sqrt(dx * dx + dy * dy);
    if (std::abs(cross(a, b, p)) > near * length) return false;
    if (close(p, a, near) || close(p, b, near)) return true;
    if (e.x0 != e.x1) cuts_.push_back({i, along(e, p), p});
    return true;
  }
  static bool close(Point a, Point b, double near) {
    return std::abs(a.x - b.x) <= near && std::abs(a.y - b.y) <= near;
  }

  /// e is slanted, f anything.
  void meet(std::size_t i, std::size_t j, double near) {
    const SweepEdge &e = given_[i], &f = given_[j];
    const double e_low = std::min(e.y0, e.y1), e_high = std::max(e.y0, e.y1);
    const double f_low = std::min(f.y0, f.y1), f_high = std::max(f.y0, f.y1);
    if (e_high < f_low - near || f_high < e_low - near || e.x1 < f.x0 - near || f.x1 < e.x0 - near) return;
    const Point a{e.x0, e.y0}, b{e.x1, e.y1}, c{f.x0, f.y0}, d{f.x1, f.y1};
    bool touches = touch(i, c, near);
    touches = touch(i, d, near) || touches;
    touches = touch(j, a, near) || touches;
    touches = touch(j, b, near) || touches;
    if (touches) return;
    const double abc = cross(a, b, c), abd = cross(a, b, d), cda = cross(c, d, a), cdb = cross(c, d, b);
    if ((abc > 0) == (abd > 0) || (cda > 0) == (cdb > 0)) return;
    const double share = cda / (cda - cdb);
    Point p{a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share};
    if (c.y == d.y) p.y = c.y;
    if (c.x == d.x) p.x = c.x;
    cuts_.push_back({i, along(e, p), p});
    if (c.x != d.x) cuts_.push_back({j, along(f, p), p});
  }

  std::vector<SweepEdge> given_;
  std::vector<Cut> cuts_;
  std::vector<std::size_t> slanted_, square_;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
