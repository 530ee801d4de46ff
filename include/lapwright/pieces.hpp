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

/// One cut, in the order a cutter makes them.
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
  bool seal = false;
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
  std::string callout;  ///< length rounded down to the division
  PieceEnd left;
  PieceEnd right;
  std::vector<Cut> cuts;
};

/// The pieces of one wall by course, left to right, fillers after the pieces of their course.
std::vector<Piece> cut_pieces(const Wall& wall, const Region& region, const Runs& runs,
                              const std::vector<Joint>& joints, const Pole& pole, const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/pieces.ipp>
#endif
