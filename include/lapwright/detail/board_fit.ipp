#pragma once
#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include <lapwright/detail/board_fit.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

LAPW_INLINE BoardShape board_shape(const Piece& piece, double width) {
  BoardShape out;
  out.length = piece.x_max - piece.x_min;
  out.left = piece.left.factory;
  out.right = piece.right.factory;
  const auto on = [](double value, double line) { return std::fabs(value - line) <= tolerance; };
  for (Point p : piece.outline) {
    Point q{p.x - piece.x_min, p.y - piece.y};
    if (on(q.x, 0)) q.x = 0;
    if (on(q.x, out.length)) q.x = out.length;
    if (on(q.y, 0)) q.y = 0;
    if (on(q.y, width)) q.y = width;
    out.up.push_back(q);
  }
  for (Point p : out.up) out.turned.push_back({out.length - p.x, width - p.y});
  const std::size_t n = out.up.size();
  if (n == 0) return out;
  const Box box = bounds(out.up);
  out.low = box.y_min;
  out.high = box.y_max;
  out.area = signed_area(out.up);
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = out.up[i], b = out.up[(i + 1) % n];
    if (a.y == b.y && (a.y == 0 || a.y == width) && a.x != b.x) out.own_edge = true;
  }
  out.plain = n == 4 && out.area >= out.length * width - tolerance * (out.length + width);
  return out;
}

/// How far right a point at height y may lie and still be k from the segment a b; y is less than k off its
/// height.
inline double reach_right(Point a, Point b, double y, double k) {
  double out = -std::numeric_limits<double>::infinity();
  for (Point p : {a, b}) {
    const double d = y - p.y;
    if (d < k && d > -k) out = std::max(out, p.x + (d == 0 ? k : std::sqrt(k * k - d * d)));
  }
  const double dx = b.x - a.x, dy = b.y - a.y;
  if (dy == 0) return out;
  // The long right side of the strip of width 2 k about the segment.
  const double l = std::sqrt(dx * dx + dy * dy), side = dy > 0 ? k : -k;
  const double ay = a.y - dx / l * side, by = b.y - dx / l * side;
  if ((y < ay && y < by) || (y > ay && y > by) || ay == by) return out;
  return std::max(out, a.x + dy / l * side + dx * ((y - ay) / (by - ay)));
}

LAPW_INLINE double clear_to_the_right(const Ring& a, const Ring& b, double rise, double kerf) {
  // A kerf of nothing still keeps outlines apart, by less than the tolerance.
  const double k = std::max(kerf, tolerance / 4);
  double out = -std::numeric_limits<double>::infinity();
  const auto between = [k](Point p, Point q, double y) {
    return y < std::max(p.y, q.y) + k && y > std::min(p.y, q.y) - k;
  };
  const auto turned = [](Point p) { return Point{-p.x, p.y}; };
  Point p = a.back(), s = b.back();
  s.y += rise;
  for (Point q : a) {
    for (Point r : b) {
      r.y += rise;
      if (between(p, q, r.y)) out = std::max(out, reach_right(p, q, r.y, k) - r.x);
    }
    p = q;
  }
  for (Point r : b) {
    r.y += rise;
    for (Point v : a)
      if (between(s, r, v.y)) out = std::max(out, v.x + reach_right(turned(s), turned(r), v.y, k));
    s = r;
  }
  return out;
}

LAPW_INLINE BoardFit::BoardFit(const std::vector<BoardShape>& shapes, double length, double width,
                               double kerf, bool left_factory, bool right_factory, bool turnable)
    : shapes_(&shapes),
      length_(length),
      width_(width),
      kerf_(kerf),
      left_factory_(left_factory),
      right_factory_(right_factory),
      turnable_(turnable),
      gap_(length) {}

LAPW_INLINE double BoardFit::clear(const Lay& a, const Lay& b) const {
  const BoardShape& p = (*shapes_)[a.shape];
  const BoardShape& q = (*shapes_)[b.shape];
  if (p.plain || q.plain) return p.length + kerf_;
  return clear_to_the_right(ring(a), ring(b), b.y - a.y, kerf_);
}

