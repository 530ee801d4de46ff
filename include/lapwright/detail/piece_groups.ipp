#pragma once
#include <algorithm>
#include <cmath>
#include <utility>

#include <lapwright/boards.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/house_model.hpp>
#include <lapwright/detail/nesting.hpp>
#include <lapwright/detail/patterns.hpp>
#include <lapwright/detail/piece_groups.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr std::size_t nest_pairs = 600;  // at most, those that save most

LAPW_INLINE bool pieces_nest(const std::vector<Piece>& pieces, const Rules& rules) {
  for (const Piece& piece : pieces) {
    const NestShape shape = nest_shape(piece, rules);
    if (!shape.plain() || shape.height < rules.board.width - tolerance) return true;
  }
  return false;
}

LAPW_INLINE std::vector<BoardGroup> group_pieces(const std::vector<Piece>& pieces, const Rules& rules,
                                                 bool nested, std::int64_t steps, double known,
                                                 std::int64_t& spent) {
  const std::vector<double> prices = board_prices(rules);
  double longest = longest_board(rules), per_inch = 16;
  for (const StockOffcut& offcut : rules.board.offcuts) longest = std::max(longest, offcut.length);
  while (per_inch > 1e-3 && per_inch * (longest + rules.cutting.kerf) > house_units_on_board) per_inch /= 2;
  const auto units = [&](double length, double rounding) {
    return static_cast<std::int64_t>(std::floor((length + rules.cutting.kerf) * per_inch + rounding));
  };
  std::vector<PatternStock> stocks;
  for (std::size_t s = 0; s < prices.size(); ++s)
    stocks.push_back({units(rules.board.lengths[s], 1e-4), 2, prices[s], -1});
  for (const StockOffcut& offcut : rules.board.offcuts)
    stocks.push_back(
        {units(offcut.length, 1e-4), (offcut.factory_left ? 1 : 0) + (offcut.factory_right ? 1 : 0), 0, 1});

  struct Entry {
    std::int64_t weight = 0;
    int ends = 0;
    std::size_t piece = 0;
    NestShape nest;
    std::int64_t left = 0, right = 0, height = 0;  // of the nest, where there is a choice of pairs
  };
  std::vector<Entry> entries;
  std::vector<BoardGroup> groups;
  std::vector<char> taken(rules.board.offcuts.size(), 0);
  std::vector<std::size_t> half_full(prices.size(), npos);  // group that one low whole board stands in
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    const double length = pieces[p].x_max - pieces[p].x_min;
    Entry entry;
    entry.nest = nest_shape(pieces[p], rules);
    const bool low = entry.nest.low(rules);
    const int ends = (pieces[p].left.factory ? 1 : 0) + (pieces[p].right.factory ? 1 : 0);
    if (!nested && low && ends < 2) continue;  // they lie above or below others
    if (ends == 2) {
      for (std::size_t s = 0; s < prices.size(); ++s)
        if (std::abs(rules.board.lengths[s] - pieces[p].length) <= 2 * tolerance) {
          // Of low ones two make a board.
          if (low && half_full[s] < groups.size()) {
            groups[half_full[s]].pieces.push_back(p);
            half_full[s] = npos;
            break;
          }
          if (low) half_full[s] = groups.size();
          // A whole board on hand costs nothing.
          std::ptrdiff_t on_hand = -1;
          for (std::size_t i = 0; i < rules.board.offcuts.size() && on_hand < 0; ++i) {
            const StockOffcut& offcut = rules.board.offcuts[i];
            if (!taken[i] && offcut.factory_left && offcut.factory_right &&
                std::abs(offcut.length - pieces[p].length) <= 2 * tolerance)
              on_hand = static_cast<std::ptrdiff_t>(i);
          }
          if (on_hand >= 0) taken[static_cast<std::size_t>(on_hand)] = 1;
          groups.push_back({static_cast<std::ptrdiff_t>(s), on_hand, {p}});
          break;
        }
      continue;
    }
    entry.weight = units(length, 1 - 1e-3);
    entry.ends = ends;
    entry.piece = p;
    if (nested) {
      const auto grid = [](double inches) { return static_cast<std::int64_t>(std::llround(inches * 4096)); };
      entry.left = grid(entry.nest.left);
      entry.right = grid(entry.nest.right);
      if (entry.nest.height < rules.board.width - tolerance)
        entry.height = grid(entry.nest.height) * 2 + (entry.nest.edge ? 1 : 0);
    }
    entries.push_back(entry);
  }
  std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
    if (a.weight != b.weight) return a.weight > b.weight;
    if (a.ends != b.ends) return a.ends > b.ends;
    if (a.left != b.left) return a.left < b.left;
    if (a.right != b.right) return a.right < b.right;
    return a.height != b.height ? a.height < b.height : a.piece < b.piece;
  });
  std::vector<PatternItem> items;
  std::vector<std::vector<std::size_t>> members;
  std::vector<const Entry*> first_of;  // by item
  for (const Entry& entry : entries) {
    if (items.empty() || items.back().weight != entry.weight || items.back().ends != entry.ends ||
        first_of.back()->left != entry.left || first_of.back()->right != entry.right ||
        first_of.back()->height != entry.height) {
      items.push_back({entry.weight, entry.ends, 0});
      members.emplace_back();
      first_of.push_back(&entry);
    }
    ++items.back().demand;
    members.back().push_back(entry.piece);
  }
  std::vector<PatternPair> pairs;
  if (nested) {
    std::vector<std::pair<std::int64_t, PatternPair>> found;  // by what they save
    std::vector<std::size_t> special;
    for (std::size_t i = 0; i < items.size(); ++i)
      if (!first_of[i]->nest.plain() || first_of[i]->height > 0) special.push_back(i);
    const std::int64_t kerf = units(0, 0);
    for (std::size_t m = 0; m < special.size(); ++m)
      for (std::size_t n = m; n < special.size(); ++n) {
        const std::size_t i = special[m], j = special[n];
        if (i == j && items[i].demand < 2) continue;
        if (items[i].ends + items[j].ends > 2) continue;
        const double saving = nest_saving(first_of[i]->nest, pieces[first_of[i]->piece].length,
                                          first_of[j]->nest, pieces[first_of[j]->piece].length, rules);
        const std::int64_t less = static_cast<std::int64_t>(std::floor(saving * per_inch));
        if (less <= 0) continue;
        const std::int64_t weight = std::max(items[i].weight + items[j].weight - less, kerf + 1);
        if (weight > stocks[0].capacity && stocks.size() == 1) continue;
        found.push_back({-less, {i, j, weight}});
      }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t k = 0; k < found.size() && k < nest_pairs; ++k) pairs.push_back(found[k].second);
  }
  for (std::size_t i = 0; i < taken.size(); ++i)
    if (taken[i]) stocks[prices.size() + i].available = 0;
  double whole = 0;
  for (const BoardGroup& group : groups)
    if (group.on_hand < 0) whole += prices[static_cast<std::size_t>(group.stock)];
  const PatternResult result = solve_patterns(items, stocks, steps, std::max(0.0, known - whole), pairs);
  spent += result.steps;
  std::vector<std::size_t> next(items.size(), 0), used(stocks.size(), 0);
  for (const Pattern& pattern : result.patterns)
    for (std::int64_t i = 0; i < pattern.times; ++i) {
      BoardGroup group;
      if (pattern.stock < prices.size())
        group.stock = static_cast<std::ptrdiff_t>(pattern.stock);
      else
        group.on_hand = static_cast<std::ptrdiff_t>(pattern.stock - prices.size());
      for (const PatternCount& p : pattern.items)
        for (std::int64_t k = 0; k < p.count; ++k) group.pieces.push_back(members[p.item][next[p.item]++]);
      groups.push_back(std::move(group));
    }
  return groups;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
