#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/cutting.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/patterns.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Default steps of cut_lengths, of some four thousand elementary operations each: a few seconds at worst.
inline constexpr double cutting_steps = 1.5e6;
inline constexpr std::int64_t cutting_step_operations = 1 << 12;
inline constexpr double cutting_first = 0.04;    // of them, for patterns before boards are tried one by one
inline constexpr double cutting_emptying = 0.1;  // and for those

inline bool finite_above(double value, double least) {
  return value > least && value <= 1e300;  // false for NaN
}

/// The lengths as whole numbers of one unit. The coarsest common one is taken, so that tables stay short:
/// whole units, their binary fractions to 1/1024, millimetres or their tenths in inches; else 2^-24.
struct WholeLengths {
  double per_unit = 1;     ///< units in one of the caller's
  std::int64_t slack = 0;  ///< how much the stock may be passed
};
inline WholeLengths whole_lengths(const std::vector<double>& lengths) {
  constexpr double candidates[] = {1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 25.4, 254};
  for (double per_unit : candidates) {
    bool whole = true;
    for (double length : lengths)
      if (std::abs(length * per_unit - std::round(length * per_unit)) > 1e-9 * per_unit) {
        whole = false;
        break;
      }
    if (whole) return {per_unit, 0};
  }
  return {snaps_per_inch, static_cast<std::int64_t>(tolerance * snaps_per_inch)};
}

inline std::vector<Fault> cutting_faults(const std::vector<CutDemand>& demands,
                                         const std::vector<CutStock>& stock, double kerf, double effort) {
  std::vector<Fault> faults;
  if (stock.empty()) faults.push_back({"stock", "at least one stock length is needed"});
  double longest = 0;
  for (std::size_t s = 0; s < stock.size(); ++s) {
    if (!finite_above(stock[s].length, 0) || stock[s].length > greatest_length)
      faults.push_back({detail::format("stock[{}].length", s),
                        detail::format("a stock length must be more than 0 and at most {}, got {}",
                                       greatest_length, stock[s].length)});
    else
      longest = std::max(longest, stock[s].length);
    if (!finite_above(stock[s].price, 0) || stock[s].price > 1e12)
      faults.push_back(
          {detail::format("stock[{}].price", s),
           detail::format("a price must be more than 0 and at most 1e12, got {}", stock[s].price)});
  }
  for (std::size_t i = 0; i < demands.size(); ++i) {
    const double length = demands[i].length;
    if (!finite_above(length, 0) || length > greatest_length)
      faults.push_back(
          {detail::format("demands[{}].length", i),
           detail::format("a length must be more than 0 and at most {}, got {}", greatest_length, length)});
    else if (longest > 0 && demands[i].count > 0 && length > longest + tolerance)
      faults.push_back({detail::format("demands[{}].length", i),
                        detail::format("{} is longer than the longest stock, {}", length, longest)});
    if (demands[i].count < 0 || demands[i].count > greatest_count)
      faults.push_back({detail::format("demands[{}].count", i),
                        detail::format("a count must be 0 to {}, got {}", greatest_count, demands[i].count)});
  }
  if (!(kerf >= 0) || kerf > greatest_length)
    faults.push_back({"kerf", detail::format("the kerf must be 0 to {}, got {}", greatest_length, kerf)});
  if (!(effort >= 0) || effort > 1e6)
    faults.push_back({"effort", detail::format("the effort must be 0 to 1e6, got {}", effort)});
  return faults;
}