/// Intervals sorted as they come in: a board holds few things, and none of this may allocate.
class FewIntervals {
public:
  explicit FewIntervals(std::size_t most) {
    if (most <= sizeof(fixed_) / sizeof(fixed_[0])) return;
    more_.resize(most);
    data_ = more_.data();
  }
  FewIntervals(const FewIntervals&) = delete;
  FewIntervals& operator=(const FewIntervals&) = delete;
  void insert(Interval i) {
    std::size_t at = size_++;
    for (;
         at > 0 && (i.low < data_[at - 1].low || (i.low == data_[at - 1].low && i.high < data_[at - 1].high));
         --at)
      data_[at] = data_[at - 1];
    data_[at] = i;
  }
  void clear() { size_ = 0; }
  std::size_t size() const { return size_; }
  const Interval& operator[](std::size_t i) const { return data_[i]; }
  const Interval* begin() const { return data_; }
  const Interval* end() const { return data_ + size_; }

private:
  Interval fixed_[24];
  std::vector<Interval> more_;
  Interval* data_ = fixed_;
  std::size_t size_ = 0;
};

LAPW_INLINE double BoardFit::longest_gap(const Lay* extra) const {
  FewIntervals taken(lays_.size() + 1);
  const auto take = [&](const Lay& lay) {
    taken.insert({lay.x - kerf_, lay.x + (*shapes_)[lay.shape].length + kerf_});
  };
  for (const Lay& lay : lays_) take(lay);
  if (extra != nullptr) take(*extra);
  double at = 0, longest = 0;
  for (Interval i : taken) {
    longest = std::max(longest, i.low - at);
    at = std::max(at, i.high);
  }
  return std::max(longest, length_ - at);
}

LAPW_INLINE double BoardFit::gap_with(const Lay& lay) const {
  return longest_gap(&lay);
}

template <class Offer>
void BoardFit::each_place(std::size_t shape, const Offer& offer) const {
  const BoardShape& s = (*shapes_)[shape];
  if (s.length > length_ + tolerance) return;
  FewIntervals taken(lays_.size());
  for (int turned = 0; turned < (turnable_ ? 2 : 1); ++turned) {
    // A blank turned half round looks the same; only where its factory end comes to lie differs.
    if (turned == 1 && s.plain && s.left == s.right) break;
    double heights[2] = {0, 0};
    int count = 1;
    if (!s.own_edge) {
      const double low = turned ? width_ - s.high : s.low, high = turned ? width_ - s.low : s.high;
      heights[0] = -low;
      heights[1] = width_ - high;
      if (heights[1] - heights[0] > tolerance) count = 2;
    }
    for (int h = 0; h < count; ++h) {
      Lay lay{shape, turned == 1, 0, heights[h]};
      const bool left = lay.turned ? s.right : s.left, right = lay.turned ? s.left : s.right;
      if ((left && !left_factory_) || (right && !right_factory_)) continue;
      double low = 0, high = std::max(0.0, length_ - s.length);
      if (left) high = 0;
      if (right) low = std::max(0.0, length_ - s.length);
      if (low - high > tolerance) continue;
      taken.clear();
      for (const Lay& other : lays_) {
        const double after = clear(other, lay), before = clear(lay, other);
        if (std::isinf(after) || std::isinf(before)) continue;  // they pass above one another
        taken.insert({other.x - before, other.x + after});
      }
      // Leftmost and rightmost place in each free stretch.
      double at = low;
      for (std::size_t i = 0; i <= taken.size(); ++i) {
        const double until = i < taken.size() ? std::min(taken[i].low, high) : high;
        if (at <= until + tolerance) {
          lay.x = std::min(at, high);
          offer(lay);
          if (until > at + tolerance) {
            lay.x = until;
            offer(lay);
          }
        }
        if (i < taken.size()) at = std::max(at, taken[i].high);
        if (at > high + tolerance) break;
      }
    }
  }
}

LAPW_INLINE std::vector<Lay> BoardFit::places(std::size_t shape) const {
  std::vector<std::pair<double, Lay>> found;
  each_place(shape, [&](const Lay& lay) { found.emplace_back(gap_with(lay), lay); });
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<Lay> out;
  out.reserve(found.size());
  for (const auto& f : found) out.push_back(f.second);
  return out;
}

