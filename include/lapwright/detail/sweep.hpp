#pragma once
/// \file detail/sweep.hpp  Polygons by columns: the one sweep behind the region of a wall and the bands of
/// its courses.
///
/// Boundary edges are cut at every corner's x into columns; in a column the edges are ordered once, at its
/// middle, and what lies inside comes out as cells with upright sides. Cells are joined into rings by sorting
/// the ends of their sides at each column's border and linking neighbours: whatever rounding does to the
/// coordinates, every chain closes. Nothing here allocates once its vectors have grown.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

#include <lapwright/detail/polygon.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// An edge that is not upright, from left to right.
struct SweepEdge {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  std::int32_t enter = 0;  ///< +1: above it one is inside once more, -1: once less
  std::int32_t layer = 0;  ///< 0: what is kept; 1: what is taken away from it
  std::int32_t tag = 0;    ///< the caller's name for it
};

/// Height of an edge at x: exactly its ends' there, so that neighbours share their vertices bit for bit.
inline double height_at(const SweepEdge& e, double x) {
  if (x <= e.x0 || e.y0 == e.y1) return e.y0;
  if (x >= e.x1) return e.y1;
  const double share = (x - e.x0) / (e.x1 - e.x0);
  const double rise = (e.y1 - e.y0) * share;
  return e.y0 + rise;
}

/// Sorts what is nearly in order already, as from band to band and from column to column, without moving the
/// rest.
template <class Vector, class Less>
void nearly_sort(Vector& v, Less less) {
  std::size_t moves = 0;
  const std::size_t most = 4 * v.size() + 64;
  for (std::size_t i = 1; i < v.size(); ++i) {
    if (!less(v[i], v[i - 1])) continue;
    const auto item = v[i];
    std::size_t j = i;
    for (; j > 0 && less(item, v[j - 1]); --j) v[j] = v[j - 1];
    v[j] = item;
    moves += i - j;
    if (moves > most) {
      std::sort(v.begin(), v.end(), less);
      return;
    }
  }
}

/// A trapezoid with upright sides.
struct SweepCell {
  double x0 = 0, x1 = 0;
  double lower0 = 0, lower1 = 0;  ///< at x0, at x1
  double upper0 = 0, upper1 = 0;
  std::int32_t lower = 0, upper = 0;  ///< tags of the edges that bound it
  std::int32_t group = 0;             ///< cells of one group are traced together; < 0: left out
};

/// The columns of a set of edges, and the rings of their cells.
class ColumnSweep {
public:
  std::vector<SweepEdge> edges;      ///< in
  std::vector<double> events;        ///< in: more x to cut at
  std::vector<SweepCell> cells;      ///< out of sweep(): by column, then upward
  std::vector<std::size_t> columns;  ///< out of sweep(): first cell of each column, and the end

  /// One traced ring, its vertices ring_points[first .. last).
  struct Traced {
    std::size_t first = 0, last = 0;
    std::int32_t group = 0;
    double area = 0;  ///< > 0: counter-clockwise, an outer ring
  };
  std::vector<Point> ring_points;  ///< out of trace()
  std::vector<Traced> rings;       ///< out of trace(): by first cell

  void clear() {
    edges.clear();
    events.clear();
  }

