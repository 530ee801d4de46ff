#pragma once
/// \file detail/nesting.hpp  What two pieces save by sharing a stretch of a board: slanted ends of one lean
/// lie along one another, low pieces one above the other.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <utility>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// What lets a piece share a stretch of a board with another.
struct NestShape {
  double height = 0;  ///< in; of what is cut
  bool edge = false;  ///< a long edge of the board is left on it
  double left = 0,
         right = 0;  ///< run of an end that slants over the whole height, + where its top leans right
  bool plain() const { return left == 0 && right == 0; }
  /// Two such pieces lie one above the other.
  bool low(const Rules& rules) const {
    return 2 * height + rules.cutting.kerf <= rules.board.width + tolerance &&
           (rules.board.turnable || !edge);
  }
};

/// \param outline  lies in a blank from x_min to x_max, y up
inline NestShape nest_shape(const Ring& outline, double x_min, double x_max, double y, double width) {
  const Box box = bounds(outline);
  NestShape out;
  out.height = box.y_max - box.y_min;
  out.edge = std::abs(box.y_min - y) <= tolerance || std::abs(box.y_max - y - width) <= tolerance;
  const std::size_t n = outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    Point a = outline[i], b = outline[(i + 1) % n];
    if (a.y > b.y) std::swap(a, b);
    if (b.y - a.y < width - tolerance || std::abs(b.x - a.x) <= tolerance) continue;
    if (std::min(a.x, b.x) <= x_min + tolerance) out.left = b.x - a.x;
    if (std::max(a.x, b.x) >= x_max - tolerance) out.right = b.x - a.x;
  }
  return out;
}
inline NestShape nest_shape(const Piece& piece, const Rules& rules) {
  return nest_shape(piece.outline, piece.x_min, piece.x_max, piece.y, rules.board.width);
}

/// Leans in units of 1/4096 in: those of one slope are one.
inline std::int64_t lean_key(double lean) {
  return static_cast<std::int64_t>(std::llround(lean * 4096));
}

/// Inches of a board that two slanted ends of this run save by lying along one another.
inline double lean_saving(double lean, const Rules& rules) {
  const double width = rules.board.width;
  const double slant = std::sqrt(lean * lean + width * width) / width;
  return std::max(0.0, std::abs(lean) - rules.cutting.kerf * (slant - 1));
}

/// Inches of a board that two pieces save by nesting, which are `a` and `b` long; 0: none.
inline double nest_saving(const NestShape& p, double a, const NestShape& q, double b, const Rules& rules) {
  if (p.height + q.height + rules.cutting.kerf <= rules.board.width + tolerance &&
      (rules.board.turnable || !p.edge || !q.edge))
    return std::min(a, b) + rules.cutting.kerf;
  double best = 0;
  const auto ends = [&](double m, double n, bool turning) {
    if (m == 0 || std::abs(m - n) > tolerance || (turning && !rules.board.turnable)) return;
    best = std::max(best, lean_saving(m, rules));
  };
  ends(p.left, q.left, true);
  ends(p.right, q.right, true);
  ends(p.left, q.right, false);
  ends(p.right, q.left, false);
  return best;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
