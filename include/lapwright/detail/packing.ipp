#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <string>
#include <utility>

#include <lapwright/boards.hpp>
#include <lapwright/detail/board_fit.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/packing.hpp>
#include <lapwright/detail/patterns.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// A board that can be had.
struct PackStock {
  double length = 0;
  double price = 0;
  bool left = true, right = true;  // factory ends
  std::ptrdiff_t on_hand = -1;
};

/// A board that is being cut.
struct PackBoard {
  std::size_t stock = 0;
  BoardFit fit;
};

/// The name of the wall in "WALL-s0" or "WALL-03-2".
inline std::string wall_of_starter(const std::string& id) {
  return id.substr(0, id.rfind('-'));
}
inline std::string wall_of_piece(const std::string& id) {
  const std::size_t last = id.rfind('-');
  if (last == std::string::npos || last == 0) return id;
  return id.substr(0, id.rfind('-', last - 1));
}

/// Places tried, at effort 1, to make rakes nest and low pieces share a board: some tens of milliseconds.
inline constexpr double nest_tries = 12000;
inline constexpr int merge_nodes = 300;             // places tried to lay two boards on one
inline constexpr std::int64_t merge_tries = 30000;  // of them in all

/// In. Starter strips are not cut shorter, where they are longer in all: two nails want some room. Strips
/// shorter than cutting.min_offcut are cut only where longer ones would take another board. (common practice)
inline constexpr double least_strip = 4;

class Packer {
public:
  Packer(const std::vector<Piece>& pieces, const std::vector<Starter>& starters, const Rules& rules)
      : pieces_(pieces),
        starters_(starters),
        rules_(rules),
        width_(rules.board.width),
        kerf_(rules.cutting.kerf),
        strip_(starter_width(rules)) {
    const std::vector<double> prices = board_prices(rules);
    for (std::size_t s = 0; s < rules.board.lengths.size(); ++s)
      stocks_.push_back({rules.board.lengths[s], prices[s], true, true, -1});
    bought_ = stocks_.size();
    for (std::size_t i = 0; i < rules.board.offcuts.size(); ++i) {
      const StockOffcut& offcut = rules.board.offcuts[i];
      stocks_.push_back(
          {offcut.length, 0, offcut.factory_left, offcut.factory_right, static_cast<std::ptrdiff_t>(i)});
    }
    taken_.assign(stocks_.size(), false);
    shapes_.reserve(pieces.size());
    for (const Piece& piece : pieces) shapes_.push_back(board_shape(piece, width_));
    sort_kinds();
  }

  void lay(const std::vector<BoardGroup>& groups, double nesting) {
    check();
    laid_.assign(pieces_.size(), false);
    for (const BoardGroup& group : groups) lay_group(group);
    std::vector<std::size_t> rest;
    for (std::size_t i = 0; i < pieces_.size(); ++i)
      if (!laid_[i]) rest.push_back(i);
    lay_by_patterns(rest);
    nest(static_cast<std::int64_t>(nest_tries * rules_.search.effort * nesting));
  }

  /// Of all boards, when starters have been cut from them.
  double cost() const {
    Packer with = *this;
    with.order(false);
    with.lay_starters();
    double out = 0;
    for (const PackBoard& board : with.boards_) out += stocks_[board.stock].price;
    return out;
  }

  /// As the boards are, then with pieces exchanged so that fewer wait, near neighbours first, then any. That
  /// is taken only where the starters still come from as cheap boards.
  Packing finished() const {
    Packer as_laid = *this;
    Packing out = as_laid.finish();
    for (const std::size_t reach : {std::size_t{64}, pieces_.size()}) {
      Packer exchanged = *this;
      if (!exchanged.shorten_waits(reach)) break;
      Packing other = exchanged.finish();
      if (other.cost < out.cost - 1e-9 ||
          (other.cost < out.cost + 1e-9 && other.most_waiting < out.most_waiting))
        out = std::move(other);
    }
    return out;
  }

  std::vector<double> left_over() const {
    std::vector<double> out(pieces_.size(), 0);
    for (const PackBoard& board : boards_)
      for (const Lay& lay : board.fit.lays()) out[lay.shape] = board.fit.free_area();
    return out;
  }

private:
  Packing finish() {
    order(false);
    lay_starters();
    const int waiting = order(true);
    Packing out = write();
    out.most_waiting = waiting;
    return out;
  }

  // ---- What comes in ------------------------------------------------------------------------------------

