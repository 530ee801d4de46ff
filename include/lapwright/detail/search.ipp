#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>
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
inline constexpr int search_dives = 24;        // at most, for each guess of how pieces nest
inline constexpr int search_idle_dives = 2;    // one after the other that find nothing better: enough
inline constexpr std::size_t search_few_picks = 600;  // so few choices of layouts are tried one by one
inline constexpr double search_tries = 0.5;           // share of the steps for such tries, at most
inline constexpr double dive_nesting = 0.05;          // share of pack_assigned's tries in a dive
inline constexpr std::int64_t group_steps = 8000;     // for the boards of one choice of joints

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

/// What lets a piece share a stretch of a board with another.
struct NestShape {
  double height = 0;  ///< in; of what is cut
  bool edge = false;  ///< a long edge of the board is left on it
  double left = 0,
         right = 0;  ///< run of an end that slants over the whole height, + where its top leans right
  bool plain() const { return left == 0 && right == 0; }
};

inline NestShape nest_shape(const Piece& piece, const Rules& rules) {
  const Box box = bounds(piece.outline);
  NestShape out;
  out.height = box.y_max - box.y_min;
  out.edge = std::abs(box.y_min - piece.y) <= tolerance ||
             std::abs(box.y_max - piece.y - rules.board.width) <= tolerance;
  const std::size_t n = piece.outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    Point a = piece.outline[i], b = piece.outline[(i + 1) % n];
    if (a.y > b.y) std::swap(a, b);
    if (b.y - a.y < rules.board.width - tolerance || std::abs(b.x - a.x) <= tolerance) continue;
    if (std::min(a.x, b.x) <= piece.x_min + tolerance) out.left = b.x - a.x;
    if (std::max(a.x, b.x) >= piece.x_max - tolerance) out.right = b.x - a.x;
  }
  return out;
}

/// Inches of a board that two pieces save by nesting, which are `a` and `b` long; 0: none.
inline double nest_saving(const NestShape& p, double a, const NestShape& q, double b, const Rules& rules) {
  const double width = rules.board.width, kerf = rules.cutting.kerf;
  if (p.height + q.height + kerf <= width + tolerance && (rules.board.turnable || !p.edge || !q.edge))
    return std::min(a, b) + kerf;
  double best = 0;
  const auto ends = [&](double m, double n, bool turning) {
    if (m == 0 || std::abs(m - n) > tolerance || (turning && !rules.board.turnable)) return;
    const double slant = std::sqrt(m * m + width * width) / width;
    best = std::max(best, std::abs(m) - kerf * (slant - 1));
  };
  ends(p.left, q.left, true);
  ends(p.right, q.right, true);
  ends(p.left, q.right, false);
  ends(p.right, q.left, false);
  return best;
}

inline constexpr std::size_t nest_pairs = 600;  // at most, those that save most

