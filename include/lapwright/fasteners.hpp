#pragma once
/// \file fasteners.hpp  Each nail, what it goes into, how deep.
#include <string>
#include <vector>

#include <lapwright/framing.hpp>
#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {

enum class NailBase { stud, member, sheathing };

/// One nail. Inches.
struct Nail {
  Point at;  ///< on the wall
  NailBase into = NailBase::sheathing;
  bool face = false;       ///< some of the head shows
  double penetration = 0;  ///< left in what it goes into
  // The nail's path, in the order it passes: their sum with the penetration is the nail's length.
  double board = 0;        ///< through its own board
  double board_below = 0;  ///< through the course below, where it meets it
  double stand_off = 0;    ///< across the gap that the lean leaves
  double sheathing = 0;
  double stud_edge =
      0;  ///< from the shank's centre to the nearest face of the stud or member; 0 in sheathing
};

/// The nails of one wall.
struct Fastening {
  std::vector<std::vector<Nail>> pieces;    ///< nails of pieces[i], left to right
  std::vector<std::vector<Nail>> starters;  ///< nails of starters[i]
  double framing_share = 0;                 ///< of the pieces' nails, in studs or members
  double least_penetration = 0;             ///< in; of the nails in studs or members
  std::vector<Finding> findings;
};

Fastening place_fasteners(const Wall& wall, const Region& region, const Pole& pole,
                          const WallCourses& courses, const std::vector<Piece>& pieces,
                          const std::vector<Starter>& starters, const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/fasteners.ipp>
#endif