  void check() const {
    std::vector<Fault> faults;
    double longest = 0;
    for (const PackStock& stock : stocks_) longest = std::max(longest, stock.length);
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const BoardShape& shape = shapes_[i];
      bool fits = false;
      for (std::size_t s = 0; s < bought_ && !fits; ++s) {
        const double over = shape.length - stocks_[s].length;
        fits = over <= tolerance && (shape.ends() < 2 || over >= -tolerance);
      }
      if (fits) continue;
      // An offcut on hand may still hold it, but there is only one of each: no plan can count on it.
      if (shape.ends() == 2 && shape.length <= longest + tolerance)
        faults.push_back(
            {detail::format("pieces[{}]", i),
             detail::format("piece {} has two factory ends and is {} in long; no stock length is",
                            pieces_[i].id, shape.length)});
      else
        faults.push_back({detail::format("pieces[{}].length", i),
                          detail::format("piece {} is {} in long, longer than any stock length ({} in)",
                                         pieces_[i].id, shape.length, longest)});
    }
    if (!faults.empty()) throw Refused(std::move(faults));
  }

  /// Pieces that could stand for one another have one kind.
  void sort_kinds() {
    std::map<std::vector<std::int64_t>, std::size_t> known;
    const auto grid = [](double inches) { return static_cast<std::int64_t>(std::llround(inches * 1e8)); };
    kind_.reserve(shapes_.size());
    for (const BoardShape& shape : shapes_) {
      std::vector<std::int64_t> key{grid(shape.length), shape.left ? 1 : 0, shape.right ? 1 : 0};
      if (!shape.plain)
        for (Point p : shape.up) {
          key.push_back(grid(p.x));
          key.push_back(grid(p.y));
        }
      kind_.push_back(known.emplace(std::move(key), known.size()).first->second);
    }
    kinds_ = known.size();
  }

  PackBoard open(std::size_t stock) const {
    const PackStock& s = stocks_[stock];
    return {stock, BoardFit(shapes_, s.length, width_, kerf_, s.left, s.right, rules_.board.turnable)};
  }
  void keep(PackBoard board) {
    if (stocks_[board.stock].on_hand >= 0) taken_[board.stock] = true;
    for (const Lay& lay : board.fit.lays()) laid_[lay.shape] = true;
    boards_.push_back(std::move(board));
  }

  void lay_group(const BoardGroup& group) {
    const std::size_t stock = group.on_hand >= 0 ? bought_ + static_cast<std::size_t>(group.on_hand)
                                                 : static_cast<std::size_t>(group.stock);
    if (stock >= stocks_.size() || taken_[stock]) return;
    std::vector<std::size_t> shapes;
    for (std::size_t i : group.pieces)
      if (i < pieces_.size() && !laid_[i] && std::find(shapes.begin(), shapes.end(), i) == shapes.end())
        shapes.push_back(i);
    if (shapes.empty()) return;
    PackBoard board = open(stock);
    if (!board.fit.fill(shapes, 400)) {
      // All but what does not fit, the largest first.
      std::stable_sort(shapes.begin(), shapes.end(), [&](std::size_t a, std::size_t b) {
        const BoardShape& p = shapes_[a];
        const BoardShape& q = shapes_[b];
        return p.ends() != q.ends() ? p.ends() > q.ends() : p.area > q.area;
      });
      for (std::size_t i : shapes)
        if (const std::optional<Lay> lay = board.fit.place(i)) board.fit.add(*lay);
      if (board.fit.lays().empty()) return;
    }
    keep(std::move(board));
  }

  // ---- Pieces -------------------------------------------------------------------------------------------

  /// Whole boards first; the rest by patterns of lengths; then what patterns of lengths cannot see.
  void lay_by_patterns(const std::vector<std::size_t>& rest) {
    if (rest.empty()) return;
    // Whole multiples of a part of the division, so that lengths on the grid stay exact.
    const double per_inch = std::max(1.0, std::ceil(48 * rules_.courses.division)) / rules_.courses.division;
    const auto up = [&](double inches) {
      return static_cast<std::int64_t>(std::ceil(inches * per_inch - 1e-4));
    };
    const auto down = [&](double inches) {
      return static_cast<std::int64_t>(std::floor(inches * per_inch + 1e-4));
    };
    const std::int64_t kerf = up(kerf_);

    std::vector<std::vector<std::size_t>> by_kind(kinds_);
    std::vector<std::size_t> wholes;
    for (std::size_t i : rest) {
      bool whole = false;
      for (std::size_t s = 0; s < bought_; ++s)
        whole = whole || std::fabs(shapes_[i].length - stocks_[s].length) <= tolerance;
      if (whole && (shapes_[i].plain || shapes_[i].ends() == 2))
        wholes.push_back(i);
      else
        by_kind[kind_[i]].push_back(i);
    }
    for (std::size_t i : wholes) {
      std::size_t best = npos;
      for (std::size_t s = 0; s < bought_; ++s)
        if (std::fabs(shapes_[i].length - stocks_[s].length) <= tolerance &&
            (best == npos || stocks_[s].price < stocks_[best].price))
          best = s;
      PackBoard board = open(best);
      if (board.fit.fill({i}, 16)) keep(std::move(board));
    }

    // Kinds of one weight and number of ends are one item.
    struct Group {
      PatternItem item;
      std::vector<std::size_t> shapes;
    };
    std::map<std::pair<std::int64_t, int>, std::size_t> index;
    std::vector<Group> groups;
    for (const std::vector<std::size_t>& kind : by_kind)
      for (std::size_t i : kind) {
        const std::int64_t weight = up(shapes_[i].length) + kerf;
        const auto found = index.emplace(std::make_pair(-weight, shapes_[i].ends()), groups.size());
        if (found.second) {
          groups.emplace_back();
          groups.back().item.weight = weight;
          groups.back().item.ends = shapes_[i].ends();
        }
        groups[found.first->second].shapes.push_back(i);
      }
    std::vector<PatternItem> items;
    for (const auto& entry : index) {
      Group& group = groups[entry.second];
      group.item.demand = static_cast<std::int64_t>(group.shapes.size());
      std::sort(group.shapes.begin(), group.shapes.end());
      items.push_back(group.item);
    }
    if (!items.empty()) {
      std::vector<std::size_t> order_of;  // item -> group
      for (const auto& entry : index) order_of.push_back(entry.second);
      std::vector<PatternStock> stocks;
      std::vector<std::size_t> stock_of;
      for (std::size_t s = 0; s < stocks_.size(); ++s) {
        if (taken_[s]) continue;
        PatternStock stock;
        stock.capacity = down(stocks_[s].length) + kerf;
        stock.ends = (stocks_[s].left ? 1 : 0) + (stocks_[s].right ? 1 : 0);
        stock.price = stocks_[s].price;
        stock.available = s < bought_ ? -1 : 1;
        stocks.push_back(stock);
        stock_of.push_back(s);
      }
      const PatternResult result =
          solve_patterns(items, stocks, static_cast<std::int64_t>(2000 * rules_.search.effort));
      for (const Pattern& pattern : result.patterns)
        for (std::int64_t n = 0; n < pattern.times; ++n) {
          std::vector<std::size_t> shapes;
          for (const PatternCount& count : pattern.items) {
            Group& group = groups[order_of[count.item]];
            for (std::int64_t c = 0; c < count.count && !group.shapes.empty(); ++c) {
              shapes.push_back(group.shapes.back());
              group.shapes.pop_back();
            }
          }
          if (shapes.empty()) continue;
          PackBoard board = open(stock_of[pattern.stock]);
          if (board.fit.fill(shapes, 200)) keep(std::move(board));
        }
    }
    std::vector<std::size_t> left;
    for (std::size_t i : rest)
      if (!laid_[i]) left.push_back(i);
    lay_best_fit(left);
  }

  /// One after the other, the largest first, where it leaves the least; a new board where it must be.
  void lay_best_fit(std::vector<std::size_t> shapes) {
    std::stable_sort(shapes.begin(), shapes.end(), [&](std::size_t a, std::size_t b) {
      const BoardShape& p = shapes_[a];
      const BoardShape& q = shapes_[b];
      return p.length != q.length ? p.length > q.length : p.ends() > q.ends();
    });
    for (std::size_t i : shapes) {
      const BoardShape& shape = shapes_[i];
      std::size_t best = npos;
      Lay best_lay;
      double best_cost = 0;
      const auto cost = [&](const PackBoard& board, const Lay& lay) {
        // What the place takes of the longest stretch, and what is left of it.
        const double after = board.fit.gap_with(lay);
        return (board.fit.gap() - after) + after / (4 * board.fit.length());
      };
      for (std::size_t b = 0; b < boards_.size(); ++b) {
        const PackBoard& board = boards_[b];
        if (board.fit.free_area() + tolerance < shape.area) continue;
        if (shape.plain && board.fit.gap() + tolerance < shape.length) continue;
        const std::optional<Lay> lay = board.fit.place(i);
        if (!lay) continue;
        const double c = cost(board, *lay);
        if (best != npos && c >= best_cost) continue;
        best = b;
        best_cost = c;
        best_lay = *lay;
      }
      if (best != npos) {
        boards_[best].fit.add(best_lay);
        laid_[i] = true;
        continue;
      }
      // What costs nothing first; else the cheapest for its length that holds the piece.
      std::size_t stock = npos;
      for (std::size_t s = 0; s < stocks_.size(); ++s) {
        if (taken_[s] || stocks_[s].length + tolerance < shape.length) continue;
        if (!open(s).fit.place(i)) continue;
        const bool better =
            stock == npos || (stocks_[s].on_hand >= 0 && stocks_[stock].on_hand < 0) ||
            ((stocks_[s].on_hand >= 0) == (stocks_[stock].on_hand >= 0) &&
             stocks_[s].price / stocks_[s].length < stocks_[stock].price / stocks_[stock].length);
        if (better) stock = s;
      }
      PackBoard board = open(stock);
      board.fit.add(*board.fit.place(i));
      keep(std::move(board));
    }
  }

  // ---- What patterns of lengths cannot see: rakes that nest, low pieces one above the other ---------------

  /// The most that can be had from one board: factory ends are scarcer than lengths.
  struct Filling {
    std::vector<Lay> lays;
    double value = 0;
  };
  double value_of(std::size_t i) const {
    return shapes_[i].area / width_ + 0.1 * stocks_[0].length * shapes_[i].ends();
  }
  void grow(BoardFit& fit, const std::vector<std::size_t>& rest, std::size_t from, double value,
            std::int64_t& tries, Filling& best) const {
    std::size_t failed = npos;  // the kind that was tried last here
    for (std::size_t n = from; n < rest.size(); ++n) {
      const std::size_t i = rest[n];
      const BoardShape& shape = shapes_[i];
      if (kind_[i] == failed || fit.free_area() + tolerance < shape.area) continue;
      if (shape.plain && fit.gap() + tolerance < shape.length) continue;
      if (--tries < 0) return;
      failed = kind_[i];
      const std::optional<Lay> lay = fit.place(i);
      if (!lay) continue;
      fit.add(*lay);
      const double with = value + value_of(i);
      if (with > best.value + tolerance) {
        best.value = with;
        best.lays = fit.lays();
      }
      grow(fit, rest, n + 1, with, tries, best);
      fit.pop();
      if (tries < 0) return;
    }
  }

  /// Boards for these pieces, one after the other, each filled as well as it can be. False where it would
  /// cost `limit` or more.
  bool fill_all(std::vector<std::size_t> rest, double limit, std::int64_t tries_each, std::int64_t& tries,
                std::vector<PackBoard>& out) const {
    std::vector<char> taken = taken_;
    double cost = 0;
    while (!rest.empty()) {
      if (tries <= 0) return false;
      std::size_t best_stock = npos;
      Filling best;
      double best_rate = 0;
      for (std::size_t s = stocks_.size(); s-- > 0;) {  // offcuts on hand first
        if (taken[s]) continue;
        if (s < bought_ && best_stock != npos && best_stock >= bought_) break;
        BoardFit fit = open(s).fit;
        Filling filling;
        std::int64_t left = tries_each;
        if (s < bought_) {
          // The first piece must be cut from some board: from this one.
          const std::optional<Lay> lay = fit.place(rest[0]);
          if (!lay) continue;
          fit.add(*lay);
          filling.value = value_of(rest[0]);
          filling.lays = fit.lays();
          grow(fit, rest, 1, filling.value, left, filling);
        } else {
          grow(fit, rest, 0, 0, left, filling);
        }
        tries -= tries_each - std::max<std::int64_t>(left, 0);
        if (filling.lays.empty()) continue;
        const double rate = stocks_[s].price / filling.value;
        if (best_stock != npos && rate >= best_rate) continue;
        best_stock = s;
        best_rate = rate;
        best = std::move(filling);
      }
      if (best_stock == npos) return false;
      cost += stocks_[best_stock].price;
      if (cost > limit - 1e-9) return false;
      if (best_stock >= bought_) taken[best_stock] = true;
      PackBoard board = open(best_stock);
      for (const Lay& lay : best.lays) {
        board.fit.add(lay);
        rest.erase(std::find(rest.begin(), rest.end(), lay.shape));
      }
      out.push_back(std::move(board));
    }
    return true;
  }

  std::vector<std::size_t> pieces_of(const std::vector<std::size_t>& boards) const {
    std::vector<std::size_t> out;
    for (std::size_t b : boards)
      for (const Lay& lay : boards_[b].fit.lays()) out.push_back(lay.shape);
    std::sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
      const BoardShape& p = shapes_[a];
      const BoardShape& q = shapes_[b];
      if (p.ends() != q.ends()) return p.ends() > q.ends();
      if (p.area != q.area) return p.area > q.area;
      return kind_[a] != kind_[b] ? kind_[a] < kind_[b] : a < b;
    });
    return out;
  }

  /// Cuts what lies on these boards again, if that costs less, or leaves more in one place at the same cost.
  bool cut_again(const std::vector<std::size_t>& boards, std::int64_t tries_each, std::int64_t& tries) {
    double cost = 0, before = 0;
    for (std::size_t b : boards) {
      const PackStock& stock = stocks_[boards_[b].stock];
      cost += stock.price;
      if (stock.on_hand >= 0) taken_[boards_[b].stock] = false;
      before += boards_[b].fit.free_area() * boards_[b].fit.free_area();
    }
    std::vector<PackBoard> fresh;
    bool better = fill_all(pieces_of(boards), cost + 2e-9, tries_each, tries, fresh);
    if (better) {
      double now = 0, after = 0;
      for (const PackBoard& board : fresh) {
        now += stocks_[board.stock].price;
        after += board.fit.free_area() * board.fit.free_area();
      }
      better = now < cost - 1e-9 || after > before * (1 + 1e-9) + tolerance;
    }
    if (!better) {
      for (std::size_t b : boards)
        if (stocks_[boards_[b].stock].on_hand >= 0) taken_[boards_[b].stock] = true;
      return false;
    }
    std::vector<std::size_t> order = boards;
    std::sort(order.begin(), order.end());
    for (std::size_t k = order.size(); k-- > 0;)
      boards_.erase(boards_.begin() + static_cast<std::ptrdiff_t>(order[k]));
    for (PackBoard& board : fresh) keep(std::move(board));
    return true;
  }

  /// Lays what two boards give on one that costs less, or one board's on a cheaper one, the emptiest first.
  bool merge(std::int64_t& tries) {
    std::vector<std::size_t> order;
    for (std::size_t b = 0; b < boards_.size(); ++b)
      if (boards_[b].stock < bought_) order.push_back(b);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return boards_[a].fit.free_area() > boards_[b].fit.free_area();
    });
    const auto used = [&](std::size_t b) {
      return boards_[b].fit.length() * width_ - boards_[b].fit.free_area();
    };
    for (std::size_t i = 0; i < order.size(); ++i)
      for (std::size_t j = i; j < order.size(); ++j) {
        std::vector<std::size_t> both{order[i]};
        if (j > i) both.push_back(order[j]);
        double cost = 0, area = 0;
        for (std::size_t b : both) {
          cost += stocks_[boards_[b].stock].price;
          area += used(b);
        }
        for (std::size_t s = 0; s < bought_; ++s) {
          if (stocks_[s].price >= cost - 1e-9 || area > stocks_[s].length * width_) continue;
          if (tries <= 0) return false;
          tries -= merge_nodes;
          PackBoard board = open(s);
          if (!board.fit.fill(pieces_of(both), merge_nodes)) continue;
          std::sort(both.begin(), both.end());
          for (std::size_t k = both.size(); k-- > 0;)
            boards_.erase(boards_.begin() + static_cast<std::ptrdiff_t>(both[k]));
          keep(std::move(board));
          return true;
        }
      }
    return false;
  }

  void nest(std::int64_t tries) {
    if (tries <= 0) return;
    const auto special = [&](const PackBoard& board) {
      for (const Lay& lay : board.fit.lays())
        if (!shapes_[lay.shape].plain) return true;
      return false;
    };
    const auto special_boards = [&]() {
      std::vector<std::size_t> out;
      for (std::size_t b = 0; b < boards_.size(); ++b)
        if (special(boards_[b])) out.push_back(b);
      return out;
    };
    std::vector<std::size_t> all = special_boards();
    if (all.size() < 1 || boards_.size() < 2) return;
    // No packing costs less than the area of all pieces at the least price of area.
    double area = 0, rate = 0;
    for (std::size_t i = 0; i < pieces_.size(); ++i) area += shapes_[i].area / width_;
    for (const PackStock& stock : stocks_) {
      if (stock.on_hand >= 0)
        area -= stock.length;
      else if (rate <= 0 || stock.price / stock.length < rate)
        rate = stock.price / stock.length;
    }
    double least = std::max(0.0, area * rate) * (1 - 1e-12);
    if (bought_ == 1) least = std::ceil(least / stocks_[0].price - 1e-9) * stocks_[0].price;
    const auto at_least = [&]() {
      double cost = 0;
      for (const PackBoard& board : boards_) cost += stocks_[board.stock].price;
      return cost <= least + 1e-9;
    };
    if (at_least()) return;
    // All of them at once, first without, then with the emptiest of the others.
    // That much is worth its time whatever the effort: it finds most of what there is.
    const auto at_once = [&] {
      const std::int64_t each = tries > 4000 ? 200 : 40;
      std::int64_t own = std::max(tries, each * static_cast<std::int64_t>(2 * all.size()));
      const std::int64_t before = own;
      cut_again(all, each, own);
      tries -= before - own;
    };
    at_once();
    all = special_boards();
    std::vector<std::pair<double, std::size_t>> others;
    for (std::size_t b = 0; b < boards_.size(); ++b)
      if (!special(boards_[b])) others.emplace_back(-boards_[b].fit.gap(), b);
    std::sort(others.begin(), others.end());
    for (std::size_t n = 0; n < others.size() && n < all.size() + 2 && -others[n].first > 8; ++n)
      all.push_back(others[n].second);
    at_once();
    // Then a few at a time: a special one, the emptiest, and some at a stride that changes.
    std::size_t idle = 0;
    for (std::size_t round = 0; tries > 0 && boards_.size() > 1 && !at_least(); ++round) {
      const std::vector<std::size_t> specials = special_boards();
      if (specials.empty() || idle > 2 * boards_.size() + 8) break;
      std::vector<std::size_t> few{specials[round % specials.size()]};
      const auto take = [&](std::size_t b) {
        if (few.size() < 5 && std::find(few.begin(), few.end(), b) == few.end()) few.push_back(b);
      };
      std::size_t emptiest = 0;
      for (std::size_t b = 1; b < boards_.size(); ++b)
        if (boards_[b].fit.free_area() > boards_[emptiest].fit.free_area()) emptiest = b;
      take(emptiest);
      for (std::size_t k = 0; k < 3; ++k)
        take(k % 2 == 0 ? specials[(round * (k + 2) + k) % specials.size()]
                        : (round * (2 * k + 3) + k) % boards_.size());
      if (few.size() < 2) break;
      idle = cut_again(few, 120, tries) ? 0 : idle + 1;
    }
    std::int64_t own = merge_tries;  // few boards are so empty that two could be one
    while (!at_least() && merge(own)) {
    }
  }

  // ---- Starters -----------------------------------------------------------------------------------------

  /// Where in the order of hanging a starter is nailed: before the first piece of its wall that is not below
  /// it.
  std::vector<std::size_t> starter_events() const {
    std::map<std::string, std::pair<std::size_t, std::size_t>> walls;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const std::string wall = wall_of_piece(pieces_[i].id);
      const auto found = walls.emplace(wall, std::make_pair(i, i + 1));
      if (!found.second) found.first->second.second = i + 1;
    }
    std::vector<std::size_t> out;
    for (const Starter& starter : starters_) {
      const auto found = walls.find(wall_of_starter(starter.id));
      if (found == walls.end()) {
        out.push_back(0);
        continue;
      }
      const double y = std::min(starter.from.y, starter.to.y);
      std::size_t at = found->second.first;
      while (at < found->second.second && pieces_[at].y < y - tolerance) ++at;
      out.push_back(at);
    }
    return out;
  }

  /// Heights on the board at which a strip may lie.
  std::vector<std::pair<double, bool>> strip_levels(bool base) const {
    std::vector<std::pair<double, bool>> out{{0.0, false}};
    const double top = width_ - strip_;
    if (!base)
      for (double y = strip_ + kerf_; y + strip_ + kerf_ <= top + tolerance; y += strip_ + kerf_)
        out.push_back({y, false});
    if (top > tolerance && (!base || rules_.board.turnable)) out.push_back({top, base});
    return out;
  }

  struct Strip {
    std::size_t starter = 0;
    double length = 0;
  };

  void add_strip(PackBoard& board, std::size_t starter, double x, double y, double length, bool turned) {
    BoardShape shape;
    shape.length = length;
    shape.up = {{0, 0}, {length, 0}, {length, strip_}, {0, strip_}};
    shape.turned = shape.up;
    shape.high = strip_;
    shape.area = length * strip_;
    const std::size_t index = shapes_.size();
    shapes_.push_back(std::move(shape));
    strips_.push_back({starter, length});
    board.fit.add({index, turned, x, y});
  }

  void lay_starters() {
    const std::vector<std::size_t> events = starter_events();
    std::vector<std::size_t> by_event(starters_.size());
    for (std::size_t i = 0; i < by_event.size(); ++i) by_event[i] = i;
    std::stable_sort(by_event.begin(), by_event.end(),
                     [&](std::size_t a, std::size_t b) { return events[a] < events[b]; });
    std::vector<double> left(starters_.size());
    double in_all = 0;
    for (std::size_t i = 0; i < starters_.size(); ++i) {
      left[i] = distance(starters_[i].from, starters_[i].to);
      in_all += left[i];
    }
    for (std::size_t i : by_event) {
      const bool base = starters_[i].where == StarterPlace::base;
      const std::vector<std::pair<double, bool>> levels = strip_levels(base);
      const double least = std::min(left[i], rules_.cutting.min_offcut);
      // Boards that are cut about when the starter is nailed come first.
      std::vector<std::pair<std::size_t, std::size_t>> near;
      for (std::size_t b = 0; b < boards_.size(); ++b) {
        const std::size_t at = first_piece(boards_[b]);
        near.emplace_back(at > events[i] ? at - events[i] : events[i] - at, b);
      }
      std::sort(near.begin(), near.end());
      for (double wish : {left[i], 96.0, 48.0, 24.0, least}) {
        if (wish > left[i] + tolerance) continue;
        for (const auto& n : near) {
          if (left[i] <= tolerance) break;
          take_strips(boards_[n.second], i, levels, std::max(std::min(wish, left[i]), least), least, left[i],
                      in_all);
        }
      }
      // Short strips are more work, but less than another board.
      const double shortest = std::min(least, least_strip);
      for (double wish : {2 * shortest, shortest})
        for (const auto& n : near) {
          if (left[i] <= tolerance) break;
          take_strips(boards_[n.second], i, levels, std::min(wish, left[i]), shortest, left[i], in_all);
        }
      while (left[i] > tolerance) {
        PackBoard board = open(starter_stock(in_all, base));
        const double before = left[i];
        take_strips(board, i, levels, std::min(left[i], least), least, left[i], in_all);
        if (!(left[i] < before)) {  // shorter boards than the least strip: as they are
          take_strips(board, i, levels, tolerance, tolerance, left[i], in_all);
          if (!(left[i] < before)) throw Refused("board.lengths", "no stock can give a starter strip");
        }
        boards_.push_back(std::move(board));
        if (stocks_[boards_.back().stock].on_hand >= 0) taken_[boards_.back().stock] = true;
      }
    }
  }

  /// Strips of at least `wish` from one board, as many as are needed.
  void take_strips(PackBoard& board, std::size_t starter, const std::vector<std::pair<double, bool>>& levels,
                   double wish, double least, double& left, double& in_all) {
    for (const auto& level : levels) {
      if (board.fit.longest_free(strip_) < std::min(wish, left) - 2 * tolerance) return;
      for (const Interval& free : board.fit.free_stretches(level.first, strip_)) {
        if (left <= tolerance) return;
        double length = std::min(free.high - free.low, left);
        if (length < std::min(wish, left) - tolerance) continue;
        // What is left must be worth a strip too.
        if (left - length > tolerance && left - length < least) length = left - least;
        if (length < least - tolerance || length <= tolerance) continue;
        add_strip(board, starter, free.low, level.first, length, level.second);
        left -= length;
        in_all -= length;
        if (left <= tolerance) left = 0;
      }
    }
  }

  /// A board for starters alone: nothing if it can be, else the cheapest that gives all, else the cheapest
  /// for its length.
  std::size_t starter_stock(double in_all, bool base) const {
    const double strips = static_cast<double>(strip_levels(base).size());
    std::size_t all = npos, cheap = npos;
    for (std::size_t s = 0; s < stocks_.size(); ++s) {
      if (taken_[s]) continue;
      if (stocks_[s].on_hand >= 0) {
        if (stocks_[s].length >= rules_.cutting.min_offcut) return s;
        continue;
      }
      if (stocks_[s].length * strips >= in_all - tolerance &&
          (all == npos || stocks_[s].price < stocks_[all].price))
        all = s;
      if (cheap == npos ||
          stocks_[s].price * stocks_[cheap].length < stocks_[cheap].price * stocks_[s].length)
        cheap = s;
    }
    return all != npos ? all : cheap;
  }

  // ---- Order of cutting ---------------------------------------------------------------------------------

  std::size_t first_piece(const PackBoard& board) const {
    std::size_t first = pieces_.size();
    for (const Lay& lay : board.fit.lays())
      if (lay.shape < pieces_.size()) first = std::min(first, lay.shape);
    return first;
  }

  /// Sorts the boards so that each is cut when something of it is to be hung, and deals out pieces that could
  /// stand for one another so that few wait. Returns the most that do.
  int order(bool with_starters) {
    const std::size_t n = pieces_.size();
    std::vector<std::vector<std::size_t>> stack(kinds_);  // of each kind, what is not dealt out, last first
    for (std::size_t i = n; i-- > 0;) stack[kind_[i]].push_back(i);
    std::vector<std::vector<std::size_t>> holders(kinds_);  // boards that give the kind
    for (std::size_t b = 0; b < boards_.size(); ++b)
      for (const Lay& lay : boards_[b].fit.lays())
        if (lay.shape < n) {
          std::vector<std::size_t>& list = holders[kind_[lay.shape]];
          if (list.empty() || list.back() != b) list.push_back(b);
        }
    std::vector<char> cut(boards_.size(), 0), dealt(n, 0);
    std::vector<std::size_t> sequence;
    std::vector<std::vector<Lay>> lays(boards_.size());
    std::size_t hung = 0, given = 0;
    int most = 0;
    const auto cut_board = [&](std::size_t b) {
      cut[b] = 1;
      sequence.push_back(b);
      for (Lay lay : boards_[b].fit.lays()) {
        if (lay.shape < n) {
          std::vector<std::size_t>& of_kind = stack[kind_[lay.shape]];
          lay.shape = of_kind.back();
          of_kind.pop_back();
          dealt[lay.shape] = 1;
          ++given;
        }
        lays[b].push_back(lay);
      }
    };
    std::vector<std::vector<std::size_t>> starter_at(n + 1);
    if (with_starters) {
      const std::vector<std::size_t> events = starter_events();
      std::vector<std::vector<std::size_t>> of_starter(starters_.size());
      for (std::size_t b = 0; b < boards_.size(); ++b)
        for (const Lay& lay : boards_[b].fit.lays())
          if (lay.shape >= n) of_starter[strips_[lay.shape - n].starter].push_back(b);
      for (std::size_t i = 0; i < starters_.size(); ++i)
        for (std::size_t b : of_starter[i]) starter_at[events[i]].push_back(b);
    }
    const auto count_waiting = [&]() {
      most = std::max(most, static_cast<int>(given) - static_cast<int>(hung));
    };
    for (std::size_t i = 0; i <= n; ++i) {
      for (std::size_t b : starter_at[i])
        if (!cut[b]) {
          cut_board(b);
          count_waiting();
        }
      if (i == n) break;
      if (!dealt[i]) {
        // Of the boards that give this kind, the one whose other pieces are wanted soonest.
        std::size_t best = npos, best_last = 0;
        for (std::size_t b : holders[kind_[i]]) {
          if (cut[b]) continue;
          std::size_t last = 0;
          for (const Lay& lay : boards_[b].fit.lays()) {
            if (lay.shape >= n) continue;
            const std::vector<std::size_t>& of_kind = stack[kind_[lay.shape]];
            std::size_t same = 0;
            for (const Lay& other : boards_[b].fit.lays()) {
              if (&other == &lay) break;
              same += other.shape < n && kind_[other.shape] == kind_[lay.shape] ? 1 : 0;
            }
            last = std::max(last, of_kind[of_kind.size() - 1 - same]);
          }
          if (best != npos && last >= best_last) continue;
          best = b;
          best_last = last;
        }
        cut_board(best);
        count_waiting();
      }
      ++hung;
    }
    for (std::size_t b = 0; b < boards_.size(); ++b)
      if (!cut[b]) cut_board(b);  // strips alone, before starters have their place
    std::vector<PackBoard> sorted;
    sorted.reserve(boards_.size());
    for (std::size_t b : sequence) {
      PackBoard board = open(boards_[b].stock);
      for (const Lay& lay : lays[b]) board.fit.add(lay);
      sorted.push_back(std::move(board));
    }
    boards_ = std::move(sorted);
    return most;
  }

  /// Exchanges pieces of boards that hold blanks alone, where both still fit, so that what comes from one
  /// board is hung at about one time. Indices of pieces are their order of hanging.
  bool shorten_waits(std::size_t reach) {
    const std::size_t n = pieces_.size();
    std::vector<std::size_t> board_of(n, npos);
    std::vector<std::vector<std::size_t>> on(boards_.size());
    std::vector<double> slack(boards_.size(), 0);
    for (std::size_t b = 0; b < boards_.size(); ++b) {
      bool plain = true;
      double used = -kerf_;
      for (const Lay& lay : boards_[b].fit.lays()) {
        plain = plain && lay.shape < n && shapes_[lay.shape].plain;
        used += shapes_[lay.shape].length + kerf_;
      }
      if (!plain) continue;
      slack[b] = boards_[b].fit.length() - used;
      for (const Lay& lay : boards_[b].fit.lays()) {
        on[b].push_back(lay.shape);
        board_of[lay.shape] = b;
      }
    }
    const auto spread = [&](const std::vector<std::size_t>& pieces, std::size_t without, std::size_t with) {
      std::size_t first = with, sum = with;
      for (std::size_t i : pieces) {
        if (i == without) continue;
        first = std::min(first, i);
        sum += i;
      }
      return sum - first * pieces.size();
    };
    std::vector<char> changed(boards_.size(), 0);
    bool any = false;
    for (int pass = 0; pass < 6; ++pass) {
      bool moved = false;
      for (std::size_t p = 0; p < n; ++p) {
        const std::size_t b = board_of[p];
        if (b == npos || on[b].size() < 2) continue;
        const std::size_t first = *std::min_element(on[b].begin(), on[b].end());
        if (p == first) continue;
        const std::size_t now_b = spread(on[b], p, p);
        std::size_t best = npos, best_gain = 0;
        const std::size_t low = first > reach ? first - reach : 0, high = std::min(n, first + reach);
        for (std::size_t q = low; q < high; ++q) {
          const std::size_t c = board_of[q];
          if (c == npos || c == b) continue;
          const BoardShape& s = shapes_[p];
          const BoardShape& t = shapes_[q];
          if (rules_.board.turnable ? s.ends() != t.ends() : s.left != t.left || s.right != t.right) continue;
          const double more = t.length - s.length;
          if (more > slack[b] + tolerance / 4 || -more > slack[c] + tolerance / 4) continue;
          const std::size_t before = now_b + spread(on[c], q, q);
          const std::size_t after = spread(on[b], p, q) + spread(on[c], q, p);
          if (after >= before || before - after <= best_gain) continue;
          best = q;
          best_gain = before - after;
        }
        if (best == npos) continue;
        const std::size_t c = board_of[best];
        const double more = shapes_[best].length - shapes_[p].length;
        slack[b] -= more;
        slack[c] += more;
        *std::find(on[b].begin(), on[b].end(), p) = best;
        *std::find(on[c].begin(), on[c].end(), best) = p;
        board_of[p] = c;
        board_of[best] = b;
        changed[b] = changed[c] = 1;
        moved = any = true;
      }
      if (!moved) break;
    }
    for (std::size_t b = 0; b < boards_.size(); ++b) {
      if (!changed[b]) continue;
      PackBoard board = open(boards_[b].stock);
      if (!board.fit.fill(on[b], 64)) return false;
      boards_[b] = std::move(board);
    }
    return any;
  }

  // ---- What comes out -----------------------------------------------------------------------------------

  void find_offcuts(PackBoard& board, Board& out) {
    const double least_length = rules_.cutting.min_offcut;
    for (;;) {
      std::vector<double> from{0}, to{width_};
      for (const Lay& lay : board.fit.lays()) {
        const BoardShape& shape = shapes_[lay.shape];
        if (shape.plain) continue;
        const Box box = bounds(lay.turned ? shape.turned : shape.up);
        from.push_back(lay.y + box.y_max + kerf_);
        to.push_back(lay.y + box.y_min - kerf_);
      }
      for (std::vector<double>* levels : {&from, &to}) {
        std::sort(levels->begin(), levels->end());
        levels->erase(std::unique(levels->begin(), levels->end()), levels->end());
      }
      Offcut best;
      for (double low : from)
        for (double high : to) {
          if (high - low < strip_ - tolerance || low < 0 || high > width_) continue;
          if ((high - low) * board.fit.length() <= best.size.x * best.size.y) continue;
          for (const Interval& free : board.fit.free_stretches(low, high - low)) {
            const double length = free.high - free.low;
            if (length < least_length || length * (high - low) <= best.size.x * best.size.y) continue;
            best.at = {free.low, low};
            best.size = {length, high - low};
          }
        }
      if (!(best.size.x > 0)) return;
      out.offcuts.push_back(best);
      BoardShape shape;
      shape.length = best.size.x;
      shape.up = {{0, 0}, {best.size.x, 0}, {best.size.x, best.size.y}, {0, best.size.y}};
      shape.turned = shape.up;
      shape.high = best.size.y;
      shape.area = best.size.x * best.size.y;
      shape.plain = best.size.y >= width_;
      shapes_.push_back(std::move(shape));
      board.fit.add({shapes_.size() - 1, false, best.at.x, best.at.y});
    }
  }

  Packing write() {
    Packing out;
    out.boards.reserve(boards_.size());
    for (PackBoard& board : boards_) {
      const PackStock& stock = stocks_[board.stock];
      Board b;
      b.id = static_cast<int>(out.boards.size()) + 1;
      b.length = stock.length;
      b.price = stock.price;
      b.on_hand = static_cast<int>(stock.on_hand);
      std::vector<Lay> lays = board.fit.lays();
      std::sort(lays.begin(), lays.end(), [](const Lay& p, const Lay& q) {
        if (p.x != q.x) return p.x < q.x;
        return p.y != q.y ? p.y < q.y : p.shape < q.shape;
      });
      for (const Lay& lay : lays) {
        Placement placement;
        placement.at = {lay.x, lay.y};
        placement.turned = lay.turned;
        if (lay.shape < pieces_.size()) {
          placement.piece = pieces_[lay.shape].id;
        } else {
          const Strip& strip = strips_[lay.shape - pieces_.size()];
          placement.starter = starters_[strip.starter].id;
          placement.size = {strip.length, strip_};
        }
        b.cut.push_back(std::move(placement));
      }
      find_offcuts(board, b);
      out.cost += b.price;
      out.boards.push_back(std::move(b));
    }
    return out;
  }

  const std::vector<Piece>& pieces_;
  const std::vector<Starter>& starters_;
  const Rules& rules_;
  double width_ = 0, kerf_ = 0, strip_ = 0;
  std::vector<PackStock> stocks_;
  std::size_t bought_ = 0;          // stocks_[0 .. bought_ - 1] can be bought
  std::vector<char> taken_;         // offcuts on hand that are used
  std::vector<BoardShape> shapes_;  // pieces, then strips, then offcuts
  std::vector<std::size_t> kind_;   // by piece
  std::size_t kinds_ = 0;
  std::vector<Strip> strips_;  // shapes_[pieces + i]
  std::vector<char> laid_;     // by piece
  std::vector<PackBoard> boards_;
};