/// What follows from lengths and numbers alone. By length: so much stock holds so much. By number, of one
/// stock length: where a board holds at most m of the long pieces, those in `full`, a number of boards that
/// leave too few for the rest must hold m each, and even the shortest of them must fit there. (In the manner
/// of Martello and Toth, Discrete Applied Math. 28, 1990, 59-70.)
inline double plain_bound(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks) {
  double total = 0, pieces = 0, rate = -1;
  for (const PatternItem& item : items) {
    total += static_cast<double>(item.weight) * static_cast<double>(item.demand);
    pieces += static_cast<double>(item.demand);
  }
  std::vector<double> prices;
  for (const PatternStock& stock : stocks) {
    prices.push_back(stock.price);
    if (stock.capacity <= 0) continue;
    const double each = stock.price / static_cast<double>(stock.capacity);
    if (rate < 0 || each < rate) rate = each;
  }
  if (rate < 0) return 0;
  double bound = reachable_cost(total * rate * (1 - 1e-12), prices);
  const std::int64_t capacity = stocks[0].capacity;
  if (stocks.size() > 1 || pieces * static_cast<double>(capacity) * 16 > 4e18) return bound;
  for (std::int64_t m = 1; m <= 8; ++m) {
    std::int64_t number = 0;  // of pieces of which a board holds m at most; items are sorted heaviest first
    std::size_t end = 0;
    for (; end < items.size() && (m + 1) * items[end].weight > capacity; ++end) number += items[end].demand;
    const auto fits = [&](std::int64_t boards) {
      const std::int64_t full = number - (m - 1) * boards;
      if (full > boards) return false;
      std::int64_t sum = 0, left = m * std::max<std::int64_t>(full, 0);
      for (std::size_t i = end; i-- > 0 && left > 0;) {
        const std::int64_t n = std::min(left, items[i].demand);
        sum += n * items[i].weight;
        left -= n;
      }
      return sum <= full * capacity || full <= 0;
    };
    std::int64_t low = 0, high = number;  // the more boards, the fewer full ones, the lighter those are
    while (low < high) {
      const std::int64_t middle = low + (high - low) / 2;
      if (fits(middle))
        high = middle;
      else
        low = middle + 1;
    }
    bound = std::max(bound, static_cast<double>(low) * stocks[0].price);
  }
  return bound;
}

/// Gets rid of boards one at a time: the pieces of two boards are divided anew so that the fuller of them is
/// filled as far as can be, until no two boards gain by it; then a few pieces change places and it goes on
/// from there, unless what is free lies about more than before. So what is free gathers on one board, until
/// nothing is left on it. (Local search by pairs of bins: Fleszar and Hindi, Computers & OR 29, 2002,
/// 821-839, and Alvim, Ribeiro, Glover, Aloise, J. Heuristics 10, 2004, 205-229, in its idea.)
class BoardEmptier {
public:
  struct Load {
    std::size_t stock = 0;
    std::int64_t room = 0;           ///< free, in units of weight
    std::vector<std::size_t> items;  ///< one entry a piece, heaviest first (items are sorted so)
  };

  BoardEmptier(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks,
               std::int64_t steps)
      : items_(items), stocks_(stocks), left_(steps * cutting_step_operations), granted_(left_) {
    std::int64_t greatest = 0;
    for (const PatternStock& stock : stocks) greatest = std::max(greatest, stock.capacity);
    while ((greatest >> shift_) > (std::int64_t{1} << 20)) ++shift_;
  }

  /// Until the cost is no more than the goal, or the steps are used up. \return whether the cost fell.
  bool run(std::vector<Pattern>& patterns, double& cost, double goal) {
    std::int64_t pieces = 0;
    for (const Pattern& pattern : patterns)
      for (const PatternCount& p : pattern.items) pieces += pattern.times * p.count;
    if (pieces > most_pieces) return false;
    for (const Pattern& pattern : patterns)
      for (std::int64_t n = 0; n < pattern.times; ++n) {
        Load load;
        load.stock = pattern.stock;
        load.room = stocks_[pattern.stock].capacity;
        for (const PatternCount& p : pattern.items)
          for (std::int64_t k = 0; k < p.count; ++k) {
            load.items.push_back(p.item);
            load.room -= items_[p.item].weight;
          }
        loads_.push_back(std::move(load));
      }
    bool fell = false;
    while (cost > goal && left_ > 0 && loads_.size() > 1 && empty_one()) {
      fell = true;
      for (std::size_t b = 0; b < loads_.size(); ++b)
        if (loads_[b].items.empty()) {
          cost -= stocks_[loads_[b].stock].price;
          loads_.erase(loads_.begin() + static_cast<std::ptrdiff_t>(b--));
        }
    }
    if (fell) collect(patterns);
    return fell;
  }
  std::int64_t steps() const { return (granted_ - left_) / cutting_step_operations; }

private:
  static constexpr std::int64_t most_pieces = 4000;
  static constexpr int most_nodes = 3000;          // of one division
  static constexpr std::size_t idle_shakes = 600;  // that gain nothing, and 16 a board: enough

