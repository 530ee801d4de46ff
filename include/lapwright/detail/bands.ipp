#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include <lapwright/bands.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/sweep_bands.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

// Every height becomes a whole number once, 2k on line k and 2k + 1 between it and the next; from there on
// what begins, ends or bends in a band is asked of whole numbers alone. The edges that pass a line are
// carried from band to band in their order along it. A band inside which no corner lies is read off two such
// orders, pair by pair. In any other, the region's own outline is followed from line to line and closed along
// them. Where rings touch, or rounding upset an order, the band is cut by columns (BandSweep), which no
// rounding can upset.
//
// find_runs cuts its bands by columns too, and all of them: they overlap by the lap, and its rules speak of
// the parts between corners and of what bounds each from below and above, which rings no longer tell. The
// cutting is under half of what it does. This class knows of no parts, and that is what makes it fast.
struct CourseBands::Work {
  std::vector<Point> points;  // what is used of it ends at `used`: never filled twice
  std::size_t used = 0;
  std::vector<BandRing> rings;

  void clear() {
    corner_.clear();
    outline_.clear();
  }

  void add_ring(const Point* ring, std::size_t count) {
    if (count < 3) return;
    const std::size_t first = corner_.size();
    Box box{ring[0].x, ring[0].y, ring[0].x, ring[0].y};
    for (std::size_t i = 0; i < count; ++i) {
      const Point p = ring[i];
      corner_.push_back(p);
      box.x_min = std::min(box.x_min, p.x);
      box.x_max = std::max(box.x_max, p.x);
      box.y_min = std::min(box.y_min, p.y);
      box.y_max = std::max(box.y_max, p.y);
    }
    outline_.push_back({first, first + count, box});
  }

  void cut(const double* lines, std::size_t count) {
    used = 0;
    rings.clear();
    if (count < 2 || corner_.empty()) return;
    lines_ = lines;
    bands_ = count - 1;
    columns_loaded_ = false;
    detail::nearly_sort(outline_,
                        [](const Outline& a, const Outline& b) { return a.box.x_min < b.box.x_min; });
    place_corners();
    sort_edges();
    doubt_touching();
    high_.clear();
    repeats_until_ = 0;
    std::size_t inside = 0;
    for (std::size_t k = 0; k < bands_; ++k) {
      if (k < repeats_until_ && busy_[k] == 0 && starts_[k] == starts_[k + 1]) {
        repeat(k);
        continue;
      }
      repeats_until_ = 0;
      gather_low(k);
      if (busy_[k] == 0) {
        if (!read_off(k)) by_columns(k);
        continue;
      }
      const std::size_t first_point = used, first_ring = rings.size();
      gather_high(k);
      const bool good = busy_[k] == has_corner && follow(k);
      if (!good) {
        used = first_point;
        rings.resize(first_ring);
        by_columns(k);
      }
      for (; inside < inside_.size() && inside_[inside].band == k; ++inside)
        if (good) copy_ring(inside_[inside]);
    }
  }

private:
  static constexpr double near = 1e-9;  // rings this near may touch; corners this near are one
  static constexpr char has_corner = 1, doubtful = 2;

  struct Outline {
    std::size_t first, last;
    Box box;
  };
  /// An edge from its lower end; edge i of the region begins at corner i and ends at corner `next`.
  struct Edge {
    double x0, y0, x1, y1;
    double lean;             // x for each y
    std::int32_t low, high;  // heights of its ends, as whole numbers
    std::uint32_t next;
    bool up;  // boards on its left: it ends a stretch of boards along a line
  };
  /// Where an edge passes a line.
  struct Pass {
    double x;
    std::uint32_t edge;
  };
  struct Inside {
    std::size_t band, outline;
  };

  // --- heights as whole numbers ------------------------------------------------------------------

  /// 2k: on line k; 2k + 1: above it, below the next; -1: below all.
  std::int32_t place(double y, double per_line) const {
    const double guess = (y - lines_[0]) * per_line;
    const auto last = static_cast<std::int32_t>(bands_);
    std::int32_t k = guess <= 0                           ? 0
                     : guess >= static_cast<double>(last) ? last
                                                          : static_cast<std::int32_t>(guess);
    // Lines lie nearly evenly, and are searched where they do not.
    if (lines_[k] > y + tolerance || (k < last && lines_[k + 1] <= y + tolerance)) {
      const double* after = std::upper_bound(lines_, lines_ + bands_ + 1, y + tolerance);
      k = static_cast<std::int32_t>(after - lines_) - 1;
      if (k < 0) return -1;
    }
    return y <= lines_[k] + tolerance ? 2 * k : 2 * k + 1;
  }