  /// Cells where layer 0 is entered and layer 1 is not. Columns narrower than `near`, and cells and gaps
  /// lower than it, are none. O(n log n + cells).
  void sweep(double near) {
    cells.clear();
    columns.clear();
    nearly_sort(edges, before);
    xs_.clear();
    // The left ends are in order; the right ends and events nearly.
    ends_x_.assign(events.begin(), events.end());
    for (const SweepEdge& e : edges) ends_x_.push_back(e.x1);
    nearly_sort(ends_x_, [](double a, double b) { return a < b; });
    std::size_t right = 0;
    for (const SweepEdge& e : edges) {
      while (right < ends_x_.size() && ends_x_[right] < e.x0) xs_.push_back(ends_x_[right++]);
      if (xs_.empty() || xs_.back() != e.x0) xs_.push_back(e.x0);
    }
    xs_.insert(xs_.end(), ends_x_.begin() + static_cast<std::ptrdiff_t>(right), ends_x_.end());
    std::size_t kept = 0;  // a cluster's first value stands for it
    for (double x : xs_)
      if (kept == 0 || x - xs_[kept - 1] > near) xs_[kept++] = x;
    xs_.resize(kept);

    active_.clear();
    std::size_t next = 0;
    columns.push_back(0);
    for (std::size_t c = 0; c + 1 < xs_.size(); ++c) {
      const double x0 = xs_[c], x1 = xs_[c + 1];
      std::size_t left = 0;
      for (std::size_t i = 0; i < active_.size(); ++i)
        if (edges[active_[i].edge].x1 >= x1) active_[left++] = active_[i];
      active_.resize(left);
      for (; next < edges.size() && edges[next].x0 <= x0 + near; ++next)
        if (edges[next].x1 >= x1) active_.push_back({next, 0, 0, 0});
      for (Active& a : active_) {
        a.y0 = height_at(edges[a.edge], x0);
        a.y1 = height_at(edges[a.edge], x1);
        a.middle = a.y0 + a.y1;
      }
      // Nearly in order already: they were at the last column.
      for (std::size_t i = 1; i < active_.size(); ++i) {
        const Active a = active_[i];
        std::size_t j = i;
        for (; j > 0 && active_[j - 1].middle > a.middle; --j) active_[j] = active_[j - 1];
        active_[j] = a;
      }
      take_cells(x0, x1, near);
      columns.push_back(cells.size());
    }
  }

  /// Groups the cells that are not left out (group >= 0) by what they touch along an upright stretch longer
  /// than `near`. Cells of different `group` do not connect. Groups are then numbered from 0 by their first
  /// cell. \return how many
  std::int32_t connect(double near) {
    parent_.resize(cells.size());
    for (std::size_t i = 0; i < cells.size(); ++i) parent_[i] = i;
    for_contacts(near, [this](std::size_t left, std::size_t right) {
      if (cells[left].group == cells[right].group) join(left, right);
    });
    std::int32_t count = 0;
    number_.assign(cells.size(), -1);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (cells[i].group < 0) continue;
      const std::size_t root = find(i);
      if (number_[root] < 0) number_[root] = count++;
      cells[i].group = number_[root];
    }
    return count;
  }

  /// Calls contact(left, right) for each two cells of neighbouring columns, none left out, that share an
  /// upright stretch longer than `near`.
  template <class Contact>
  void for_contacts(double near, Contact contact) const {
    for (std::size_t c = 0; c + 2 < columns.size(); ++c) {
      std::size_t j = columns[c + 1];
      for (std::size_t i = columns[c]; i < columns[c + 1]; ++i) {
        if (cells[i].group < 0) continue;
        while (j < columns[c + 2] && cells[j].upper0 <= cells[i].lower1 + near) ++j;
        for (std::size_t k = j; k < columns[c + 2] && cells[k].lower0 < cells[i].upper1 - near; ++k) {
          const double low = std::max(cells[i].lower1, cells[k].lower0);
          const double high = std::min(cells[i].upper1, cells[k].upper0);
          if (cells[k].group >= 0 && high - low > near) contact(i, k);
        }
      }
    }
  }

  /// The rings of each group: no vertex nearer than `near` to the next, none within `straight` of the line of
  /// its neighbours, none twice. Inside on the left.
  /// \param meet  rings that touch keep the vertex they touch at, straight or not: without it, rounding has
  ///   one a hair across the other
  void trace(double near, double straight, bool meet = false) {
    meet_ = meet;
    ring_points.clear();
    rings.clear();
    may_touch_ = false;
    link_.assign(cells.size() * 2, {0, false});
    done_.assign(cells.size() * 2, false);
    for (std::size_t c = 0; c < columns.size(); ++c) link_border(c, near);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (cells[i].group < 0 || done_[2 * i]) continue;
      if (alone(i)) {
        const SweepCell& c = cells[i];
        const std::size_t first = ring_points.size();
        ring_points.insert(ring_points.end(),
                           {{c.x0, c.lower0}, {c.x1, c.lower0}, {c.x1, c.upper0}, {c.x0, c.upper0}});
        rings.push_back({first, first + 4, c.group, (c.x1 - c.x0) * (c.upper0 - c.lower0)});
        continue;
      }
      loop_.clear();
      std::size_t cell = i;
      bool upper = false;
      while (!done_[2 * cell + upper]) {
        done_[2 * cell + upper] = true;
        const SweepCell& at = cells[cell];
        const Link* link = nullptr;
        if (upper) {
          add({at.x1, at.upper1}, near);
          add({at.x0, at.upper0}, near);
          link = &link_[2 * cell];  // arrives at its left border
        } else {
          add({at.x0, at.lower0}, near);
          add({at.x1, at.lower1}, near);
          link = &link_[2 * cell + 1];
        }
        cell = link->cell;
        upper = link->upper;
      }
      close(cells[i].group, near, straight);
    }
  }

