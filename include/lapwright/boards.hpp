#pragma once
/// \file boards.hpp  Which board each piece is cut from.
#include <cstdint>
#include <string>
#include <vector>

#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {

/// One thing cut from a board.
struct Placement {
  std::string piece;    ///< a piece's id, or empty
  std::string starter;  ///< a starter's id, or empty
  Point at;  ///< lower left corner of the blank (or of the starter strip) on the board, face up, in
  bool turned = false;  ///< half a turn in its plane
  Point size;           ///< starter strips only: length and height, in
};

struct Offcut {
  Point at;
  Point size;
};

struct Board {
  int id = 0;         ///< from 1, in cutting order
  double length = 0;  ///< in
  double price = 0;
  int on_hand = -1;  ///< index into board.offcuts where it is one of those; -1: bought
  std::vector<Placement> cut;
  std::vector<Offcut> offcuts;
};

struct Packing {
  std::vector<Board> boards;
  double cost = 0;  ///< sum of prices
  int most_waiting =
      0;  ///< cut pieces that lie about at most, when boards are cut in order and pieces hung in theirs
  std::vector<Finding> findings;
};

/// Cuts pieces and starters of all walls from boards.
/// \throws Refused for a piece longer than any stock.
Packing pack_boards(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                    const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/boards.ipp>
#endif