  void place_corners() {
    const double per_line = static_cast<double>(bands_) / (lines_[bands_] - lines_[0]);
    busy_.assign(bands_, 0);
    height_.resize(corner_.size());
    const auto top = static_cast<std::int32_t>(2 * bands_);
    inside_.clear();
    for (std::size_t o = 0; o < outline_.size(); ++o) {
      std::int32_t lowest = top + 1, highest = -1;
      for (std::size_t i = outline_[o].first; i < outline_[o].last; ++i) {
        const std::int32_t h = place(corner_[i].y, per_line);
        height_[i] = h;
        lowest = std::min(lowest, h);
        highest = std::max(highest, h);
        if (h > 0 && h < top && h % 2 == 1) busy_[static_cast<std::size_t>(h / 2)] = has_corner;
      }
      if (lowest == highest && lowest > 0 && lowest < top && lowest % 2 == 1)
        inside_.push_back({static_cast<std::size_t>(lowest / 2), o});
    }
    std::sort(inside_.begin(), inside_.end(), [](const Inside& a, const Inside& b) {
      return a.band != b.band ? a.band < b.band : a.outline < b.outline;
    });
  }

  /// Edges by the first band they pass into.
  void sort_edges() {
    const std::size_t n = corner_.size();
    edge_.resize(n);
    starts_.assign(bands_ + 1, 0);
    const auto top = static_cast<std::int32_t>(2 * bands_);
    for (const Outline& outline : outline_)
      for (std::size_t i = outline.first; i < outline.last; ++i) {
        const std::size_t j = i + 1 < outline.last ? i + 1 : outline.first;
        const bool up = corner_[j].y > corner_[i].y;
        const Point a = corner_[up ? i : j], b = corner_[up ? j : i];
        Edge& e = edge_[i];
        e = {a.x, a.y, b.x, b.y, 0, height_[up ? i : j], height_[up ? j : i], static_cast<std::uint32_t>(j),
             up};
        if (!passes(e, top)) continue;
        if (a.x != b.x) e.lean = (b.x - a.x) / (b.y - a.y);
        ++starts_[first_band(e) + 1];
      }
    for (std::size_t k = 1; k <= bands_; ++k) starts_[k] += starts_[k - 1];
    order_.resize(starts_[bands_]);
    fill_.assign(starts_.begin(), starts_.end());
    for (std::size_t i = 0; i < n; ++i)
      if (passes(edge_[i], top)) order_[fill_[first_band(edge_[i])]++] = static_cast<std::uint32_t>(i);
  }
  /// It has a share in some band and reaches one of that band's lines.
  static bool passes(const Edge& e, std::int32_t top) { return e.low < e.high && e.high > 0 && e.low < top; }
  static std::size_t first_band(const Edge& e) {
    return e.low <= 0 ? 0 : static_cast<std::size_t>(e.low / 2);
  }

  // --- where rings may touch ---------------------------------------------------------------------

  /// A ring that touches another makes a band's ring that touches itself. Such bands are marked: a box around
  /// the smaller ring that some edge of the other does not clearly pass by.
  void doubt_touching() {
    for (std::size_t i = 0; i < outline_.size(); ++i)
      for (std::size_t j = i + 1;
           j < outline_.size() && outline_[j].box.x_min <= outline_[i].box.x_max + near; ++j) {
        const Box &a = outline_[i].box, &b = outline_[j].box;
        if (a.y_min > b.y_max + near || b.y_min > a.y_max + near) continue;
        const bool first_smaller =
            a.x_max - a.x_min + a.y_max - a.y_min < b.x_max - b.x_min + b.y_max - b.y_min;
        doubt(first_smaller ? outline_[i].box : outline_[j].box, first_smaller ? outline_[j] : outline_[i]);
      }
  }
  void doubt(const Box& box, const Outline& outline) {
    for (std::size_t i = outline.first; i < outline.last; ++i) {
      const Edge& e = edge_[i];
      if (e.y0 > box.y_max + 2 * near || e.y1 < box.y_min - 2 * near) continue;
      if (std::max(e.x0, e.x1) < box.x_min - near || std::min(e.x0, e.x1) > box.x_max + near) continue;
      const Point a{e.x0, e.y0}, b{e.x1, e.y1};
      const double low = std::max(box.y_min, e.y0), high = std::min(box.y_max, e.y1);
      if (a.x != b.x && a.y != b.y) {
        const double reach = near * (std::abs(b.x - a.x) + std::abs(b.y - a.y));
        const double c0 = detail::cross(a, b, {box.x_min, box.y_min}),
                     c1 = detail::cross(a, b, {box.x_max, box.y_min}),
                     c2 = detail::cross(a, b, {box.x_max, box.y_max}),
                     c3 = detail::cross(a, b, {box.x_min, box.y_max});
        if (std::min({c0, c1, c2, c3}) > reach || std::max({c0, c1, c2, c3}) < -reach) continue;
      }
      for (std::size_t k = 0; k < bands_; ++k)
        if (busy_[k] != 0 && lines_[k] <= high + tolerance && lines_[k + 1] >= low - tolerance)
          busy_[k] |= doubtful;
    }
  }

