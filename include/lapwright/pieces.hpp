#pragma once
/// \file pieces.hpp  Each piece: its blank, its cuts front and back, its callouts.
#include <optional>
#include <string>
#include <vector>

#include <lapwright/joints.hpp>

namespace lapwright {
inline namespace v0 {

enum class CutKind { crosscut, rip, rake, notch };
enum class Tool { shears, saw };

/// Left or right, face up. Of a rake: left where the waste falls to the left.
enum class Hand { left, right };

/// One cut, in the order a cutter makes them: square ends, rakes, rips, notches, holes.
///
/// Paths stand in the blank, inches from its lower left corner, on multiples of 2^-32 in (a quarter of a
/// nanometre): length - x is then exact, and the layout of the back turned over again is that of the front
/// bit for bit. A path begins at its lower end, of two equal ones at the left; a hole's is closed, its first
/// point repeated.
///
/// Callouts are measured from one end of the piece (`Piece::from`) and up from its lower edge. Every number
/// is a whole multiple of the division and makes the board smaller, never larger, by less than one division:
/// lengths go down, and so does what a notch leaves standing, but the far side of a notch goes up, so that
/// each gap at the trim stays within gap ... gap + division. Only inside a leg or strip thinner than two
/// divisions does every number go down. On a metric division they are millimetres: "notch top, 500 to 901 mm,
/// leave 60 mm, from left".
///
///     square left end                                   the end measured from, where it is no factory end
///     square at 63 7/16, from left
///     rake right: 62 3/8 bottom, 45 7/8 top, from left  waste falls off to the right
///     rip at 4 1/2 up, waste above                      the whole length of the piece
///     rip at 4 1/2 up, 12 1/4 to 30, waste above, from left
///     notch top, 20 1/4 to 63 9/16, leave 4 1/2, from left
///     notch top right corner at 50 1/4, leave 4 1/2, from left
///     notch bottom, 20 1/4 to 63 9/16, 2 3/8 up, from left
///     notch right end, at 50 1/4, 2 up to 5 up, from left
///     hole, 20 1/4 to 24, 2 up to 5 up, from left
///     saw: 20 top, 22 1/2 at 4 3/16 up, 25 top, waste inside, from left   an edge, and back to it
///     saw: 95 bottom, 95 at 6 up, end at 7 up, waste left, from left      left of the first leg
///     skip, under 1/16                                  nothing is left to cut once it is rounded
struct Cut {
  CutKind kind = CutKind::crosscut;
  std::vector<Point> front;  ///< path in the blank from its lower left corner, face up; inches
  std::vector<Point> back;   ///< the same path with the back up: x' = length - x
  Tool tool = Tool::shears;
  bool seal = false;  ///< some of it shows: prime the edge
  std::optional<double>
      long_point;  ///< rake only: distance of its further end from the blank's other end, in
  std::optional<double>
      short_point;           ///< rake only: distance of its nearer end from the blank's other end, in
  std::string callout;       ///< short, to call across a site; face up
  std::string back_callout;  ///< the same cut with the back up, where left is right
  std::string print;         ///< longer, for the cut sheet
};

struct PieceEnd {
  Meets meets = Meets::corner;
  bool factory = false;  ///< one whole, square end of a stock board
  bool seal = false;     ///< some of its edge is a field cut that shows
};

/// What lies between neighbouring joints or ends of a run.
struct Piece {
  std::string id;  ///< "south-03-2"
  int course = 0;
  bool filler = false;
  Ring outline;             ///< on the wall, counter-clockwise
  std::vector<Ring> holes;  ///< on the wall, clockwise
  double x_min = 0;         ///< in; the blank is [x_min, x_max] x [y, y + board.width]
  double x_max = 0;
  double y = 0;         ///< in; the course line
  double length = 0;    ///< in; x_max - x_min, nominal
  std::string callout;  ///< length rounded down to the division: "63 7/16", "1611 mm"
  Hand from =
      Hand::left;  ///< the end, face up, that callouts are measured from: a factory end where it has one
  PieceEnd left;
  PieceEnd right;
  std::vector<Cut> cuts;
};

/// The pieces of one wall by course, left to right, fillers after the pieces of their course.
/// Near linear in the vertices of the runs; each run is read once for every joint in it.
/// \throws Refused for a joint of no run, a run of no course, a division or board width that is not above 0.
std::vector<Piece> cut_pieces(const Wall& wall, const Region& region, const Runs& runs,
                              const std::vector<Joint>& joints, const Pole& pole, const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/pieces.ipp>
#endif