  /// Most where what is free lies on few boards.
  std::int64_t gathered(const Load& load) const {
    const std::int64_t free = load.room >> shift_;
    return free * free;
  }
  void save(std::size_t board) {
    if (is_saved_[board]) return;
    is_saved_[board] = 1;
    saved_.push_back({board, loads_[board]});
  }
  void touch(std::size_t board) {
    if (is_waiting_[board]) return;
    is_waiting_[board] = 1;
    waiting_.push_back(board);
  }
  std::size_t random(std::size_t below) {
    state_ ^= state_ << 13;
    state_ ^= state_ >> 7;
    state_ ^= state_ << 17;
    return static_cast<std::size_t>((state_ >> 16) % below);
  }

  bool empty_one() {
    is_saved_.assign(loads_.size(), 0);
    is_waiting_.assign(loads_.size(), 0);
    saved_.clear();
    waiting_.clear();
    for (std::size_t b = 0; b < loads_.size(); ++b) touch(b);
    if (gather()) return true;
    for (std::size_t idle = 0; left_ > 0 && idle < idle_shakes + 16 * loads_.size(); ++idle) {
      for (const auto& kept : saved_) is_saved_[kept.first] = 0;
      saved_.clear();
      for (std::size_t moves = 1 + random(2); moves > 0; --moves) shake();
      if (gather()) return true;
      std::int64_t before = 0, after = 0;
      for (const auto& kept : saved_) {
        before += gathered(kept.second);
        after += gathered(loads_[kept.first]);
      }
      if (after > before) idle = 0;
      if (after >= before) continue;
      for (auto& kept : saved_) std::swap(loads_[kept.first], kept.second);
    }
    return false;
  }

  /// Lays the pieces of three boards again in any order that fits.
  void shake() {
    std::size_t boards[3];
    const std::size_t number = std::min<std::size_t>(3, loads_.size());
    for (int tries = 0; tries < 16; ++tries) {
      std::int64_t room[3] = {0, 0, 0};
      both_.clear();
      for (std::size_t k = 0; k < number; ++k) {
        boards[k] = random(loads_.size());
        room[k] = stocks_[loads_[boards[k]].stock].capacity;
        both_.insert(both_.end(), loads_[boards[k]].items.begin(), loads_[boards[k]].items.end());
      }
      left_ -= 8 * static_cast<std::int64_t>(both_.size());
      if (boards[0] == boards[1] || (number == 3 && (boards[0] == boards[2] || boards[1] == boards[2])))
        continue;
      for (std::size_t i = both_.size(); i > 1; --i) std::swap(both_[i - 1], both_[random(i)]);
      goes_.clear();
      for (std::size_t item : both_) {
        std::size_t to = random(number), seen = 0;
        while (seen < number && room[to] < items_[item].weight) {
          to = (to + 1) % number;
          ++seen;
        }
        if (seen == number) break;
        room[to] -= items_[item].weight;
        goes_.push_back(to);
      }
      if (goes_.size() < both_.size()) continue;
      for (std::size_t k = 0; k < number; ++k) {
        save(boards[k]);
        touch(boards[k]);
        loads_[boards[k]].items.clear();
        loads_[boards[k]].room = room[k];
      }
      for (std::size_t i = 0; i < both_.size(); ++i) loads_[boards[goes_[i]]].items.push_back(both_[i]);
      return;
    }
  }

  /// Divides pairs anew until none gains. \return true where a board is empty.
  bool gather() {
    bool empty = false;
    while (!waiting_.empty() && left_ > 0) {
      const std::size_t board = waiting_.back();
      waiting_.pop_back();
      is_waiting_[board] = 0;
      for (std::size_t other = 0; other < loads_.size() && left_ > 0; ++other)
        if (other != board && divide(board, other)) {
          touch(board);
          touch(other);
          empty = empty || loads_[board].items.empty() || loads_[other].items.empty();
        }
      if (empty) return true;
    }
    for (std::size_t board : waiting_) is_waiting_[board] = 0;
    waiting_.clear();
    return false;
  }

