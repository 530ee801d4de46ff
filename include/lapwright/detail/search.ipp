#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/house.hpp>
#include <lapwright/detail/house_model.hpp>
#include <lapwright/detail/layouts.hpp>
#include <lapwright/detail/packing.hpp>
#include <lapwright/detail/patterns.hpp>
#include <lapwright/detail/piece_groups.hpp>
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
inline constexpr std::size_t search_few_runs = 12;    // of so few, any two are changed
inline constexpr int search_wandering = 2000;         // changes, in so small a house
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

/// Layouts of all runs, by wall and run.
using HouseLayouts = std::vector<std::vector<const Layout*>>;

/// What chosen layouts come to: pieces cut, boards laid out.
struct HouseAnswer {
  HouseLayouts chosen;
  std::vector<Joints> joints;
  std::unique_ptr<const std::vector<Piece>> pieces;  // stays where it is: the boards refer to it
  std::vector<std::size_t> wall_of;                  // by piece
  std::optional<LaidBoards> boards;
  double cost = 0;  // of boards, and of joints at their price
  std::size_t cuts = 0;
};

inline bool better_answer(const HouseAnswer& a, const HouseAnswer& b) {
  if (a.cost < b.cost - 1e-9 || b.cost < a.cost - 1e-9) return a.cost < b.cost;
  return a.cuts < b.cuts;
}

/// How boards are filled in an answer.
enum class Filling {
  plainly,  ///< heaviest pieces first: at once
  apart,    ///< by patterns; what nests is found on the boards
  nested    ///< by patterns in which pairs nest
};

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

  /// Pieces alone.
  HouseAnswer cut(const HouseLayouts& chosen) const {
    HouseAnswer out;
    out.chosen = chosen;
    std::vector<Piece> pieces;
    for (std::size_t w = 0; w < walls_.size(); ++w) {
      const SearchWall& wall = walls_[w];
      out.joints.push_back(
          joints_from_layouts(*wall.wall, *wall.region, *wall.runs, pole_, rules_, chosen[w]));
      for (Piece& piece :
           cut_pieces(*wall.wall, *wall.region, *wall.runs, out.joints.back().joints, pole_, rules_)) {
        out.cuts += piece.cuts.size();
        pieces.push_back(std::move(piece));
        out.wall_of.push_back(w);
      }
    }
    out.pieces = std::make_unique<const std::vector<Piece>>(std::move(pieces));
    return out;
  }

  /// Boards for an answer's pieces, in place of those that it has.
  /// \param nesting  as in LaidBoards
  /// \param known  a proven bound
  void lay(HouseAnswer& answer, Filling filling, double nesting, double known, std::int64_t& spent) const {
    const std::vector<BoardGroup> groups =
        group_pieces(*answer.pieces, rules_, filling == Filling::nested,
                     filling == Filling::plainly ? 0 : group_steps, known, spent);
    answer.boards.emplace(*answer.pieces, starters_, rules_, groups, nesting);
    std::size_t joints = 0;
    for (const Joints& wall : answer.joints) joints += wall.joints.size();
    answer.cost = answer.boards->cost() + joint_price_ * static_cast<double>(joints);
    spent += 1 + static_cast<std::int64_t>(answer.pieces->size());
  }

  double joint_price() const { return joint_price_; }

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