  // --- orders along the lines --------------------------------------------------------------------

  /// side: +1 above the line, -1 below it. What ends comes before what starts: touching points do not
  /// connect.
  void put_in_order(std::vector<Pass>& passes, int side) const {
    detail::nearly_sort(passes, [this, side](const Pass& p, const Pass& q) {
      if (p.x != q.x) return p.x < q.x;
      const Edge &e = edge_[p.edge], &f = edge_[q.edge];
      if (e.lean != f.lean) return side > 0 ? e.lean < f.lean : f.lean < e.lean;
      if (e.up != f.up) return e.up;
      return p.edge < q.edge;
    });
  }

  /// low_: what passes up from line k; inner_: what starts above it, inside the band.
  void gather_low(std::size_t k) {
    const auto line = static_cast<std::int32_t>(2 * k);
    low_.clear();
    inner_.clear();
    for (const Pass& p : high_)
      if (edge_[p.edge].high > line) low_.push_back(p);
    bool any = false;
    for (std::size_t i = starts_[k]; i < starts_[k + 1]; ++i) {
      const Edge& e = edge_[order_[i]];
      if (e.low > line) {
        inner_.push_back(order_[i]);
        continue;
      }
      low_.push_back({e.low == line ? e.x0 : detail::edge_x_at({e.x0, e.y0}, e.lean, lines_[k]), order_[i]});
      any = true;
    }
    if (any) put_in_order(low_, 1);
  }

  double pass_high(const Edge& e, std::size_t k) const {
    return e.high == static_cast<std::int32_t>(2 * k + 2)
               ? e.x1
               : detail::edge_x_at({e.x0, e.y0}, e.lean, lines_[k + 1]);
  }
  void add_high(std::uint32_t edge, std::size_t k) {
    const Edge& e = edge_[edge];
    if (e.high >= static_cast<std::int32_t>(2 * k + 2)) high_.push_back({pass_high(e, k), edge});
  }
  void gather_high(std::size_t k) {
    high_.clear();
    for (const Pass& p : low_) add_high(p.edge, k);
    for (std::uint32_t edge : inner_) add_high(edge, k);
    put_in_order(high_, -1);
  }

  // --- rings -------------------------------------------------------------------------------------

  /// Nothing happens inside the band: each stretch of its lower line goes on to its upper one.
  bool read_off(std::size_t k) {
    const double low = lines_[k], high = lines_[k + 1];
    const std::size_t n = low_.size();
    high_.resize(n);
    bool good = n % 2 == 0, upright = true;
    auto ends = static_cast<std::int32_t>(2 * bands_);
    for (std::size_t i = 0; i < n; ++i) {
      const Edge& e = edge_[low_[i].edge];
      high_[i] = {pass_high(e, k), low_[i].edge};
      good = good && e.up == (i % 2 == 1) && (i == 0 || high_[i - 1].x <= high_[i].x);
      upright = upright && e.lean == 0;
      ends = std::min(ends, e.high);
    }
    if (!good) {
      put_in_order(high_, -1);
      return false;
    }
    last_ring_ = rings.size();
    last_point_ = used;
    Point* at = room(2 * n);
    const Point* const begin = points.data();
    for (std::size_t i = 0; i < n; i += 2) {
      const double a = low_[i].x, b = low_[i + 1].x, c = high_[i + 1].x, d = high_[i].x;
      Point* const first = at;
      *at++ = {a, low};
      if (b - a > near) *at++ = {b, low};
      *at++ = {c, high};
      if (c - d > near) *at++ = {d, high};
      if (at - first < 3) {
        at = first;
        continue;
      }
      rings.push_back({static_cast<std::size_t>(first - begin), static_cast<std::size_t>(at - first), k,
                       ((b - a) + (c - d)) * (high - low) / 2});
    }
    used = static_cast<std::size_t>(at - begin);
    // Uprights alone, up to the first corner of any.
    if (upright && used - last_point_ == 2 * n) repeats_until_ = static_cast<std::size_t>(ends / 2);
    return true;
  }