  bool divide(std::size_t a, std::size_t b) {
    if (loads_[b].room < loads_[a].room) std::swap(a, b);
    left_ -= 4;
    if (loads_[a].room == 0 || loads_[a].items.empty() || loads_[b].items.empty()) return false;
    both_.clear();
    both_.insert(both_.end(), loads_[a].items.begin(), loads_[a].items.end());
    both_.insert(both_.end(), loads_[b].items.begin(), loads_[b].items.end());
    std::sort(both_.begin(), both_.end());
    rest_.assign(both_.size() + 1, 0);
    for (std::size_t i = both_.size(); i-- > 0;) rest_[i] = rest_[i + 1] + items_[both_[i]].weight;
    // Depth first, heaviest first; what is left must still beat the best.
    const std::int64_t capacity = stocks_[loads_[a].stock].capacity;
    std::int64_t best = capacity - loads_[a].room, sum = 0;
    bool found = false;
    const std::size_t n = both_.size();
    taken_.assign(n, 0);
    int nodes = 0;
    std::size_t i = 0;
    while (true) {
      while (i < n && sum + rest_[i] > best && nodes < most_nodes) {
        ++nodes;
        taken_[i] = sum + items_[both_[i]].weight <= capacity ? 1 : 0;
        sum += taken_[i] ? items_[both_[i]].weight : 0;
        ++i;
      }
      if (sum > best) {
        best = sum;
        found = true;
        kept_ = taken_;
        std::fill(kept_.begin() + static_cast<std::ptrdiff_t>(i), kept_.end(), char{0});
        if (best == capacity) break;
      }
      while (i > 0 && !taken_[i - 1]) --i;
      if (i == 0 || nodes >= most_nodes) break;
      taken_[i - 1] = 0;
      sum -= items_[both_[i - 1]].weight;
      ++nodes;
    }
    left_ -= 4 * static_cast<std::int64_t>(n) + nodes;
    if (!found) return false;
    save(a);
    save(b);
    loads_[a].items.clear();
    loads_[b].items.clear();
    for (std::size_t k = 0; k < n; ++k) loads_[kept_[k] ? a : b].items.push_back(both_[k]);
    loads_[b].room += best - (capacity - loads_[a].room);
    loads_[a].room = capacity - best;
    return true;
  }

  /// Boards as patterns again, equal ones together.
  void collect(std::vector<Pattern>& patterns) const {
    std::map<std::pair<std::size_t, std::vector<std::size_t>>, std::int64_t> number;
    for (const Load& load : loads_) {
      std::vector<std::size_t> sorted = load.items;
      std::sort(sorted.begin(), sorted.end());
      ++number[{load.stock, std::move(sorted)}];
    }
    patterns.clear();
    for (const auto& entry : number) {
      Pattern pattern;
      pattern.stock = entry.first.first;
      pattern.times = entry.second;
      for (std::size_t item : entry.first.second)
        if (!pattern.items.empty() && pattern.items.back().item == item)
          ++pattern.items.back().count;
        else
          pattern.items.push_back({item, 1});
      patterns.push_back(std::move(pattern));
    }
  }

  const std::vector<PatternItem>& items_;
  const std::vector<PatternStock>& stocks_;
  std::int64_t left_ = 0, granted_ = 0;  // elementary operations
  int shift_ = 0;
  std::uint64_t state_ = 0x9E3779B97F4A7C15ULL;
  std::vector<Load> loads_;
  std::vector<std::pair<std::size_t, Load>> saved_;
  std::vector<char> is_saved_, is_waiting_;
  std::vector<std::size_t> waiting_, both_, goes_;
  std::vector<std::int64_t> rest_;
  std::vector<char> taken_, kept_;
};

}  // namespace detail