LAPW_INLINE std::optional<Lay> BoardFit::place(std::size_t shape) const {
  std::optional<Lay> best;
  double best_gap = 0;
  each_place(shape, [&](const Lay& lay) {
    const double gap = gap_with(lay);
    if (best && gap <= best_gap) return;
    best = lay;
    best_gap = gap;
  });
  return best;
}

LAPW_INLINE void BoardFit::add(const Lay& lay) {
  lays_.push_back(lay);
  used_ += (*shapes_)[lay.shape].area;
  plain_ += (*shapes_)[lay.shape].plain ? 1 : 0;
  gap_ = longest_gap(nullptr);
}

LAPW_INLINE void BoardFit::pop() {
  used_ -= (*shapes_)[lays_.back().shape].area;
  plain_ -= (*shapes_)[lays_.back().shape].plain ? 1 : 0;
  lays_.pop_back();
  gap_ = longest_gap(nullptr);
}

LAPW_INLINE bool BoardFit::fill_rest(const std::vector<std::size_t>& rest, std::size_t from, int& nodes) {
  if (from == rest.size()) return true;
  for (const Lay& lay : places(rest[from])) {
    if (--nodes < 0) return false;
    add(lay);
    if (fill_rest(rest, from + 1, nodes)) return true;
    pop();
  }
  return false;
}

LAPW_INLINE bool BoardFit::fill(std::vector<std::size_t> shapes, int nodes) {
  double area = 0;
  for (std::size_t s : shapes) area += (*shapes_)[s].area;
  if (area > length_ * width_ + tolerance * length_) return false;
  // Those with the least freedom first: factory ends, then what is not plain, then the longest.
  std::sort(shapes.begin(), shapes.end(), [&](std::size_t a, std::size_t b) {
    const BoardShape& p = (*shapes_)[a];
    const BoardShape& q = (*shapes_)[b];
    if (p.ends() != q.ends()) return p.ends() > q.ends();
    if (p.plain != q.plain) return q.plain;
    if (p.length != q.length) return p.length > q.length;
    return a < b;
  });
  if (fill_rest(shapes, 0, nodes)) return true;
  while (!lays_.empty()) pop();
  return false;
}

LAPW_INLINE std::vector<Interval> BoardFit::free_stretches(double y, double height) const {
  std::vector<Interval> taken;
  const double k = std::max(kerf_, tolerance / 4);
  for (const Lay& lay : lays_) {
    const BoardShape& s = (*shapes_)[lay.shape];
    if (s.plain) {
      taken.push_back({lay.x - kerf_, lay.x + s.length + kerf_});
      continue;
    }
    // The stretch of the outline that comes within a kerf of the rectangle's height; a kerf beside it.
    const double low = y - k - lay.y, high = y + height + k - lay.y;
    const Ring& r = ring(lay);
    double x0 = std::numeric_limits<double>::infinity(), x1 = -x0;
    for (std::size_t i = 0; i < r.size(); ++i) {
      Point a = r[i], b = r[(i + 1) % r.size()];
      if (a.y > b.y) std::swap(a, b);
      if (b.y <= low || a.y >= high) continue;
      const auto at = [&](double level) { return a.x + (b.x - a.x) * ((level - a.y) / (b.y - a.y)); };
      const double xa = a.y < low ? at(low) : a.x, xb = b.y > high ? at(high) : b.x;
      x0 = std::min(x0, std::min(xa, xb));
      x1 = std::max(x1, std::max(xa, xb));
    }
    if (x0 > x1) continue;
    taken.push_back({lay.x + x0 - kerf_, lay.x + x1 + kerf_});
  }
  std::sort(taken.begin(), taken.end(),
            [](Interval a, Interval b) { return a.low != b.low ? a.low < b.low : a.high < b.high; });
  std::vector<Interval> out;
  double at = 0;
  for (Interval i : taken) {
    if (i.low > at) out.push_back({at, i.low});
    at = std::max(at, i.high);
  }
  if (at < length_) out.push_back({at, length_});
  return out;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