  /// As the band below, one course higher.
  void repeat(std::size_t k) {
    const double low = lines_[k], high = lines_[k + 1];
    const std::size_t count = rings.size() - last_ring_;
    Point* to = room(4 * count);
    const Point* from = points.data() + last_point_;
    for (std::size_t r = 0; r < count; ++r, from += 4, to += 4) {
      const double a = from[0].x, b = from[1].x;
      to[0] = {a, low};
      to[1] = {b, low};
      to[2] = {b, high};
      to[3] = {a, high};
      rings.push_back({used + 4 * r, 4, k, (b - a) * (high - low)});
    }
    last_ring_ += count;
    last_point_ = used;
    used += 4 * count;
  }

  /// Where n more points go.
  Point* room(std::size_t n) {
    if (used + n > points.size()) points.resize(2 * (used + n) + 64);
    return points.data() + used;
  }
  static bool close_by(Point a, Point b) {
    return std::abs(a.x - b.x) <= near && std::abs(a.y - b.y) <= near;
  }
  void add(Point p) {
    if (used > first_ && close_by(points[used - 1], p)) return;
    *room(1) = p;
    ++used;
  }
  void add(const Pass& p, double y) { add({p.x, y}); }

  /// Stretches of boards along a line, pair by pair, that do not touch.
  bool pairs(const std::vector<Pass>& passes) const {
    if (passes.size() % 2 != 0) return false;
    for (std::size_t i = 0; i < passes.size(); ++i) {
      if (edge_[passes[i].edge].up != (i % 2 == 1)) return false;
      if (i > 0 && i % 2 == 0 && passes[i].x - passes[i - 1].x <= near) return false;
    }
    return true;
  }

  /// Follows the outline from each stretch of a line until it is back there.
  bool follow(std::size_t k) {
    if (!pairs(low_) || !pairs(high_)) return false;
    at_.resize(corner_.size());
    // An edge that passes both lines is asked for where it goes: up to the upper one, down to the lower.
    for (std::size_t i = 0; i < low_.size(); i += 2) at_[low_[i].edge] = static_cast<std::uint32_t>(i);
    for (std::size_t i = 1; i < high_.size(); i += 2) at_[high_[i].edge] = static_cast<std::uint32_t>(i);
    seen_low_.assign(low_.size() / 2, false);
    seen_high_.assign(high_.size() / 2, false);
    for (std::size_t i = 0; i < low_.size(); i += 2)
      if (!seen_low_[i / 2] && !follow_from(k, true, i)) return false;
    for (std::size_t i = 0; i < high_.size(); i += 2)
      if (!seen_high_[i / 2] && !follow_from(k, false, i)) return false;
    return true;
  }

  bool follow_from(std::size_t k, bool from_low, std::size_t pair) {
    const auto low_line = static_cast<std::int32_t>(2 * k), high_line = low_line + 2;
    const double low = lines_[k], high = lines_[k + 1];
    first_ = used;
    bool at_low = from_low;
    for (std::size_t i = pair;;) {
      // Along the line: rightward below, leftward above.
      std::uint32_t edge = 0;
      if (at_low) {
        if (seen_low_[i / 2]) return false;
        seen_low_[i / 2] = true;
        add(low_[i], low);
        add(low_[i + 1], low);
        edge = low_[i + 1].edge;
      } else {
        if (seen_high_[i / 2]) return false;
        seen_high_[i / 2] = true;
        add(high_[i + 1], high);
        add(high_[i], high);
        edge = high_[i].edge;
      }
      for (;; edge = edge_[edge].next) {
        const Edge& e = edge_[edge];
        if (e.up ? e.high >= high_line : e.low <= low_line) break;
        *room(1) = corner_[e.next];  // more than a tolerance from both lines
        ++used;
      }
      at_low = !edge_[edge].up;
      i = at_low ? at_[edge] : at_[edge] - 1;
      if (at_low == from_low && i == pair) break;
    }
    finish(k, !from_low);
    return true;
  }

