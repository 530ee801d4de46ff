#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/house.hpp>
#include <lapwright/detail/house_model.hpp>
#include <lapwright/detail/layouts.hpp>
#include <lapwright/detail/packing.hpp>
#include <lapwright/detail/patterns.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/search.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr double search_steps = 30000;  // default, of some four thousand elementary operations each
inline constexpr int search_dives = 24;        // at most
inline constexpr double dive_nesting = 0.05;   // share of pack_assigned's tries in a dive
inline constexpr std::int64_t group_steps = 60000;  // for the boards of one choice of joints

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

/// No boards whose areas reach `least` cost less.
inline double area_bound(double least, const Rules& rules) {
  const std::vector<double> prices = board_prices(rules);
  double cheapest = -1;
  for (std::size_t s = 0; s < prices.size(); ++s) {
    const double price = prices[s] / (rules.board.lengths[s] * rules.board.width);
    if (cheapest < 0 || price < cheapest) cheapest = price;
  }
  if (cheapest < 0 || least <= 0) return 0;
  // A millionth off: sums of areas carry the noise of double arithmetic.
  return reachable_cost(least * cheapest * (1 - 1e-6), prices);
}

/// What a piece takes of a board's length, in the plain problem. Negative: it lies above or below others.
inline double taken_length(const Piece& piece, const Rules& rules, bool nested) {
  const Box box = bounds(piece.outline);
  const double height = box.y_max - box.y_min;
  if (2 * height + rules.cutting.kerf <= rules.board.width) return -1;
  if (!nested) return piece.length;
  // Slanted ends nest with others of their slope: each takes half of its slant.
  double saved = 0;
  const std::size_t n = piece.outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = piece.outline[i], b = piece.outline[(i + 1) % n];
    const double dx = std::abs(b.x - a.x), dy = std::abs(b.y - a.y);
    if (dx <= tolerance || dy <= tolerance) continue;
    const bool left = std::min(a.x, b.x) <= piece.x_min + tolerance;
    const bool right = std::max(a.x, b.x) >= piece.x_max - tolerance;
    if (left == right || dy < height - tolerance) continue;
    // The kerf is square to the slant.
    saved += dx / 2 - rules.cutting.kerf * (std::sqrt(dx * dx + dy * dy) / dy - 1) / 2;
  }
  return std::max(piece.length - std::max(saved, 0.0), piece.length / 2);
}

/// Which pieces share a board, from their lengths and factory ends.
inline std::vector<BoardGroup> group_pieces(const std::vector<Piece>& pieces, const Rules& rules, bool nested,
                                            std::int64_t steps, double known, std::int64_t& spent) {
  const std::vector<double> prices = board_prices(rules);
  double longest = longest_board(rules), per_inch = 64;
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
  };
  std::vector<Entry> entries;
  std::vector<BoardGroup> groups;
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    const double length = taken_length(pieces[p], rules, nested);
    if (length < 0) continue;
    const int ends = (pieces[p].left.factory ? 1 : 0) + (pieces[p].right.factory ? 1 : 0);
    if (ends == 2) {
      for (std::size_t s = 0; s < prices.size(); ++s)
        if (std::abs(rules.board.lengths[s] - pieces[p].length) <= 2 * tolerance) {
          groups.push_back({static_cast<std::ptrdiff_t>(s), -1, {p}});
          break;
        }
      continue;
    }
    entries.push_back({units(length, 1 - 1e-3), ends, p});
  }
  std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
    if (a.weight != b.weight) return a.weight > b.weight;
    return a.ends != b.ends ? a.ends > b.ends : a.piece < b.piece;
  });
  std::vector<PatternItem> items;
  std::vector<std::vector<std::size_t>> members;
  for (const Entry& entry : entries) {
    if (items.empty() || items.back().weight != entry.weight || items.back().ends != entry.ends) {
      items.push_back({entry.weight, entry.ends, 0});
      members.emplace_back();
    }
    ++items.back().demand;
    members.back().push_back(entry.piece);
  }
  double whole = 0;
  for (const BoardGroup& group : groups) whole += prices[static_cast<std::size_t>(group.stock)];
  const PatternResult result = solve_patterns(items, stocks, steps, std::max(0.0, known - whole));
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