/// Which pieces share a board, from their lengths and factory ends.
inline std::vector<BoardGroup> group_pieces(const std::vector<Piece>& pieces, const Rules& rules, bool nested,
                                            std::int64_t steps, double known, std::int64_t& spent) {
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
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    const double length = pieces[p].x_max - pieces[p].x_min;
    Entry entry;
    entry.nest = nest_shape(pieces[p], rules);
    const bool low = 2 * entry.nest.height + rules.cutting.kerf <= rules.board.width;
    if (!nested && low) continue;  // they lie above or below others
    const int ends = (pieces[p].left.factory ? 1 : 0) + (pieces[p].right.factory ? 1 : 0);
    if (ends == 2) {
      for (std::size_t s = 0; s < prices.size(); ++s)
        if (std::abs(rules.board.lengths[s] - pieces[p].length) <= 2 * tolerance) {
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

/// Whether the layouts of all runs may stand together. A dive may have forgotten courses further down.
inline bool picks_agree(const HouseModel& model, const std::vector<std::size_t>& pick) {
  std::map<std::pair<std::size_t, int>, std::vector<std::size_t>> runs;  // by wall, course
  for (std::size_t r = 0; r < model.runs.size(); ++r)
    if (!model.runs[r].layouts[pick[r]].studs.empty())
      runs[{model.runs[r].wall, model.runs[r].course}].push_back(r);
  for (const auto& entry : runs)
    for (std::size_t r : entry.second) {
      const HouseRun& run = model.runs[r];
      for (int apart = 1; apart <= std::max(1, run.repeat_after - 1); ++apart) {
        const auto below = runs.find({run.wall, run.course - apart});
        if (below == runs.end()) continue;
        for (std::size_t other : below->second)
          if (!house_layouts_agree(model.runs[other], model.runs[other].layouts[pick[other]], run,
                                   run.layouts[pick[r]]))
            return false;
      }
    }
  return true;
}

/// Every choice of usable layouts, or none where there are more than `most`.
inline std::vector<std::vector<std::size_t>> every_pick(const HouseModel& model, std::size_t most) {
  std::vector<std::vector<std::size_t>> usable(model.runs.size());
  std::size_t number = 1;
  for (std::size_t r = 0; r < model.runs.size(); ++r) {
    for (std::size_t l = 0; l < model.runs[r].layouts.size(); ++l)
      if (model.runs[r].layouts[l].usable) usable[r].push_back(l);
    number *= usable[r].size();
    if (number == 0 || number > most) return {};
  }
  std::vector<std::vector<std::size_t>> out;
  std::vector<std::size_t> at(model.runs.size(), 0);
  while (true) {
    std::vector<std::size_t> pick;
    pick.reserve(at.size());
    for (std::size_t r = 0; r < at.size(); ++r) pick.push_back(usable[r][at[r]]);
    out.push_back(std::move(pick));
    std::size_t r = 0;
    while (r < at.size() && ++at[r] == usable[r].size()) at[r++] = 0;
    if (r == at.size()) return out;
  }
}

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
  detail::check_packing({}, rules);
  for (const SearchWall& wall : walls) detail::check_joint_rules(*wall.runs, pole, rules);
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
        faults.push_back({fault.path.compare(0, 6, "board.") == 0
                              ? fault.path
                              : detail::format("walls[{}].{}", first.size() - 1, fault.path),
                          fault.message});
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
  const auto steps = [&](double share) {
    return static_cast<std::int64_t>(rules.search.effort * detail::search_steps * share);
  };
  detail::HouseSearch search(translation.model, steps(4));
  if (go_on) {
    search.prove();
    const detail::HouseProof& proof = search.proof();
    settled.proven_minimum = std::max(settled.proven_minimum, proof.bound);
    go_on = report();
  }
  const auto try_chosen = [&] {
    for (int how = 1; how <= 2 && !met(); ++how)
      offer(maker.make(chosen, how, detail::dive_nesting, settled.proven_minimum, spent));
    go_on = report();
  };
  if (go_on && !met()) try_chosen();
  std::set<std::vector<std::size_t>> tried;
  std::vector<std::size_t> best_pick;
  /// Whether it is better than all before.
  const auto try_pick = [&](const std::vector<std::size_t>& one) {
    if (!tried.insert(one).second || !detail::picks_agree(translation.model, one)) return false;
    for (std::size_t r = 0; r < one.size(); ++r) {
      const detail::ModelRun& run = translation.runs[r];
      chosen[run.wall][run.run] = &run.listed[run.source[one[r]]];
    }
    const double before = best.cost;
    try_chosen();
    if (best_pick.empty() || best.cost < before - 1e-9) best_pick = one;
    return best.cost < before - 1e-9;
  };
  std::int64_t diving = 0;
  std::vector<std::size_t> pick;
  const auto dive_with = [&](detail::HouseSearch& diver, int most_idle) {
    int idle = 0;  // dives that found nothing better
    for (int dive = 0;
         go_on && !met() && dive < detail::search_dives && idle < most_idle && !diver.out_of_steps(); ++dive)
      idle = diver.dive(pick) && try_pick(pick) ? 0 : idle + 1;
  };
  if (go_on && !met()) dive_with(search, 1);
  for (std::size_t k = 0; k < translation.as_cut.size() && go_on && !met(); ++k) {
    detail::HouseSearch diver(translation.as_cut[k], steps(k == 0 ? 1 : 0.5));
    dive_with(diver, detail::search_idle_dives);
    diving += diver.steps();
  }
  // Few choices in all: every one of them. Else one run changed at a time, as long as that goes.
  const std::int64_t until = spent + steps(detail::search_tries);
  const auto may_try = [&] { return go_on && !met() && spent < until; };
  if (may_try())
    for (const std::vector<std::size_t>& one :
         detail::every_pick(translation.model, detail::search_few_picks))
      if (may_try()) try_pick(one);
  for (bool better = !best_pick.empty(); better && may_try();) {
    better = false;
    for (std::size_t r = 0; r < best_pick.size() && may_try(); ++r)
      for (std::size_t l = 0; l < translation.model.runs[r].layouts.size() && may_try(); ++l) {
        if (!translation.model.runs[r].layouts[l].usable) continue;
        pick = best_pick;
        pick[r] = l;
        better = try_pick(pick) || better;
      }
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
  settled.steps = spent + search.steps() + diving;
  return settled;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
