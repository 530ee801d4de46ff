#pragma once
/// \file detail/fasteners_places.hpp  Where in a piece a nail may be: far enough from each of its edges.
///
/// A nail keeps its distance from an edge as from a segment, ends included; so the places left on a level or
/// upright line are what lies inside the piece there, less one interval for each edge. No square root decides
/// which interval that is, and none but those of the slanted edges moves its ends.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/pieces.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// A place at its least distance is allowed: what an edge blocks is taken smaller by this (in), well inside
/// `tolerance`.
inline constexpr double nail_slack = 1e-7;

/// One edge of a piece and whether it is level.
struct NailEdge {
  Point a, b;
  bool level = false;
};

/// What lies nearer than `reach` to the segment a to b, on the line v = at, as an interval in u; `a` and `b`
/// are given as (u, v). False where nothing does.
inline bool blocked_on_line(Point a, Point b, double reach, double at, Interval& out) {
  bool any = false;
  const auto take = [&](double low, double high) {
    if (!any) {
      out = {low, high};
      any = true;
    } else {
      out.low = std::min(out.low, low);
      out.high = std::max(out.high, high);
    }
  };
  const auto disc = [&](Point c) {
    const double off = at - c.y;
    if (std::fabs(off) < reach) {
      const double half = std::sqrt(reach * reach - off * off);
      take(c.x - half, c.x + half);
    }
  };
  if (at <= std::min(a.y, b.y) - reach || at >= std::max(a.y, b.y) + reach) return false;
  disc(a);
  disc(b);
  const double dx = b.x - a.x, dy = b.y - a.y;
  if (dy == 0) {  // along the line
    take(std::min(a.x, b.x), std::max(a.x, b.x));
  } else if (dx == 0) {  // across it
    if (at >= std::min(a.y, b.y) && at <= std::max(a.y, b.y)) take(a.x - reach, a.x + reach);
  } else {
    // Beside the segment: within reach of its line, and square to a point of it.
    const double length2 = dx * dx + dy * dy;
    const double on = a.x + dx * ((at - a.y) / dy);
    const double half = reach * std::sqrt(length2) / std::fabs(dy);
    // (u - a.x) dx + (at - a.y) dy lies in [0, length2].
    const double foot_a = a.x - (at - a.y) * dy / dx;
    const double foot_b = foot_a + length2 / dx;
    const double low = std::max(on - half, std::min(foot_a, foot_b));
    const double high = std::min(on + half, std::max(foot_a, foot_b));
    if (low <= high) take(low, high);
  }
  return any;
}

/// The places of one piece. Made once a wall and filled again for each piece, so that nothing is allocated
/// once warm.
class NailPlaces {
public:
  void take(const Piece& piece, double edge, double end_edge) {
    edge_ = edge;
    end_edge_ = end_edge;
    edges_.clear();
    box_ = bounds(piece.outline);
    const auto add = [&](const Ring& ring) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point a = ring[i], b = ring[i + 1 < ring.size() ? i + 1 : 0];
        edges_.push_back({a, b, std::fabs(a.y - b.y) <= tolerance});
      }
    };
    add(piece.outline);
    for (const Ring& hole : piece.holes) add(hole);
    plain_ = piece.holes.empty() && piece.outline.size() == 4;
    for (const NailEdge& e : edges_) plain_ = plain_ && (e.a.x == e.b.x || e.a.y == e.b.y);
  }

  bool plain() const { return plain_; }  ///< a rectangle
  const Box& box() const { return box_; }
  const std::vector<NailEdge>& edges() const { return edges_; }

  /// The x of the places at height y, `ends` (in) off edges that are not level. Ascending, apart.
  void row(double y, double ends, std::vector<Interval>& out) { line<false>(y, edge_, ends, out); }
  /// The y of the places at x.
  void column(double x, double ends, std::vector<Interval>& out) { line<true>(x, edge_, ends, out); }
  /// The y inside the piece at x, whatever the distances from edges.
  void inside(double x, std::vector<Interval>& out) { line<true>(x, 0, 0, out); }

  /// Whether (x, y) keeps `ends` off every edge that is not level.
  bool keeps_ends(Point p, double ends) const {
    const double least = std::max(ends - nail_slack, 0.0);
    for (const NailEdge& e : edges_) {
      if (e.level) continue;
      const double dx = e.b.x - e.a.x, dy = e.b.y - e.a.y;
      const double t = std::clamp(((p.x - e.a.x) * dx + (p.y - e.a.y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
      const double off_x = p.x - (e.a.x + t * dx), off_y = p.y - (e.a.y + t * dy);
      if (off_x * off_x + off_y * off_y < least * least) return false;
    }
    return true;
  }

private:
  template <bool upright>
  void line(double at, double edge, double ends, std::vector<Interval>& out) {
    out.clear();
    const auto turn = [](Point p) { return upright ? Point{p.y, p.x} : p; };
    if (plain_) {
      const double u0 = upright ? box_.y_min + edge : box_.x_min + ends;
      const double u1 = upright ? box_.y_max - edge : box_.x_max - ends;
      const double v0 = upright ? box_.x_min + ends : box_.y_min + edge;
      const double v1 = upright ? box_.x_max - ends : box_.y_max - edge;
      if (at < v0 - nail_slack || at > v1 + nail_slack || u0 > u1 + nail_slack) return;
      if (u0 <= u1)
        out.push_back({u0, u1});
      else
        out.push_back({(u0 + u1) / 2, (u0 + u1) / 2});
      return;
    }
    cuts_.clear();
    blocked_.clear();
    for (const NailEdge& e : edges_) {
      const Point a = turn(e.a), b = turn(e.b);
      if ((a.y > at) != (b.y > at)) cuts_.push_back(a.x + (b.x - a.x) * ((at - a.y) / (b.y - a.y)));
      const double reach = e.level ? edge : ends;
      Interval gone;
      if (reach > 0 && blocked_on_line(a, b, reach, at, gone)) blocked_.push_back(gone);
    }
    std::sort(cuts_.begin(), cuts_.end());
    std::sort(blocked_.begin(), blocked_.end(), [](const Interval& a, const Interval& b) {
      return a.low != b.low ? a.low < b.low : a.high < b.high;
    });
    for (std::size_t i = 0; i + 1 < cuts_.size(); i += 2) {
      double from = cuts_[i];
      const double to = cuts_[i + 1];
      const auto keep = [&](double low, double high) {
        if (low <= high) {
          out.push_back({low, high});
        } else if (low <= high + 2 * nail_slack) {
          // One point between two edges, by the slack of each: if a third leaves it free.
          const double at_most = (low + high) / 2;
          for (const Interval& gone : blocked_)
            if (gone.low < at_most - 2 * nail_slack && gone.high > at_most + 2 * nail_slack) return;
          out.push_back({at_most, at_most});
        }
      };
      for (const Interval& gone : blocked_) {
        if (gone.high <= from) continue;
        if (gone.low >= to) break;
        keep(from, gone.low);
        from = gone.high;
        if (from > to) break;
      }
      keep(from, to);
    }
  }

  double edge_ = 0, end_edge_ = 0;
  Box box_;
  bool plain_ = false;
  std::vector<NailEdge> edges_;
  std::vector<double> cuts_;
  std::vector<Interval> blocked_;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
