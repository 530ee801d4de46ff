#pragma once
/// \file detail/board_fit.hpp  Pieces on one board: where an outline can lie, clear of the others by a kerf.
#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// What is to be cut, in its own blank: lower left corner at the origin, face up. Inches.
struct BoardShape {
  Ring up;      ///< as on the wall
  Ring turned;  ///< after half a turn in its plane
  double length = 0;
  bool left = false;  ///< its left end, as on the wall, is a factory end
  bool right = false;
  bool own_edge = false;  ///< a long edge of the board is left on it, so it cannot be shifted up or down
  double low = 0;         ///< of the outline, as on the wall
  double high = 0;
  double area = 0;
  bool plain = false;  ///< the blank itself

  int ends() const { return (left ? 1 : 0) + (right ? 1 : 0); }
};
BoardShape board_shape(const Piece& piece, double width);

/// A shape on a board. x and y: of the lower left corner of its blank as it lies.
struct Lay {
  std::size_t shape = 0;  ///< index into the shapes
  bool turned = false;
  double x = 0;
  double y = 0;
};

/// The least distance, from the origin of a to that of b, at which b lies wholly right of a and at least
/// `kerf` clear of it, whatever lies between; -infinity where they pass above one another. O(vertices of a x
/// vertices of b).
double clear_to_the_right(const Ring& a, const Ring& b, double rise, double kerf);

/// One board being filled.
class BoardFit {
public:
  BoardFit(const std::vector<BoardShape>& shapes, double length, double width, double kerf, bool left_factory,
           bool right_factory, bool turnable);

  double length() const { return length_; }
  const std::vector<Lay>& lays() const { return lays_; }
  double free_area() const { return length_ * width_ - used_; }
  /// The longest full-height stretch that is free, kerfs off.
  double gap() const { return gap_; }

  /// Every place worth trying for a shape, best first: those that leave the longest full-height stretch.
  std::vector<Lay> places(std::size_t shape) const;
  /// The best of them.
  std::optional<Lay> place(std::size_t shape) const;
  /// What gap() would be with it.
  double gap_with(const Lay& lay) const;

  void add(const Lay& lay);
  void pop();

  /// Lays all of the shapes on this (empty) board, or none. Tries orders and turns, at most `nodes` of them.
  bool fill(std::vector<std::size_t> shapes, int nodes);

  /// No stretch that is free over some height is longer.
  double longest_free(double height) const {
    return plain_ == lays_.size() ? gap_ : std::min(length_, free_area() / height);
  }
  /// Free stretches of x for a rectangle from y to y + height, clear by a kerf of all that lies here.
  std::vector<Interval> free_stretches(double y, double height) const;

private:
  const Ring& ring(const Lay& lay) const {
    return lay.turned ? (*shapes_)[lay.shape].turned : (*shapes_)[lay.shape].up;
  }
  double clear(const Lay& a, const Lay& b) const;
  template <class Offer>
  void each_place(std::size_t shape, const Offer& offer) const;
  double longest_gap(const Lay* extra) const;
  bool fill_rest(const std::vector<std::size_t>& rest, std::size_t from, int& nodes);

  const std::vector<BoardShape>* shapes_;
  double length_ = 0, width_ = 0, kerf_ = 0;
  bool left_factory_ = true, right_factory_ = true, turnable_ = true;
  std::vector<Lay> lays_;
  double used_ = 0, gap_ = 0;
  std::size_t plain_ = 0;  // how many of lays_ are blanks
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/board_fit.ipp>
#endif