LAPW_INLINE CutLengths cut_lengths(const std::vector<CutDemand>& demands, const std::vector<CutStock>& stock,
                                   double kerf, double effort) {
  std::vector<Fault> faults = detail::cutting_faults(demands, stock, kerf, effort);
  if (!faults.empty()) throw Refused(std::move(faults));

  std::vector<double> all;
  for (const CutDemand& demand : demands)
    if (demand.count > 0) all.push_back(demand.length);
  for (const CutStock& s : stock) all.push_back(s.length);
  all.push_back(kerf);
  const detail::WholeLengths unit = detail::whole_lengths(all);
  const auto whole = [&unit](double length) { return std::llround(length * unit.per_unit); };

  // Equal lengths are one item, heaviest first.
  struct Entry {
    std::int64_t weight;
    std::size_t demand;
  };
  std::vector<Entry> entries;
  for (std::size_t i = 0; i < demands.size(); ++i)
    if (demands[i].count > 0)
      entries.push_back({std::max<std::int64_t>(1, whole(demands[i].length) + whole(kerf)), i});
  std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
    return a.weight != b.weight ? a.weight > b.weight : a.demand < b.demand;
  });
  std::vector<detail::PatternItem> items;
  std::vector<std::vector<std::size_t>> members;
  for (const Entry& entry : entries) {
    if (items.empty() || items.back().weight != entry.weight) {
      items.push_back({entry.weight, 0, 0});
      members.emplace_back();
    }
    items.back().demand += demands[entry.demand].count;
    members.back().push_back(entry.demand);
  }
  std::vector<detail::PatternStock> stocks;
  for (const CutStock& s : stock)
    stocks.push_back({whole(s.length) + whole(kerf) + unit.slack, 2, s.price, -1});
  // A common divisor of the weights shortens every table.
  std::int64_t divisor = 0;
  for (const detail::PatternItem& item : items)
    for (std::int64_t a = item.weight; a != 0;) {
      const std::int64_t rest = divisor % a;
      divisor = a;
      a = rest;
    }
  if (divisor > 1) {
    for (detail::PatternItem& item : items) item.weight /= divisor;
    for (detail::PatternStock& s : stocks) s.capacity /= divisor;
  }

  CutLengths out;
  if (items.empty()) return out;
  // Patterns first for a while, which suits many pieces of few lengths; then boards one by one, which suits
  // few of many; then patterns as long as may be.
  const auto steps = [effort](double share) {
    return static_cast<std::int64_t>(effort * detail::cutting_steps * share);
  };
  const auto met = [](const detail::PatternResult& r) {
    return r.cost <= r.proof.bound * (1 + 1e-12) + 1e-9;
  };
  detail::PatternResult result =
      detail::solve_patterns(items, stocks, steps(detail::cutting_first), detail::plain_bound(items, stocks));
  std::int64_t spent = result.steps;
  if (!met(result)) {
    detail::BoardEmptier emptier(items, stocks, steps(detail::cutting_emptying));
    emptier.run(result.patterns, result.cost, result.proof.bound);
    spent += emptier.steps();
  }
  if (!met(result) && spent < steps(1)) {
    detail::PatternResult more = detail::solve_patterns(items, stocks, steps(1) - spent, result.proof.bound);
    spent += more.steps;
    more.proof.bound = std::max(more.proof.bound, result.proof.bound);
    if (more.cost < result.cost)
      result = std::move(more);
    else
      result.proof.bound = more.proof.bound;
  }
  out.cost = result.cost;
  out.bound = result.proof.bound;
  out.steps = spent;

  // Hand the pieces of equal demands out one after the other; a pattern splits where a demand runs out.
  std::vector<std::int64_t> left(demands.size());
  for (std::size_t i = 0; i < demands.size(); ++i) left[i] = demands[i].count;
  std::vector<std::size_t> next(items.size(), 0);
  for (const detail::Pattern& pattern : result.patterns) {
    std::int64_t times = pattern.times;
    while (times > 0) {
      CutPattern cut;
      cut.stock = pattern.stock;
      cut.pieces.assign(demands.size(), 0);
      std::int64_t repeat = times;
      std::vector<std::size_t> at = next;
      for (const detail::PatternCount& p : pattern.items) {
        std::int64_t wanted = p.count;
        while (wanted > 0) {
          while (left[members[p.item][at[p.item]]] - cut.pieces[members[p.item][at[p.item]]] <= 0)
            ++at[p.item];
          const std::size_t demand = members[p.item][at[p.item]];
          const std::int64_t n = std::min(wanted, left[demand] - cut.pieces[demand]);
          cut.pieces[demand] += n;
          wanted -= n;
        }
      }
      for (std::size_t i = 0; i < demands.size(); ++i)
        if (cut.pieces[i] > 0) repeat = std::min(repeat, left[i] / cut.pieces[i]);
      cut.count = repeat;
      for (std::size_t i = 0; i < demands.size(); ++i) left[i] -= repeat * cut.pieces[i];
      for (std::size_t k = 0; k < items.size(); ++k)
        while (next[k] + 1 < members[k].size() && left[members[k][next[k]]] == 0) ++next[k];
      times -= repeat;
      out.patterns.push_back(std::move(cut));
    }
  }
  return out;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
