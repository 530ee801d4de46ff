#pragma once
/// \file detail/audit_cells.hpp  What lies over what: any polygons laid over one another, told apart cell by
/// cell. The audit's own means of geometry, shared with no stage.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include <lapwright/geometry.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

inline constexpr int most_layers = 8;

/// A straight side of something in a layer, left to right. `turn` is +1 where the thing lies above it.
struct LayerSide {
  Point a, b;
  int layer = 0;  ///< -1: only cuts the cells
  int turn = 0;
  int tag = -1;  ///< of whoever laid it there
  double at(double x) const {
    if (x <= a.x) return a.y;
    if (x >= b.x) return b.y;
    return a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x));
  }
};

/// A trapezoid with upright sides: everything in it lies in the same number of things of every layer.
struct Cell {
  double x0 = 0, x1 = 0;
  double low0 = 0, low1 = 0, high0 = 0, high1 = 0;  ///< heights at x0 and x1
  int in[most_layers] = {};
  int low_side = -1, high_side = -1;  ///< indices into the overlay's sides
  double area() const { return (high0 + high1 - low0 - low1) / 2 * (x1 - x0); }
  Point middle() const { return {(x0 + x1) / 2, (low0 + low1 + high0 + high1) / 4}; }
};

/// Lays rings over one another between two heights. Winding numbers, so that rings may overlap, repeat points
/// and run back over themselves; a column is cut wherever any two sides meet, so that no order is guessed.
class Overlay {
public:
  Overlay(double low, double high) : low_(low), high_(high) {}

  /// A ring, either direction where `either`; else clockwise rings count less than nothing (holes).
  void add(const Ring& ring, int layer, int tag = -1, bool either = true) {
    if (ring.size() < 3) return;
    double lowest = ring[0].y, highest = ring[0].y, twice = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point p = ring[i], q = ring[(i + 1) % ring.size()];
      lowest = std::min(lowest, p.y);
      highest = std::max(highest, p.y);
      twice += (p.x - ring[0].x) * (q.y - ring[0].y) - (q.x - ring[0].x) * (p.y - ring[0].y);
    }
    if (highest <= low_ || lowest >= high_) return;
    const int way = either && twice < 0 ? -1 : 1;
    // Between two heights a side is what lies between them, and level beyond: the winding stays right there.
    for (std::size_t i = 0; i < ring.size(); ++i) {
      Point p = ring[i], q = ring[(i + 1) % ring.size()];
      if (p.x == q.x) continue;
      int turn = way;
      if (p.x > q.x) {
        std::swap(p, q);
        turn = -turn;
      }
      clipped(p, q, layer, turn, tag);
    }
  }
  /// Cuts cells along a level line.
  void cut_at(double y) { level_.push_back(y); }
  /// Cuts columns at x.
  void cut_upright(double x) { cuts_.push_back(x); }

  const std::vector<LayerSide>& sides() const { return sides_; }

  /// Cells by column, from the left, from below. Cells flatter than `thin` are left out.
  std::vector<Cell> cells(double thin = tolerance / 4) {
    std::vector<double> xs = cuts_;
    double left = 0, right = 0;
    bool any = false;
    for (const LayerSide& s : sides_) {
      left = any ? std::min(left, s.a.x) : s.a.x;
      right = any ? std::max(right, s.b.x) : s.b.x;
      any = true;
      xs.push_back(s.a.x);
      xs.push_back(s.b.x);
    }
    if (!any) return {};
    for (double y : level_)
      if (y > low_ && y < high_) sides_.push_back({{left, y}, {right, y}, -1, 0, -1});
    std::vector<std::size_t> by_x(sides_.size());
    for (std::size_t i = 0; i < by_x.size(); ++i) by_x[i] = i;
    std::sort(by_x.begin(), by_x.end(), [&](std::size_t i, std::size_t j) {
      return sides_[i].a.x != sides_[j].a.x ? sides_[i].a.x < sides_[j].a.x : i < j;
    });
    for (std::size_t i = 0; i < by_x.size(); ++i)
      for (std::size_t j = i + 1; j < by_x.size(); ++j) {
        const LayerSide &s = sides_[by_x[i]], &t = sides_[by_x[j]];
        if (t.a.x >= s.b.x) break;
        const double x0 = t.a.x, x1 = std::min(s.b.x, t.b.x);
        const double d0 = s.at(x0) - t.at(x0), d1 = s.at(x1) - t.at(x1);
        if ((d0 > 0 && d1 < 0) || (d0 < 0 && d1 > 0)) xs.push_back(x0 + (x1 - x0) * (d0 / (d0 - d1)));
      }
    std::sort(xs.begin(), xs.end());
    std::vector<Cell> found;
    std::vector<std::size_t> active;
    std::size_t next = 0;
    double x0 = xs.front();
    for (double x1 : xs) {
      if (x1 - x0 < 1e-8) continue;
      const double middle = (x0 + x1) / 2;
      for (; next < by_x.size() && sides_[by_x[next]].a.x < middle; ++next) active.push_back(by_x[next]);
      active.erase(std::remove_if(active.begin(), active.end(),
                                  [&](std::size_t i) { return sides_[i].b.x <= middle; }),
                   active.end());
      std::sort(active.begin(), active.end(), [&](std::size_t i, std::size_t j) {
        const double p = sides_[i].at(middle), q = sides_[j].at(middle);
        return p != q ? p < q : i < j;
      });
      int in[most_layers] = {};
      for (std::size_t k = 0; k < active.size(); ++k) {
        const LayerSide& s = sides_[active[k]];
        if (s.layer >= 0) in[s.layer] += s.turn;
        if (k + 1 == active.size()) break;
        const LayerSide& t = sides_[active[k + 1]];
        if (t.at(middle) - s.at(middle) <= thin) continue;
        Cell cell;
        cell.x0 = x0;
        cell.x1 = x1;
        cell.low0 = s.at(x0);
        cell.low1 = s.at(x1);
        cell.high0 = t.at(x0);
        cell.high1 = t.at(x1);
        std::copy(in, in + most_layers, cell.in);
        cell.low_side = static_cast<int>(active[k]);
        cell.high_side = static_cast<int>(active[k + 1]);
        found.push_back(cell);
      }
      x0 = x1;
    }
    return found;
  }

private:
  void clipped(Point p, Point q, int layer, int turn, int tag) {
    const auto put = [&](Point a, Point b) {
      if (b.x > a.x) sides_.push_back({a, b, layer, turn, tag});
    };
    const double lowest = std::min(p.y, q.y), highest = std::max(p.y, q.y);
    if (lowest >= low_ && highest <= high_) return put(p, q);
    if (highest <= low_) return put({p.x, low_}, {q.x, low_});
    if (lowest >= high_) return put({p.x, high_}, {q.x, high_});
    const auto x_at = [&](double y) { return p.x + (q.x - p.x) * ((y - p.y) / (q.y - p.y)); };
    Point a = p, b = q;
    const auto bound = [&](double y) {
      // The part on the far side of y becomes level at y.
      const bool below = y == low_;
      if (below ? a.y < y : a.y > y) {
        const double x = std::min(std::max(x_at(y), a.x), b.x);
        put({a.x, y}, {x, y});
        a = {x, y};
      }
      if (below ? b.y < y : b.y > y) {
        const double x = std::min(std::max(x_at(y), a.x), b.x);
        put({x, y}, {b.x, y});
        b = {x, y};
      }
    };
    bound(low_);
    bound(high_);
    put(a, b);
  }

  double low_, high_;
  std::vector<LayerSide> sides_;
  std::vector<double> level_, cuts_;
};

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