  void copy_ring(const Inside& inside) {
    first_ = used;
    const Outline& outline = outline_[inside.outline];
    std::copy(corner_.begin() + static_cast<std::ptrdiff_t>(outline.first),
              corner_.begin() + static_cast<std::ptrdiff_t>(outline.last),
              room(outline.last - outline.first));
    used += outline.last - outline.first;
    finish(inside.band, true);
  }

  void finish(std::size_t k, bool turn) {
    while (used > first_ + 1 && close_by(points[used - 1], points[first_])) --used;
    const std::size_t count = used - first_;
    double twice = 0;
    for (std::size_t i = 1; i + 1 < count; ++i)
      twice += detail::cross(points[first_], points[first_ + i], points[first_ + i + 1]);
    if (count < 3 || twice == 0) {
      used = first_;
      return;
    }
    if (turn) {
      const auto begin = points.begin() + static_cast<std::ptrdiff_t>(first_);
      const auto end = points.begin() + static_cast<std::ptrdiff_t>(used);
      std::rotate(
          begin,
          std::min_element(begin, end, [](Point a, Point b) { return a.y != b.y ? a.y < b.y : a.x < b.x; }),
          end);
    }
    rings.push_back({first_, count, k, twice / 2});
  }

  void by_columns(std::size_t k) {
    if (!columns_loaded_) {
      columns_.clear();
      for (std::size_t i = 0; i < corner_.size(); ++i)
        columns_.add_edge(corner_[i], corner_[edge_[i].next], 0);
      columns_loaded_ = true;
    }
    columns_.cut(lines_[k], lines_[k + 1]);
    columns_.sweep_columns(near);
    columns_.sweep.trace(near, near, true);
    for (const detail::ColumnSweep::Traced& ring : columns_.sweep.rings) {
      const std::size_t count = ring.last - ring.first;
      const auto begin = columns_.sweep.ring_points.begin() + static_cast<std::ptrdiff_t>(ring.first);
      std::copy(begin, begin + static_cast<std::ptrdiff_t>(count), room(count));
      rings.push_back({used, count, k, ring.area});
      used += count;
    }
  }

  // The region, ring after ring.
  std::vector<Point> corner_;
  std::vector<Outline> outline_;
  // One cut.
  const double* lines_ = nullptr;
  std::size_t bands_ = 0;
  std::vector<std::int32_t> height_;
  std::vector<Edge> edge_;
  std::vector<std::size_t> starts_, fill_;
  std::vector<std::uint32_t> order_, inner_, at_;
  std::vector<char> busy_, seen_low_, seen_high_;
  std::vector<Inside> inside_;
  std::vector<Pass> low_, high_;
  std::size_t first_ = 0;  // of the ring being followed
  std::size_t repeats_until_ = 0, last_ring_ = 0, last_point_ = 0;
  detail::BandSweep columns_;
  bool columns_loaded_ = false;
};

LAPW_INLINE CourseBands::CourseBands() : work_(1) {}
LAPW_INLINE CourseBands::~CourseBands() = default;
LAPW_INLINE CourseBands::CourseBands(CourseBands&&) noexcept = default;
LAPW_INLINE CourseBands& CourseBands::operator=(CourseBands&&) noexcept = default;

LAPW_INLINE void CourseBands::clear() {
  work_.front().clear();
}
LAPW_INLINE void CourseBands::add_ring(const Point* points, std::size_t count) {
  work_.front().add_ring(points, count);
}
LAPW_INLINE void CourseBands::load(const Region& region) {
  work_.front().clear();
  for (const Polygon& part : region.parts) {
    work_.front().add_ring(part.outer.data(), part.outer.size());
    for (const Ring& hole : part.holes) work_.front().add_ring(hole.data(), hole.size());
  }
}
LAPW_INLINE void CourseBands::cut(const double* lines, std::size_t count) {
  work_.front().cut(lines, count);
}
LAPW_INLINE const std::vector<BandRing>& CourseBands::rings() const {
  return work_.front().rings;
}
LAPW_INLINE const Point* CourseBands::points() const {
  return work_.front().points.data();
}
LAPW_INLINE std::size_t CourseBands::point_count() const {
  return work_.front().used;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