private:
  struct Active {
    std::size_t edge;
    double y0, y1, middle;
  };
  /// Where a chain goes on: along the upper edge of a cell, leftward, or its lower one, rightward.
  struct Link {
    std::size_t cell;
    bool upper;
  };
  /// One end of a cell's side at a border between columns.
  struct End {
    double y;
    std::int32_t group;
    std::size_t cell;
    bool stops;  // the upper end
    bool right;  // the cell is on the right of the border
  };

  /// A rectangle that nothing joins: most runs are.
  bool alone(std::size_t i) const {
    const Link &at_left = link_[2 * i], &at_right = link_[2 * i + 1];
    return at_left.cell == i && !at_left.upper && at_right.cell == i && at_right.upper &&
           cells[i].lower0 == cells[i].lower1 && cells[i].upper0 == cells[i].upper1;
  }

  static bool before(const SweepEdge& a, const SweepEdge& b) {
    if (a.x0 != b.x0) return a.x0 < b.x0;
    if (a.y0 != b.y0) return a.y0 < b.y0;
    if (a.y1 != b.y1) return a.y1 < b.y1;
    if (a.x1 != b.x1) return a.x1 < b.x1;
    if (a.layer != b.layer) return a.layer < b.layer;
    if (a.enter != b.enter) return a.enter < b.enter;
    return a.tag < b.tag;
  }

  void take_cells(double x0, double x1, double near) {
    int keep = 0, away = 0;
    bool inside = false;
    SweepCell cell;
    const std::size_t first = cells.size();
    for (const Active& a : active_) {
      const SweepEdge& e = edges[a.edge];
      (e.layer == 0 ? keep : away) += e.enter;
      const bool now = keep > 0 && away <= 0;
      if (now == inside) continue;
      inside = now;
      if (now) {
        if (cells.size() > first && a.y0 - cells.back().upper0 <= near &&
            a.y1 - cells.back().upper1 <= near) {
          cell = cells.back();  // a gap of no height
          cells.pop_back();
        } else {
          cell = {x0, x1, a.y0, a.y1, 0, 0, e.tag, 0, 0};
        }
      } else {
        cell.upper0 = std::max(a.y0, cell.lower0);
        cell.upper1 = std::max(a.y1, cell.lower1);
        cell.upper = e.tag;
        if (cell.upper0 - cell.lower0 > near || cell.upper1 - cell.lower1 > near) cells.push_back(cell);
      }
    }
  }

  std::size_t find(std::size_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::size_t a, std::size_t b) {
    a = find(a);
    b = find(b);
    if (a < b)
      parent_[b] = a;
    else
      parent_[a] = b;
  }

  void arrive(const End& from, const End& to) {
    // At a border a lower edge arrives from the left, an upper one from the right.
    const bool from_arrives = from.stops == from.right;
    const End& arriving = from_arrives ? from : to;
    const End& leaving = from_arrives ? to : from;
    link_[2 * arriving.cell + (arriving.right ? 0 : 1)] = {leaving.cell, leaving.stops};
  }

  /// Links what arrives at the border left of column c to what leaves it.
  void link_border(std::size_t c, double near) {
    const std::size_t lefts = c > 0 ? columns[c] - columns[c - 1] : 0;
    const std::size_t rights = c + 1 < columns.size() ? columns[c + 1] - columns[c] : 0;
    if (lefts == 1 && rights == 1) {
      const std::size_t l = columns[c - 1], r = columns[c];
      const SweepCell &a = cells[l], &b = cells[r];
      const double low = std::max(a.lower1, b.lower0), high = std::min(a.upper1, b.upper0);
      if (a.group == b.group && high - low > near) {
        link_[2 * l + 1] = {r, false};
        link_[2 * r] = {l, true};
        return;
      }
    } else if (rights == 0 && lefts == 1) {
      link_[2 * columns[c - 1] + 1] = {columns[c - 1], true};
      return;
    } else if (lefts == 0 && rights == 1) {
      link_[2 * columns[c]] = {columns[c], false};
      return;
    }
    ends_.clear();
    const auto gather = [&](std::size_t column, bool right) {
      for (std::size_t i = columns[column]; i < columns[column + 1]; ++i) {
        const SweepCell& cell = cells[i];
        if (cell.group < 0) continue;
        const End low{right ? cell.lower0 : cell.lower1, cell.group, i, false, right};
        const End high{right ? cell.upper0 : cell.upper1, cell.group, i, true, right};
        if (high.y - low.y <= near) {
          arrive(low, high);  // it ends in a point
          may_touch_ = true;
          continue;
        }
        ends_.push_back(low);
        ends_.push_back(high);
      }
    };
    if (c > 0) gather(c - 1, false);
    if (c + 1 < columns.size()) gather(c, true);
    if (ends_.empty()) return;
    nearly_sort(ends_, [](const End& a, const End& b) {
      if (a.group != b.group) return a.group < b.group;
      if (a.y != b.y) return a.y < b.y;
      if (a.stops != b.stops) return a.stops;
      if (a.right != b.right) return b.right;
      return a.cell < b.cell;
    });
    // At one height what stops comes before what starts: touching points do not connect.
    for (std::size_t i = 0; i < ends_.size();) {
      std::size_t j = i + 1;
      while (j < ends_.size() && ends_[j].group == ends_[i].group && ends_[j].y - ends_[i].y <= near) ++j;
      for (std::size_t k = i + 1; k < j; ++k)
        for (std::size_t m = k; m > i && ends_[m].stops && !ends_[m - 1].stops; --m)
          std::swap(ends_[m], ends_[m - 1]);
      may_touch_ = may_touch_ || (ends_[i].stops && !ends_[j - 1].stops);
      i = j;
    }
    for (std::size_t i = 0; i + 1 < ends_.size(); i += 2) arrive(ends_[i], ends_[i + 1]);
  }

  static bool close_by(Point a, Point b, double near) {
    return std::abs(a.x - b.x) <= near && std::abs(a.y - b.y) <= near;
  }

  /// Dropping a vertex must not change an area that is compared to 1e-9 of a course: square inches, twice.
  static constexpr double least_turn = 4e-10;

  /// b can go: it lies on a to c, or a spike ends in it.
  static bool needless(Point a, Point b, Point c, double straight) {
    const double dx = c.x - a.x, dy = c.y - a.y;
    const double ux = b.x - a.x, uy = b.y - a.y;
    const double turn = dx * uy - dy * ux;
    const double reach = std::max({std::abs(dx), std::abs(dy), std::abs(ux), std::abs(uy)});
    return std::abs(turn) <= std::min(straight * reach, least_turn);
  }

  void add(Point p, double near) {
    if (loop_.empty() || !close_by(loop_.back(), p, near)) loop_.push_back(p);
  }

  /// Some vertex of loop_ is met twice. O(n log n).
  bool touches_itself(double near) {
    split_ = loop_;
    std::sort(split_.begin(), split_.end(),
              [](Point a, Point b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
    for (std::size_t i = 1; i < split_.size(); ++i)
      for (std::size_t j = i; j > 0 && split_[i].x - split_[j - 1].x <= near; --j)
        if (close_by(split_[j - 1], split_[i], near)) return true;
    return false;
  }

  /// Ends the chain in loop_: splits it where it touches itself. Before straight corners go: a tip may touch
  /// the middle of a long edge, where a column began.
  void close(std::int32_t group, double near, double straight) {
    while (loop_.size() > 1 && close_by(loop_.front(), loop_.back(), near)) loop_.pop_back();
    if (!may_touch_ || loop_.size() < 6 || !touches_itself(near)) {  // two rings of three, at the least
      split_.assign(loop_.begin(), loop_.end());
      kept_.clear();
      emit(0, group, near, straight);
      return;
    }
    split_.clear();
    kept_.clear();
    for (Point p : loop_) {
      // A vertex met before closes a ring of its own.
      std::size_t i = split_.size();
      while (i > 0 && !close_by(split_[i - 1], p, near)) --i;
      if (i > 0) {
        kept_[i - 1] = meet_;
        emit(i - 1, group, near, straight);
        split_.resize(i);
        kept_.resize(i);
      } else {
        split_.push_back(p);
        kept_.push_back(false);
      }
    }
    emit(0, group, near, straight);
  }

  /// The ring split_[from ..).
  void emit(std::size_t from, std::int32_t group, double near, double straight) {
    const std::size_t first = ring_points.size();
    held_.clear();
    const auto size = [&] { return ring_points.size() - first; };
    // Vertex i of the ring, between a and b.
    const auto goes = [&](std::size_t i, Point a, Point b) {
      return (kept_.empty() || !held_[i]) && needless(a, ring_points[first + i], b, straight);
    };
    const auto drop_last = [&] {
      ring_points.pop_back();
      if (!kept_.empty()) held_.pop_back();
    };
    for (std::size_t i = from; i < split_.size(); ++i) {
      const Point p = split_[i];
      while (size() >= 2 && (close_by(ring_points.back(), p, near) ||
                             goes(size() - 1, ring_points[ring_points.size() - 2], p)))
        drop_last();
      if (size() > 0 && close_by(ring_points.back(), p, near)) continue;
      ring_points.push_back(p);
      if (!kept_.empty()) held_.push_back(kept_[i]);
    }
    // The seam.
    std::size_t skip = 0;
    for (bool again = true; again && size() - skip >= 3;) {
      again = false;
      const Point front = ring_points[first + skip], second = ring_points[first + skip + 1];
      if (close_by(ring_points.back(), front, near) ||
          goes(size() - 1, ring_points[ring_points.size() - 2], front)) {
        drop_last();
        again = true;
      } else if (goes(skip, ring_points.back(), second)) {
        ++skip;
        again = true;
      }
    }
    ring_points.erase(ring_points.begin() + static_cast<std::ptrdiff_t>(first),
                      ring_points.begin() + static_cast<std::ptrdiff_t>(first + skip));
    if (ring_points.size() - first < 3) {
      ring_points.resize(first);
      return;
    }
    double twice = 0;
    for (std::size_t i = first + 1; i + 1 < ring_points.size(); ++i)
      twice += cross(ring_points[first], ring_points[i], ring_points[i + 1]);
    std::size_t lowest = first;
    for (std::size_t i = first + 1; i < ring_points.size(); ++i) {
      const Point p = ring_points[i], q = ring_points[lowest];
      if (p.y < q.y || (p.y == q.y && p.x < q.x)) lowest = i;
    }
    std::rotate(ring_points.begin() + static_cast<std::ptrdiff_t>(first),
                ring_points.begin() + static_cast<std::ptrdiff_t>(lowest), ring_points.end());
    rings.push_back({first, ring_points.size(), group, twice / 2});
  }

  std::vector<double> xs_, ends_x_;
  bool may_touch_ = false;  // some border has a point that chains may meet twice
  bool meet_ = false;
  std::vector<Active> active_;
  std::vector<std::size_t> parent_;
  std::vector<std::int32_t> number_;
  std::vector<Link>
      link_;  // [2 i]: from cell i's upper edge at its left; [2 i + 1]: from its lower at its right
  std::vector<char> done_;  // [2 i]: lower, [2 i + 1]: upper
  std::vector<End> ends_;
  std::vector<Point> loop_, split_;
  std::vector<char> kept_, held_;  // of split_, where chains meet, and of the ring: vertices that stay
};

/// The rings of group g of a traced sweep as a polygon: the outer ring first found, holes in order.
inline Polygon traced_polygon(const ColumnSweep& sweep, std::int32_t group) {
  Polygon polygon;
  double greatest = 0;
  for (const ColumnSweep::Traced& ring : sweep.rings) {
    if (ring.group != group) continue;
    const auto begin = sweep.ring_points.begin();
    Ring points(begin + static_cast<std::ptrdiff_t>(ring.first),
                begin + static_cast<std::ptrdiff_t>(ring.last));
    if (ring.area < 0) {
      polygon.holes.push_back(std::move(points));
    } else if (ring.area > greatest) {
      greatest = ring.area;  // a group is connected, so any other is a speck of rounding
      polygon.outer = std::move(points);
    }
  }
  return polygon;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
