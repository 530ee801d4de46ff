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

/// x of an edge at a height, `lean` x for each y from its lower end on: one function, so that bands that
/// share a line share its vertices bit for bit, however each was cut.
inline double edge_x_at(Point lower, double lean, double y) {
  const double run = lean * (y - lower.y);
  return lower.x + run;
}

/// Cuts bands out of a region into parts with upright sides, each knowing the edges that bound it: what the
/// rules of runs speak of. Load its edges once, then take bands with rising lower lines. Nothing allocates
/// once warm. A vertex within `tolerance` of a band's line is on it. CourseBands, which wants rings alone,
/// follows outlines instead, several times as fast, and comes here for the bands where rings touch.
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

    // From left to right, as at the band before: then everything below is nearly in order.
    nearly_sort(active_, [this](std::size_t i, std::size_t j) {
      const double x = std::min(edges_[i].a.x, edges_[i].b.x), y = std::min(edges_[j].a.x, edges_[j].b.x);
      return x != y ? x < y : i < j;
    });

    low_.clear();
    high_.clear();
    inner_.clear();
    for (std::size_t i : active_) {
      const Sided& e = edges_[i];
      const double y0 = on_line(e.a.y, low, high), y1 = on_line(e.b.y, low, high);
      if (y0 == y1) {  // level in this band
        if (e.a.x == e.b.x) continue;
        const bool boards_above = (e.side > 0) == (e.b.x > e.a.x);
        const double x0 = std::min(e.a.x, e.b.x), x1 = std::max(e.a.x, e.b.x);
        if (y0 > low && y0 < high)
          inner_.push_back({x0, y0, x1, y0, boards_above ? 1 : -1, 0, e.tag});
        else if (y0 == low && boards_above)
          bottoms.push_back({x0, x1, e.tag});
        continue;
      }
      if (y1 <= low || y0 >= high) continue;
      // From here the edge rises through the band; boards on its left: it closes an interval.
      Point a{e.a.x, y0}, b{e.b.x, y1};
      const double lean = e.a.x == e.b.x ? 0 : (e.b.x - e.a.x) / (e.b.y - e.a.y);
      if (y0 < low) a = {edge_x_at(e.a, lean, low), low};
      if (y1 > high) b = {edge_x_at(e.a, lean, high), high};
      if (y0 <= low) low_.push_back({a.x, lean, -e.side});
      if (y1 >= high) high_.push_back({b.x, -lean, -e.side});
      if (a.x == b.x) continue;
      if (a.x < b.x)
        inner_.push_back({a.x, a.y, b.x, b.y, e.side, 0, e.tag});
      else
        inner_.push_back({b.x, b.y, a.x, a.y, -e.side, 0, e.tag});
    }
    bottom_.clear();
    top_.clear();
    close_line(low_, low, 1, band_bottom, bottom_);
    close_line(high_, high, -1, band_top, top_);
    // Three lists, each from left to right, into one.
    std::size_t i = 0, j = 0, k = 0;
    const double none = 2 * greatest_length * greatest_length;
    while (i < inner_.size() || j < bottom_.size() || k < top_.size()) {
      const double a = i < inner_.size() ? inner_[i].x0 : none;
      const double b = j < bottom_.size() ? bottom_[j].x0 : none;
      const double c = k < top_.size() ? top_[k].x0 : none;
      sweep.edges.push_back(b <= a && b <= c ? bottom_[j++] : a <= c ? inner_[i++] : top_[k++]);
    }
  }

  /// Cells of the band last cut, as sweep.sweep(near) makes them; at once where the band has uprights alone,
  /// as most courses of most walls have.
  void sweep_columns(double near) {
    if (!rectangles(near)) sweep.sweep(near);
  }

private:
  /// The cells where nothing slopes, begins or ends inside the band: the stretches of its lower line, carried
  /// up.
  bool rectangles(double near) {
    if (!inner_.empty() || !sweep.events.empty() || bottom_.size() != top_.size()) return false;
    for (std::size_t i = 0; i < bottom_.size(); ++i) {
      const SweepEdge &b = bottom_[i], &t = top_[i];
      if (b.x0 != t.x0 || b.x1 != t.x1 || b.x1 - b.x0 <= near) return false;
      if (i > 0 && b.x0 - bottom_[i - 1].x1 <= near) return false;
    }
    sweep.cells.clear();
    sweep.columns.clear();
    sweep.columns.push_back(0);
    for (std::size_t i = 0; i < bottom_.size(); ++i) {
      const SweepEdge &b = bottom_[i], &t = top_[i];
      if (i > 0) sweep.columns.push_back(sweep.cells.size());  // the opening between
      sweep.cells.push_back({b.x0, b.x1, b.y0, b.y0, t.y0, t.y0, band_bottom, band_top, 0});
      sweep.columns.push_back(sweep.cells.size());
    }
    return true;
  }

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

  /// What is inside just within the band at one of its lines becomes an edge on that line.
  static void close_line(std::vector<Crossing>& crossings, double y, std::int32_t enter, std::int32_t tag,
                         std::vector<SweepEdge>& line) {
    nearly_sort(crossings, [](const Crossing& a, const Crossing& b) {
      if (a.x != b.x) return a.x < b.x;
      if (a.lean != b.lean) return a.lean < b.lean;
      return a.enter < b.enter;
    });
    std::int32_t depth = 0;
    double from = 0;
    for (const Crossing& c : crossings) {
      if (depth > 0 && c.x > from) line.push_back({from, y, c.x, y, enter, 0, tag});
      depth += c.enter;
      from = c.x;
    }
  }

  std::vector<Sided> edges_;
  std::vector<std::size_t> active_;
  std::size_t next_ = 0;
  bool sorted_ = false;
  std::vector<Crossing> low_, high_;
  std::vector<SweepEdge> inner_, bottom_, top_;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
