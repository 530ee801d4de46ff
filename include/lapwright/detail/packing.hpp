#pragma once
/// \file detail/packing.hpp  Boards for a caller that knows already which pieces share one.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {
struct Packing;

namespace detail {

/// Pieces that are to come from one board.
struct BoardGroup {
  std::ptrdiff_t stock = 0;         ///< index into board.lengths
  std::ptrdiff_t on_hand = -1;      ///< index into board.offcuts, then stock does not matter
  std::vector<std::size_t> pieces;  ///< indices
};

/// Boards with pieces laid on them, priced but not yet in order: a search looks at many and keeps one. Holds
/// references: what it is made from must live as long.
class LaidBoards {
public:
  /// Each group is laid on its board first. What a group's board cannot hold (the groups may come from
  /// lengths alone), or is in no group, goes on as in pack_boards; nothing is lost or cut twice. \param
  /// nesting  share of the usual tries to make rakes nest and low pieces share a board; 0: none \throws
  /// Refused for pieces that no stock holds
  LaidBoards(const std::vector<Piece>& pieces, const std::vector<Starter>& starters, const Rules& rules,
             const std::vector<BoardGroup>& groups, double nesting);
  ~LaidBoards();
  LaidBoards(LaidBoards&& other) noexcept;
  LaidBoards& operator=(LaidBoards&& other) noexcept;

  double cost() const { return cost_; }  ///< of all boards, those for starters too
  Packing packing() const;               ///< costs no more
  /// By piece: how much of its board is left over, square inches.
  std::vector<double> left_over() const;

private:
  std::unique_ptr<class Packer> packer_;
  double cost_ = 0;
};

/// \throws Refused for rules of boards, and pieces, that are none.
void check_packing(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                   const Rules& rules);

/// As pack_boards, but with groups, as in LaidBoards.
Packing pack_assigned(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                      const Rules& rules, const std::vector<BoardGroup>& groups, double nesting = 1);

/// True where one board of the length, with or without factory ends, gives all of these pieces.
bool board_gives(const std::vector<Piece>& pieces, const Rules& rules, double length, bool left_factory,
                 bool right_factory);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/packing.ipp>
#endif