/// One complete answer.
struct HouseAnswer {
  std::vector<Joints> joints;
  Packing packing;
  double cost = -1;  // of boards, and of joints at their price
  std::size_t cuts = 0;
  int how = 0;
  std::vector<std::vector<const Layout*>> chosen;
};

/// What all chosen layouts come to: pieces cut, boards laid out.
class AnswerMaker {
public:
  AnswerMaker(const std::vector<SearchWall>& walls, const Pole& pole, const Rules& rules)
      : walls_(walls), pole_(pole), rules_(rules) {
    double least = 0;
    const std::vector<double> prices = board_prices(rules);
    for (std::size_t s = 0; s < prices.size(); ++s)
      if (least <= 0 || rules.board.lengths[s] < least) {
        least = rules.board.lengths[s];
        joint_price_ = rules.joints.price * prices[s];
      }
    for (const SearchWall& wall : walls)
      starters_.insert(starters_.end(), wall.runs->starters.begin(), wall.runs->starters.end());
  }

  /// \param how  0: boards as pack_boards fills them; 1: by patterns, blanks apart; 2: by patterns, rakes
  ///   nested
  /// \param nesting  as in pack_assigned
  HouseAnswer make(const std::vector<std::vector<const Layout*>>& chosen, int how, double nesting,
                   double known, std::int64_t& spent) const {
    HouseAnswer out;
    std::vector<Piece> pieces;
    std::size_t joints = 0;
    for (std::size_t w = 0; w < walls_.size(); ++w) {
      const SearchWall& wall = walls_[w];
      out.joints.push_back(
          joints_from_layouts(*wall.wall, *wall.region, *wall.runs, pole_, rules_, chosen[w]));
      joints += out.joints.back().joints.size();
      for (Piece& piece :
           cut_pieces(*wall.wall, *wall.region, *wall.runs, out.joints.back().joints, pole_, rules_)) {
        out.cuts += piece.cuts.size();
        pieces.push_back(std::move(piece));
      }
    }
    std::vector<BoardGroup> groups;
    if (how > 0) groups = group_pieces(pieces, rules_, how == 2, group_steps, known, spent);
    out.packing = pack_assigned(pieces, starters_, rules_, groups, nesting);
    out.how = how;
    out.chosen = chosen;
    out.cost = out.packing.cost + joint_price_ * static_cast<double>(joints);
    spent += 1 + static_cast<std::int64_t>(pieces.size());
    return out;
  }

private:
  const std::vector<SearchWall>& walls_;
  const Pole& pole_;
  const Rules& rules_;
  double joint_price_ = 0;
  std::vector<Starter> starters_;
};

inline bool better_answer(const HouseAnswer& a, const HouseAnswer& b) {
  if (b.cost < 0) return true;
  if (a.cost < b.cost - 1e-9 || b.cost < a.cost - 1e-9) return a.cost < b.cost;
  return a.cuts < b.cuts;
}

/// What a search proved, as certificate.hpp checks it.
inline Certificate certificate_of(const std::vector<SearchWall>& walls, const HouseTranslation& translation,
                                  const HouseSearch& search, double bound) {
  const HouseProof& proof = search.proof();
  Certificate out;
  out.units_per_inch = static_cast<std::int64_t>(translation.per_inch);
  out.board_value = proof.board_value;
  out.bound = bound;
  out.price_scale = std::int64_t{1} << proof.shift;
  out.loose = proof.loose;
  out.share_threshold = translation.share.threshold;
  for (std::size_t k = 0; k < proof.kinds.size(); ++k)
    if (proof.values[k] > 0)
      out.prices.push_back({proof.kinds[k].ends > 0 ? "piece beside a joint" : "piece", proof.kinds[k].weight,
                            proof.kinds[k].ends, proof.values[k]});
  for (const HouseStack& stack : search.stacks()) {
    CertificateStack to;
    const HouseRun& lowest = translation.model.runs[stack.runs.front()];
    to.wall = walls[lowest.wall].wall->name;
    to.course = lowest.course;
    to.memory = static_cast<int>(stack.memory);
    for (std::size_t r : stack.runs) to.left.push_back(translation.model.runs[r].x_min);
    out.stacks.push_back(std::move(to));
  }
  return out;
}

}  // namespace detail

