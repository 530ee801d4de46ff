#pragma once
/// \file detail/piece_groups.hpp  Which pieces share a board: patterns of lengths, factory ends and pairs
/// that nest.
#include <cstdint>
#include <vector>

#include <lapwright/detail/packing.hpp>
#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Whether any of them could share a stretch of a board with another.
bool pieces_nest(const std::vector<Piece>& pieces, const Rules& rules);

/// \param nested  pairs that nest share a stretch; without, low pieces are left out: they lie above or below
///   others
/// \param known  a bound of the cost that is proven, or 0
std::vector<BoardGroup> group_pieces(const std::vector<Piece>& pieces, const Rules& rules, bool nested,
                                     std::int64_t steps, double known, std::int64_t& spent);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/piece_groups.ipp>
#endif
