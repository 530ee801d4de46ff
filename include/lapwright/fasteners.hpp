#pragma once
/// \file fasteners.hpp  Each nail, what it goes into, how deep.
#include <string>
#include <vector>

#include <lapwright/framing.hpp>
#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {

enum class NailBase { stud, member, sheathing };

/// In: how far from an end its nail stands where the piece and the stud have room; `end_edge` is the least
/// (common practice).
inline constexpr double usual_end_distance = 0.75;

/// Of the shank, from the shank's centre to the stud's face: the least recommended for side wood that is not
/// bored first (NDS Commentary Table C12.1.6.6). Kept where there is a choice; a note where there is none.
inline constexpr double stud_edge_diameters = 2.5;

/// Of the shank: the least penetration that a nail counts with, its point included (NDS 2018 12.1.6.4).
inline constexpr double least_penetration_diameters = 6;

/// One nail. Inches.
struct Nail {
  Point at;                             ///< on the wall
  NailBase into = NailBase::sheathing;  ///< a stud before a member, a member before the sheathing
  bool face = false;                    ///< some of the head shows
  double penetration = 0;               ///< length, less what it passes
  // The nail's path, in the order it passes: their sum with the penetration is the nail's length.
  double board = 0;        ///< through its own board
  double board_below = 0;  ///< through the course below, where it meets it
  double stand_off = 0;    ///< across the gap that the lean leaves
  double sheathing = 0;    ///< passed on the way to a stud or member; 0 where it goes no further
  double stud_edge =
      0;  ///< from the shank's centre to the nearest face of the stud or member; 0 in sheathing
  double held =
      0;  ///< of the penetration, what is in wood: a point that comes out behind the sheathing holds nothing
};

/// Counts of one wall's nails in its pieces.
struct NailTally {
  int stud = 0;
  int member = 0;
  int sheathing = 0;
  int face = 0;  ///< face nails, counted again
};

/// The nails of one wall.
struct Fastening {
  std::vector<std::vector<Nail>> pieces;    ///< nails of pieces[i], left to right
  std::vector<std::vector<Nail>> starters;  ///< nails of starters[i]
  NailTally tally;                          ///< of the pieces
  NailTally starter_tally;
  double framing_share = 0;      ///< of the pieces' nails, in studs or members; 1 where there are none
  double least_penetration = 0;  ///< in; of the pieces' nails in studs or members; 0 where there are none
  std::vector<Finding> findings;
};

/// Nails every piece, filler and starter of one wall.
///
/// Where a nail may be: `edge` from level edges, `end_edge` from all others. It is blind (on the nail line,
/// where that is taken lower in the hidden band, clear of the course below) wherever such a place is left at
/// a stud or an end; else it is set through the face, high, and its head clear of the next course's edge.
/// Fillers, and pieces lower than two `edge`, are nailed at the middle of their height.
/// - every stud whose centre line meets the places of a piece has a nail; of studs that overlap one will do;
/// - each end at a joint has its own in the shared stud, further from the end than `end_edge` as far as the
///   stud's recommended edge distance allows;
/// - an end whose first place is more than `end_reach` from its nearest nail, along the wall, gets one: in a
///   stud or member where one reaches, else in the sheathing;
/// - neighbours stand `max_spacing` apart at most, not counting stretches where no nail may be.
/// Where the sheathing holds no nails and framing is missing, findings (no_framing_at_end, nail_spacing) say
/// what to add. Other findings: nail_share, nail_penetration, nail_stud (a note: nearer to a stud's face than
/// recommended), nail_end (a piece with no place for a nail).
///
/// `pieces` as cut_pieces gives them: by course. O(pieces (edges log edges) + nails log studs).
Fastening place_fasteners(const Wall& wall, const Region& region, const Pole& pole,
                          const WallCourses& courses, const std::vector<Piece>& pieces,
                          const std::vector<Starter>& starters, const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/fasteners.ipp>
#endif