LAPW_INLINE Settled settle_boards(const std::vector<SearchWall>& walls, const Pole& pole, const Rules& rules,
                                  SearchCallback callback, void* context) {
  Settled settled;
  // Joints on their own come first: an answer at once, and which rules cannot all hold.
  std::vector<std::vector<detail::Layout>> first;
  std::vector<Fault> faults;
  for (const SearchWall& wall : walls) {
    try {
      first.push_back(detail::choose_layouts(*wall.wall, *wall.region, *wall.runs, pole, rules).layouts);
    } catch (const Refused& refused) {
      first.emplace_back();
      for (const Fault& fault : refused.faults)
        faults.push_back({detail::format("walls[{}].{}", first.size() - 1, fault.path), fault.message});
    }
  }
  if (!faults.empty()) throw Refused(std::move(faults));

  const detail::AnswerMaker maker(walls, pole, rules);
  std::vector<std::vector<const detail::Layout*>> chosen(walls.size());
  for (std::size_t w = 0; w < walls.size(); ++w)
    for (const detail::Layout& layout : first[w]) chosen[w].push_back(&layout);
  settled.proven_minimum = detail::area_bound(detail::least_area_to_cut(walls, rules), rules);
  std::int64_t spent = 0;
  detail::HouseAnswer best = maker.make(chosen, 0, 0, 0, spent);
  const auto report = [&] {
    return !callback || callback({spent, best.packing.cost, settled.proven_minimum}, context);
  };
  const auto met = [&] { return best.packing.cost <= settled.proven_minimum * (1 + 1e-12) + 1e-9; };
  const auto offer = [&](detail::HouseAnswer answer) {
    if (!detail::better_answer(answer, best)) return false;
    best = std::move(answer);
    return true;
  };
  bool go_on = report();

  const detail::HouseTranslation translation = detail::translate_house(walls, first, pole, rules);
  detail::HouseSearch search(translation.model,
                             static_cast<std::int64_t>(rules.search.effort * detail::search_steps));
  if (go_on) {
    search.prove();
    const detail::HouseProof& proof = search.proof();
    settled.proven_minimum = std::max(settled.proven_minimum, proof.bound);
    go_on = report();
  }
  if (go_on && !met()) {
    for (int how = 1; how <= 2; ++how)
      offer(maker.make(chosen, how, detail::dive_nesting, settled.proven_minimum, spent));
    go_on = report();
  }
  std::vector<std::size_t> pick;
  // Dives do not know of joints in nailed courses yet; place_joints does.
  const bool may_dive = rules.courses.joints_built.empty();
  for (int dive = 0; may_dive && go_on && !met() && dive < detail::search_dives && !search.out_of_steps();
       ++dive) {
    if (!search.dive(pick)) continue;
    for (std::size_t r = 0; r < pick.size(); ++r) {
      const detail::ModelRun& run = translation.runs[r];
      chosen[run.wall][run.run] = &run.listed[run.source[pick[r]]];
    }
    for (int how = 1; how <= 2 && !met(); ++how)
      offer(maker.make(chosen, how, detail::dive_nesting, settled.proven_minimum, spent));
    go_on = report();
  }

  // Rakes and low pieces once more, with all the tries there are.
  if (go_on && !met()) {
    const std::vector<std::vector<const detail::Layout*>> kept = best.chosen;
    for (int how = 1; how <= 2 && !met(); ++how)
      offer(maker.make(kept, how, 1, settled.proven_minimum, spent));
    report();
  }

  settled.certificate = detail::certificate_of(walls, translation, search, settled.proven_minimum);
  settled.joints = std::move(best.joints);
  settled.packing = std::move(best.packing);
  settled.steps = spent + search.steps();
  return settled;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