LAPW_INLINE void check_packing(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                               const Rules& rules) {
  std::vector<Fault> faults;
  const auto positive = [&](const std::string& path, double value) {
    if (!(value > 0) || !(value <= greatest_length))
      faults.push_back(
          {path, detail::format("must be more than 0 and at most {}, got {}", greatest_length, value)});
  };
  if (rules.board.lengths.empty()) faults.push_back({"board.lengths", "must hold at least one length"});
  for (std::size_t i = 0; i < rules.board.lengths.size(); ++i)
    positive(detail::format("board.lengths[{}]", i), rules.board.lengths[i]);
  if (!rules.board.prices.empty() && rules.board.prices.size() != rules.board.lengths.size())
    faults.push_back({"board.prices", detail::format("must be one for each of {} lengths, got {}",
                                                     rules.board.lengths.size(), rules.board.prices.size())});
  for (std::size_t i = 0; i < rules.board.prices.size(); ++i)
    if (!(rules.board.prices[i] > 0) || !std::isfinite(rules.board.prices[i]))
      faults.push_back({detail::format("board.prices[{}]", i),
                        detail::format("must be more than 0, got {}", rules.board.prices[i])});
  for (std::size_t i = 0; i < rules.board.offcuts.size(); ++i)
    positive(detail::format("board.offcuts[{}].length", i), rules.board.offcuts[i].length);
  positive("board.width", rules.board.width);
  positive("courses.division", rules.courses.division);
  if (!(rules.cutting.kerf >= 0) || !(rules.cutting.kerf <= greatest_length))
    faults.push_back({"cutting.kerf", detail::format("must not be less than 0, got {}", rules.cutting.kerf)});
  if (!(rules.cutting.min_offcut >= 0) || !(rules.cutting.min_offcut <= greatest_length))
    faults.push_back({"cutting.min_offcut",
                      detail::format("must be 0 to {}, got {}", greatest_length, rules.cutting.min_offcut)});
  if (!(rules.search.effort >= 0) || !(rules.search.effort <= most_effort))
    faults.push_back(
        {"search.effort", detail::format("must be 0 to {}, got {}", most_effort, rules.search.effort)});
  if (!(starter_width(rules) > 0) || !(starter_width(rules) <= rules.board.width + tolerance))
    faults.push_back(
        {"starter.width", detail::format("must be more than 0 and at most the board's width ({}), "
                                         "got {}",
                                         rules.board.width, starter_width(rules))});
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Piece& piece = pieces[i];
    bool finite = piece.outline.size() >= 3 && std::isfinite(piece.x_min) && std::isfinite(piece.y) &&
                  piece.x_max > piece.x_min;
    for (Point p : piece.outline) finite = finite && std::isfinite(p.x) && std::isfinite(p.y);
    if (!finite)
      faults.push_back(
          {detail::format("pieces[{}].outline", i),
           detail::format("piece {} must be a ring of finite points in a blank of some length", piece.id)});
  }
  for (std::size_t i = 0; i < starters.size(); ++i) {
    const Starter& starter = starters[i];
    bool finite = true;
    for (double at : {starter.from.x, starter.from.y, starter.to.x, starter.to.y})
      finite = finite && std::fabs(at) <= greatest_length;
    if (!finite)
      faults.push_back({detail::format("starters[{}].to", i),
                        detail::format("starter {} must lie within {} in", starter.id, greatest_length)});
    if (!(starter.width > 0) || !(starter.width <= rules.board.width + tolerance))
      faults.push_back({detail::format("starters[{}].width", i),
                        detail::format("must be more than 0 and at most the board's width ({}), got {}",
                                       rules.board.width, starter.width)});
  }
  if (!faults.empty()) throw Refused(std::move(faults));
}