/// What a search proved, as certificate.hpp checks it.
inline Certificate certificate_of(const std::vector<SearchWall>& walls, const HouseTranslation& translation,
                                  const HouseSearch& search, bool rows, double bound) {
  const HouseProof& proof = search.proof();
  Certificate out;
  out.units_per_inch = static_cast<std::int64_t>(translation.per_inch);
  out.board_value = proof.board_value;
  out.bound = bound;
  out.price_scale = std::int64_t{1} << proof.shift;
  out.loose = proof.loose;
  out.share_threshold = translation.share.threshold;
  out.row_threshold = rows ? translation.row_share.threshold : -1;
  if (rows)
    for (const OpenLayer& layer : translation.layers) {
      out.open_layers.push_back(layer.from);
      out.open_layers.push_back(layer.to);
    }
  for (std::size_t k = 0; k < proof.kinds.size(); ++k)
    if (proof.values[k] > 0)
      out.prices.push_back({proof.kinds[k].ends > 0 ? "piece beside a joint" : "piece", proof.kinds[k].weight,
                            proof.kinds[k].ends, proof.values[k], proof.kinds[k].closed,
                            proof.kinds[k].open});
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

/// The whole search: an answer at once, what can be proved, then better answers as long as steps last.
class HouseSettler {
public:
  HouseSettler(const std::vector<SearchWall>& walls, const Pole& pole, const Rules& rules,
               SearchCallback callback, void* context)
      : walls_(walls),
        pole_(pole),
        rules_(rules),
        callback_(callback),
        context_(context),
        maker_(walls, pole, rules) {}

  Settled settle() {
    // Joints on their own come first: an answer at once, and which rules cannot all hold.
    const std::vector<std::vector<Layout>> first = first_layouts();
    HouseLayouts chosen(walls_.size());
    for (std::size_t w = 0; w < walls_.size(); ++w)
      for (const Layout& layout : first[w]) chosen[w].push_back(&layout);
    best_ = maker_.cut(chosen);
    maker_.lay(best_, Filling::plainly, 0, 0, spent_);
    bound_ = area_bound(least_area_to_cut(walls_, rules_), rules_);
    report();

    const HouseTranslation house = translate_house(walls_, first, pole_, rules_);
    // Two ways to weigh pieces, each the better one for some houses.
    HouseSearch by_rows(house.model, steps(4)), by_shares(house.shares, steps(4));
    for (HouseSearch* search : {&by_shares, &by_rows})
      if (wanted()) {
        search->prove(bound_);
        bound_ = std::max(bound_, search->proof().bound);
        report();
      }
    const bool rows = by_rows.proof().bound >= by_shares.proof().bound;
    for (std::size_t k = 0; k < house.as_cut.size() && wanted(); ++k) dive(house, house.as_cut[k]);
    if (best_pick_.empty() && wanted()) try_layouts(chosen, dive_nesting);
    if (wanted()) try_every_pick(house);
    if (wanted()) change_runs(house);
    if (wanted()) wander(house);
    // Rakes and low pieces once more, with all the tries there are.
    if (wanted()) try_layouts(HouseLayouts(best_.chosen), 1);

    Settled settled;
    settled.proven_minimum = bound_;
    settled.certificate = certificate_of(walls_, house, rows ? by_rows : by_shares, rows, bound_);
    settled.packing = best_.boards->packing();
    settled.joints = std::move(best_.joints);
    settled.steps = spent_ + by_rows.steps() + by_shares.steps();
    return settled;
  }

private:
  std::int64_t steps(double share) const {
    return static_cast<std::int64_t>(rules_.search.effort * search_steps * share);
  }
  bool met() const { return best_.boards->cost() <= bound_ * (1 + 1e-12) + 1e-9; }
  bool wanted() const { return go_on_ && !met(); }
  void report() {
    go_on_ = go_on_ && (!callback_ || callback_({spent_, best_.boards->cost(), bound_}, context_));
  }

  std::vector<std::vector<Layout>> first_layouts() const {
    std::vector<std::vector<Layout>> out;
    std::vector<Fault> faults;
    for (const SearchWall& wall : walls_) {
      try {
        out.push_back(choose_layouts(*wall.wall, *wall.region, *wall.runs, pole_, rules_).layouts);
      } catch (const Refused& refused) {
        out.emplace_back();
        for (const Fault& fault : refused.faults)
          faults.push_back({fault.path.compare(0, 6, "board.") == 0
                                ? fault.path
                                : format("walls[{}].{}", out.size() - 1, fault.path),
                            fault.message});
      }
    }
    if (!faults.empty()) throw Refused(std::move(faults));
    return out;
  }

  /// Boards for these layouts, filled in either way, or in the way that did best so far. \return whether that
  /// is cheaper than all before
  bool try_layouts(const HouseLayouts& chosen, double nesting, bool either = true) {
    HouseAnswer answer = maker_.cut(chosen);
    const double before = best_.cost;
    last_cost_ = before;  // where it is not laid out because the bound is met
    double cheapest = -1;
    const bool nests = pieces_nest(*answer.pieces, rules_);
    for (Filling filling : {Filling::apart, Filling::nested}) {
      if (met() || (filling == Filling::nested && !nests)) break;
      if (!either && filling != best_filling_) continue;
      if (!answer.pieces) answer = maker_.cut(chosen);
      maker_.lay(answer, filling, nesting, bound_, spent_);
      if (cheapest < 0 || answer.cost < cheapest) last_cost_ = cheapest = answer.cost;
      if (!better_answer(answer, best_)) continue;
      best_ = std::move(answer);
      best_filling_ = filling;
    }
    report();
    return best_.cost < before - 1e-9;
  }

  /// As try_layouts, of layouts of the model.
  bool try_pick(const HouseTranslation& house, const std::vector<std::size_t>& pick, bool either = true) {
    if (!tried_.emplace(pick, -1).second || !picks_agree(house.model, pick)) return false;
    HouseLayouts chosen = best_.chosen;
    for (std::size_t r = 0; r < pick.size(); ++r) {
      const ModelRun& run = house.runs[r];
      chosen[run.wall][run.run] = &run.listed[run.source[pick[r]]];
    }
    const bool better = try_layouts(chosen, dive_nesting, either);
    tried_[pick] = last_cost_;
    if (best_pick_.empty() || better) best_pick_ = pick;
    return better;
  }

  void dive(const HouseTranslation& house, const HouseModel& as_cut) {
    HouseSearch diver(as_cut, steps(0.5));
    std::vector<std::size_t> pick, first;
    for (const ModelRun& run : house.runs) first.push_back(run.first);
    int idle = 0;  // dives that found nothing better
    for (int n = 0; wanted() && n < search_dives && idle < search_idle_dives && !diver.out_of_steps(); ++n)
      idle = diver.dive(pick, first) && try_pick(house, pick) ? 0 : idle + 1;
    spent_ += diver.steps();
  }

  /// Few choices in all: every one of them.
  void try_every_pick(const HouseTranslation& house) {
    const std::int64_t until = spent_ + steps(search_tries);
    for (const std::vector<std::size_t>& pick : every_pick(house.model, search_few_picks)) {
      if (!wanted() || spent_ >= until) return;
      try_pick(house, pick);
    }
  }

  /// Runs with joints, those first whose pieces lie on boards of which most is left over.
  std::vector<std::size_t> wasteful_runs(const HouseTranslation& house) const {
    std::map<std::pair<std::size_t, int>, std::vector<std::size_t>> runs;  // by wall, course
    for (std::size_t r = 0; r < house.model.runs.size(); ++r)
      if (house.model.runs[r].layouts.size() > 1)
        runs[{house.model.runs[r].wall, house.model.runs[r].course}].push_back(r);
    const std::vector<double> left_over = best_.boards->left_over();
    std::vector<double> waste(house.model.runs.size(), -1);
    for (std::size_t i = 0; i < left_over.size(); ++i) {
      const Piece& piece = (*best_.pieces)[i];
      const auto found = runs.find({best_.wall_of[i], piece.course});
      if (found == runs.end()) continue;
      for (std::size_t r : found->second)
        if (piece.x_min >= house.model.runs[r].x_min - tolerance &&
            piece.x_max <= house.model.runs[r].x_max + tolerance)
          waste[r] = std::max(waste[r], left_over[i]);
    }
    std::vector<std::size_t> out;
    for (std::size_t r = 0; r < waste.size(); ++r)
      if (waste[r] >= 0) out.push_back(r);
    std::stable_sort(out.begin(), out.end(),
                     [&](std::size_t a, std::size_t b) { return waste[a] > waste[b]; });
    return out;
  }

  /// One run changed at a time, as long as that goes; in small houses then any two.
  void change_runs(const HouseTranslation& house) {
    const std::int64_t until = spent_ + steps(search_tries);
    const auto may_try = [&] { return wanted() && spent_ < until; };
    const auto change = [&](std::size_t r, std::vector<std::size_t> pick, const auto& then) {
      bool better = false;
      for (std::size_t l = 0; l < house.model.runs[r].layouts.size() && may_try(); ++l) {
        if (!house.model.runs[r].layouts[l].usable) continue;
        pick[r] = l;
        better = then(pick) || better;
      }
      return better;
    };
    const auto try_it = [&](const std::vector<std::size_t>& pick) {
      return try_pick(house, pick, house.model.runs.size() <= search_few_runs);
    };
    for (bool better = !best_pick_.empty(); better && may_try();) {
      better = false;
      for (std::size_t r : wasteful_runs(house)) better = change(r, best_pick_, try_it) || better;
      if (better || best_pick_.size() > search_few_runs) continue;
      for (std::size_t q = 1; q < best_pick_.size(); ++q)
        for (std::size_t r = 0; r < q; ++r)
          better = change(q, best_pick_,
                          [&](const std::vector<std::size_t>& pick) { return change(r, pick, try_it); }) ||
                   better;
    }
  }

  /// In small houses: a run or two at random, kept where that costs no more, so that what costs the same is
  /// passed through on the way to what costs less.
  void wander(const HouseTranslation& house) {
    if (best_pick_.empty() || best_pick_.size() > search_few_runs) return;
    const std::int64_t until = spent_ + steps(search_tries);
    const double near = 4 * maker_.joint_price() + 1e-9;
    std::uint64_t state = 0x9E3779B97F4A7C15ULL;
    const auto random = [&state](std::size_t below) {
      state ^= state << 13;
      state ^= state >> 7;
      state ^= state << 17;
      return static_cast<std::size_t>((state >> 16) % below);
    };
    std::vector<std::size_t> at;
    double cost = 0;
    for (int n = 0; n < search_wandering && wanted() && spent_ < until; ++n) {
      if (n % 128 == 0) {
        at = best_pick_;
        cost = best_.cost;
        if (n % 256 == 128) {  // from anywhere
          for (std::size_t r = 0; r < at.size(); ++r) {
            const std::size_t l = random(house.model.runs[r].layouts.size());
            if (house.model.runs[r].layouts[l].usable) at[r] = l;
          }
          cost = 1e18;
        }
      }
      std::vector<std::size_t> pick = at;
      for (std::size_t changes = 1 + random(2); changes > 0; --changes) {
        const std::size_t r = random(pick.size()), l = random(house.model.runs[r].layouts.size());
        if (house.model.runs[r].layouts[l].usable) pick[r] = l;
      }
      if (pick == at) continue;
      try_pick(house, pick);
      const double now = tried_.at(pick);
      if (now < 0 || now > cost + near) continue;
      at = std::move(pick);
      cost = now;
    }
  }

  const std::vector<SearchWall>& walls_;
  const Pole& pole_;
  const Rules& rules_;
  SearchCallback callback_;
  void* context_;
  AnswerMaker maker_;
  HouseAnswer best_;
  Filling best_filling_ = Filling::apart;
  double bound_ = 0;
  std::int64_t spent_ = 0;
  bool go_on_ = true;
  double last_cost_ = 0;                              // of the layouts tried last
  std::map<std::vector<std::size_t>, double> tried_;  // what each pick costs; -1: its runs do not agree
  std::vector<std::size_t> best_pick_;
};

}  // namespace detail

LAPW_INLINE Settled settle_boards(const std::vector<SearchWall>& walls, const Pole& pole, const Rules& rules,
                                  SearchCallback callback, void* context) {
  detail::check_packing({}, {}, rules);
  for (const SearchWall& wall : walls) detail::check_joint_rules(*wall.runs, pole, rules);
  return detail::HouseSettler(walls, pole, rules, callback, context).settle();
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
