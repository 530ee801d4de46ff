#pragma once
/// \file detail/sweep_bands.hpp  A region's share of one horizontal band after another, from the bottom up.
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

/// Tags of the band's own lines.
inline constexpr std::int32_t band_bottom = -1;
inline constexpr std::int32_t band_top = -2;

/// Cuts bands out of a region. Load its edges once, then take bands with rising lower lines. Nothing
/// allocates once warm. A vertex within `tolerance` of a band's line is on it.
class BandSweep {
public:
  ColumnSweep sweep;  ///< of the band last cut

  /// A level edge on the band's lower line, boards above it.
  struct Bottom {
    double x0, x1;
    std::int32_t tag;
  };
  std::vector<Bottom> bottoms;  ///< out of cut()

  void clear() {
    edges_.clear();
    active_.clear();
    next_ = 0;
    sorted_ = false;
  }

  /// An edge of the region, inside on the left of a to b.
  void add_edge(Point a, Point b, std::int32_t tag) {
    if (a.y < b.y || (a.y == b.y && a.x < b.x))
      edges_.push_back({a, b, 1, tag});
    else
      edges_.push_back({b, a, -1, tag});
    sorted_ = false;
  }
  void add_ring(const Point* points, std::size_t count, std::int32_t tag) {
    for (std::size_t i = 0, j = count - 1; i < count; j = i++) add_edge(points[j], points[i], tag);
  }

  /// Fills sweep.edges with the boundary of the band's share and sweep.events with nothing. Bands may
  /// overlap, their lower lines must not fall.
  void cut(double low, double high) {
    if (!sorted_) {
      std::sort(edges_.begin(), edges_.end(), [](const Sided& e, const Sided& f) {
        if (e.a.y != f.a.y) return e.a.y < f.a.y;
        if (e.a.x != f.a.x) return e.a.x < f.a.x;
        if (e.b.y != f.b.y) return e.b.y < f.b.y;
        if (e.b.x != f.b.x) return e.b.x < f.b.x;
        if (e.side != f.side) return e.side < f.side;
        return e.tag < f.tag;
      });
      sorted_ = true;
      next_ = 0;
      active_.clear();
    }
    sweep.clear();
    bottoms.clear();
    std::size_t kept = 0;
    for (std::size_t i : active_)
      if (edges_[i].b.y >= low - tolerance) active_[kept++] = i;
    active_.resize(kept);
    for (; next_ < edges_.size() && edges_[next_].a.y < high; ++next_)
      if (edges_[next_].b.y >= low - tolerance) active_.push_back(next_);

    low_.clear();
    high_.clear();
    for (std::size_t i : active_) {
      const Sided& e = edges_[i];
      const double y0 = on_line(e.a.y, low, high), y1 = on_line(e.b.y, low, high);
      if (y0 == y1) {  // level in this band
        if (e.a.x == e.b.x) continue;
        const bool boards_above = (e.side > 0) == (e.b.x > e.a.x);
        const double x0 = std::min(e.a.x, e.b.x), x1 = std::max(e.a.x, e.b.x);
        if (y0 > low && y0 < high)
          sweep.edges.push_back({x0, y0, x1, y0, boards_above ? 1 : -1, 0, e.tag});
        else if (y0 == low && boards_above)
          bottoms.push_back({x0, x1, e.tag});
        continue;
      }
      if (y1 <= low || y0 >= high) continue;
      // From here the edge rises through the band; boards on its left: it closes an interval.
      Point a{e.a.x, y0}, b{e.b.x, y1};
      if (y0 < low) a = {x_at(e, low), low};
      if (y1 > high) b = {x_at(e, high), high};
      const double lean = (e.b.x - e.a.x) / (e.b.y - e.a.y);
      if (y0 <= low) low_.push_back({a.x, lean, -e.side});
      if (y1 >= high) high_.push_back({b.x, -lean, -e.side});
      if (a.x == b.x) continue;
      if (a.x < b.x)
        sweep.edges.push_back({a.x, a.y, b.x, b.y, e.side, 0, e.tag});
      else
        sweep.edges.push_back({b.x, b.y, a.x, a.y, -e.side, 0, e.tag});
    }
    close_line(low_, low, 1, band_bottom);
    close_line(high_, high, -1, band_top);
  }

private:
  struct Sided {
    Point a, b;         // from the lower end
    std::int32_t side;  // +1: inside on the left of a to b
    std::int32_t tag;
  };
  struct Crossing {
    double x, lean;
    std::int32_t enter;
  };

  static double on_line(double y, double low, double high) {
    if (std::abs(y - low) <= tolerance) return low;
    if (std::abs(y - high) <= tolerance) return high;
    return y;
  }

  /// x of an edge at a height: one function, so that bands that share a line share its vertices.
  static double x_at(const Sided& e, double y) {
    if (e.a.x == e.b.x) return e.a.x;
    const double share = (y - e.a.y) / (e.b.y - e.a.y);
    const double run = (e.b.x - e.a.x) * share;
    return e.a.x + run;
  }

  /// What is inside just within the band at one of its lines becomes an edge on that line.
  void close_line(std::vector<Crossing>& crossings, double y, std::int32_t enter, std::int32_t tag) {
    std::sort(crossings.begin(), crossings.end(), [](const Crossing& a, const Crossing& b) {
      if (a.x != b.x) return a.x < b.x;
      if (a.lean != b.lean) return a.lean < b.lean;
      return a.enter < b.enter;
    });
    std::int32_t depth = 0;
    double from = 0;
    for (const Crossing& c : crossings) {
      if (depth > 0 && c.x > from) sweep.edges.push_back({from, y, c.x, y, enter, 0, tag});
      depth += c.enter;
      from = c.x;
    }
  }

  std::vector<Sided> edges_;
  std::vector<std::size_t> active_;
  std::size_t next_ = 0;
  bool sorted_ = false;
  std::vector<Crossing> low_, high_;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
