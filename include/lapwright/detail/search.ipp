#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/search.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Area of everything that must be cut whatever the joints, less the most that joints' gaps and offcuts on
/// hand can save. Square inches. A piece beside a joint is never under 8 in, so a run has at most one joint
/// every 8 in.
inline double least_area_to_cut(const std::vector<SearchWall>& walls, const Rules& rules) {
  const double width = rules.board.width;
  double sum = 0;
  for (const SearchWall& wall : walls) {
    for (const Run& run : wall.runs->runs) {
      sum += area(run.shape);
      if (rules.joints.gap > 0)
        sum -= std::floor((run.x_max - run.x_min) / 8) * std::min(rules.joints.gap, 8.0) * width;
    }
    for (const Starter& starter : wall.runs->starters) {
      const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
      sum += starter.width * std::sqrt(dx * dx + dy * dy);
    }
  }
  for (const StockOffcut& offcut : rules.board.offcuts) sum -= offcut.length * width;
  return std::max(sum, 0.0);
}

/// No boards whose areas reach `least` cost less. With one stock length the boards are counted; with several
/// the cheapest area is.
inline double area_bound(double least, const Rules& rules) {
  const std::vector<double> prices = board_prices(rules);
  double cheapest = -1;
  for (std::size_t s = 0; s < prices.size(); ++s) {
    const double price = prices[s] / (rules.board.lengths[s] * rules.board.width);
    if (cheapest < 0 || price < cheapest) cheapest = price;
  }
  if (cheapest < 0) return 0;
  // A millionth of a board off: sums of areas carry the noise of double arithmetic.
  if (prices.size() == 1)
    return std::max(0.0, std::ceil(least / (rules.board.lengths[0] * rules.board.width) - 1e-6)) * prices[0];
  return std::max(0.0, least * cheapest * (1 - 1e-9));
}

}  // namespace detail

LAPW_INLINE Settled settle_boards(const std::vector<SearchWall>& walls, const Pole& pole, const Rules& rules,
                                  SearchCallback callback, void* context) {
  Settled settled;
  std::vector<Piece> pieces;
  std::vector<Starter> starters;
  for (const SearchWall& wall : walls) {
    settled.joints.push_back(place_joints(*wall.wall, *wall.region, *wall.runs, pole, rules));
    for (Piece& piece :
         cut_pieces(*wall.wall, *wall.region, *wall.runs, settled.joints.back().joints, pole, rules))
      pieces.push_back(std::move(piece));
    starters.insert(starters.end(), wall.runs->starters.begin(), wall.runs->starters.end());
  }
  settled.packing = pack_boards(pieces, starters, rules);
  settled.proven_minimum = detail::area_bound(detail::least_area_to_cut(walls, rules), rules);
  settled.certificate.bound = settled.proven_minimum;
  settled.steps = 1;
  if (callback) callback({settled.steps, settled.packing.cost, settled.proven_minimum}, context);
  return settled;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