LAPW_INLINE LaidBoards::LaidBoards(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                                   const Rules& rules, const std::vector<BoardGroup>& groups, double nesting)
    : packer_(new Packer(pieces, starters, rules)) {
  packer_->lay(groups, nesting);
  cost_ = packer_->cost();
}
LAPW_INLINE LaidBoards::~LaidBoards() = default;
LAPW_INLINE LaidBoards::LaidBoards(LaidBoards&& other) noexcept = default;
LAPW_INLINE LaidBoards& LaidBoards::operator=(LaidBoards&& other) noexcept = default;
LAPW_INLINE Packing LaidBoards::packing() const {
  return packer_->finished();
}
LAPW_INLINE std::vector<double> LaidBoards::left_over() const {
  return packer_->left_over();
}

LAPW_INLINE Packing pack_assigned(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                                  const Rules& rules, const std::vector<BoardGroup>& groups, double nesting) {
  check_packing(pieces, starters, rules);
  Packer packer(pieces, starters, rules);
  packer.lay(groups, nesting);
  return packer.finished();
}

LAPW_INLINE bool board_gives(const std::vector<Piece>& pieces, const Rules& rules, double length,
                             bool left_factory, bool right_factory) {
  std::vector<BoardShape> shapes;
  std::vector<std::size_t> all;
  for (const Piece& piece : pieces) {
    all.push_back(shapes.size());
    shapes.push_back(board_shape(piece, rules.board.width));
  }
  BoardFit fit(shapes, length, rules.board.width, rules.cutting.kerf, left_factory, right_factory,
               rules.board.turnable);
  return fit.fill(std::move(all), 2000);
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
