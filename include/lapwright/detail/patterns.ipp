#pragma once
#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/patterns.hpp>
#include <lapwright/detail/simplex.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr std::int64_t pattern_table_cells = 6000000;   // larger tables are searched by branching
inline constexpr std::int64_t pattern_branch_nodes = 100000;   // then the coarse table bounds what is left
inline constexpr std::int64_t pattern_coarse_capacity = 4096;  // cells of that coarse table
inline constexpr std::int64_t pattern_few_pieces = 20;         // so few are tried in every way
inline constexpr std::int64_t pattern_exhaustion_nodes = 300000;
inline constexpr std::int64_t pattern_step_operations = 1 << 12;  // elementary operations in one step

LAPW_INLINE PatternPricer::PatternPricer(const std::vector<PatternItem>& items,
                                         const std::vector<PatternStock>& stocks)
    : items_(items), stocks_(stocks), best_(stocks.size()) {
  bool ends = false;
  std::int64_t lightest = 0, copies = 0;
  for (const PatternStock& stock : stocks) greatest_ = std::max(greatest_, stock.capacity);
  for (const PatternItem& item : items) {
    ends = ends || item.ends > 0;
    lightest = lightest == 0 ? item.weight : std::min(lightest, item.weight);
    if (item.ends == 0)
      for (std::int64_t n = std::min(item.demand, greatest_ / item.weight); n > 0; n /= 2) ++copies;
  }
  table_ = ends || copies * (greatest_ + 1) <= pattern_table_cells;
}

LAPW_INLINE void PatternPricer::price(const std::vector<std::int64_t>& values,
                                      const std::vector<std::int64_t>& most) {
  if (table_)
    price_by_table(values, most);
  else
    price_by_branching(values, most);
  steps_ += work_ / pattern_step_operations;
  work_ %= pattern_step_operations;
}

LAPW_INLINE void PatternPricer::price_by_table(const std::vector<std::int64_t>& values,
                                               const std::vector<std::int64_t>& most) {
  const std::size_t cells = static_cast<std::size_t>(greatest_ + 1);
  copies_.clear();
  for (std::size_t i = 0; i < items_.size(); ++i) {
    if (items_[i].ends > 0 || values[i] <= 0 || items_[i].weight > greatest_) continue;
    // Powers of two and a rest make every number of copies up to the most.
    std::int64_t left = std::min(most[i], greatest_ / items_[i].weight);
    for (std::int64_t n = 1; left > 0; n *= 2) {
      copies_.push_back({i, std::min(n, left)});
      left -= std::min(n, left);
    }
  }
  table_value_.assign(cells, 0);
  taken_.assign(copies_.size() * cells, 0);
  for (std::size_t k = 0; k < copies_.size(); ++k) {
    const std::size_t weight = static_cast<std::size_t>(items_[copies_[k].item].weight * copies_[k].count);
    const std::int64_t value = values[copies_[k].item] * copies_[k].count;
    unsigned char* const taken = taken_.data() + k * cells;
    std::int64_t* const table = table_value_.data();
    for (std::size_t c = cells; c-- > weight;) {
      const std::int64_t with = table[c - weight] + value;
      if (with > table[c]) {
        table[c] = with;
        taken[c] = 1;
      }
    }
    work_ += static_cast<std::int64_t>(cells - std::min(cells, weight));
  }
  // Items with ends, at most as many as the stock has.
  std::vector<std::size_t> one;
  std::int64_t dearest = 0;
  for (std::size_t i = 0; i < items_.size(); ++i)
    if (items_[i].ends == 1 && values[i] > 0 && most[i] > 0) {
      one.push_back(i);
      dearest = std::max(dearest, values[i]);
    }
  for (std::size_t s = 0; s < stocks_.size(); ++s) {
    const std::int64_t capacity = stocks_[s].capacity;
    Best& best = best_[s];
    best = Best{};
    const auto table = [this](std::int64_t c) { return table_value_[static_cast<std::size_t>(c)]; };
    best.value = table(capacity);
    best.left = capacity;
    if (stocks_[s].ends >= 1)
      for (std::size_t a = 0; a < one.size(); ++a) {
        const std::size_t i = one[a];
        const std::int64_t left = capacity - items_[i].weight;
        if (left < 0) continue;
        const std::int64_t alone = values[i] + table(left);
        if (alone > best.value) {
          best.value = alone;
          best.left = left;
          best.one = static_cast<std::ptrdiff_t>(i);
          best.two = -1;
        }
        if (stocks_[s].ends < 2 || alone + dearest <= best.value) continue;
        for (std::size_t b = most[i] >= 2 ? a : a + 1; b < one.size(); ++b) {
          const std::int64_t rest = left - items_[one[b]].weight;
          if (rest < 0) continue;
          const std::int64_t both = values[i] + values[one[b]] + table(rest);
          if (both > best.value) {
            best.value = both;
            best.left = rest;
            best.one = static_cast<std::ptrdiff_t>(i);
            best.two = static_cast<std::ptrdiff_t>(one[b]);
          }
        }
        work_ += static_cast<std::int64_t>(one.size() - a);
      }
    if (stocks_[s].ends >= 2)
      for (std::size_t i = 0; i < items_.size(); ++i)
        if (items_[i].ends == 2 && most[i] > 0 && items_[i].weight <= capacity) {
          const std::int64_t left = items_[i].alone ? 0 : capacity - items_[i].weight;
          const std::int64_t value = values[i] + table(left);
          if (value > best.value) {
            best.value = value;
            best.left = left;
            best.one = static_cast<std::ptrdiff_t>(i);
            best.two = -1;
          }
        }
    best.upper = best.value;
  }
}

LAPW_INLINE std::int64_t PatternPricer::coarse_upper(const std::vector<std::int64_t>& values,
                                                     const std::vector<std::int64_t>& most,
                                                     std::int64_t capacity) const {
  // Weights and capacity divided and rounded down: whatever fits still does.
  const std::int64_t divisor = capacity / pattern_coarse_capacity + 1;
  std::vector<std::int64_t> table(static_cast<std::size_t>(capacity / divisor + 1), 0);
  for (std::size_t i = 0; i < items_.size(); ++i) {
    if (values[i] <= 0) continue;
    std::int64_t left = std::min(most[i], capacity / items_[i].weight);
    for (std::int64_t n = 1; left > 0; n *= 2) {
      const std::int64_t count = std::min(n, left);
      left -= count;
      const std::int64_t weight = items_[i].weight * count / divisor;
      for (std::int64_t c = capacity / divisor; c >= weight; --c) {
        const std::int64_t with = table[static_cast<std::size_t>(c - weight)] + values[i] * count;
        if (with > table[static_cast<std::size_t>(c)]) table[static_cast<std::size_t>(c)] = with;
      }
    }
  }
  return table.back();
}

LAPW_INLINE void PatternPricer::price_by_branching(const std::vector<std::int64_t>& values,
                                                   const std::vector<std::int64_t>& most) {
  struct Entry {
    std::size_t item;
    double density;
  };
  std::vector<Entry> order;
  for (std::size_t i = 0; i < items_.size(); ++i)
    if (values[i] > 0 && most[i] > 0)
      order.push_back({i, static_cast<double>(values[i]) / static_cast<double>(items_[i].weight)});
  std::sort(order.begin(), order.end(), [](const Entry& a, const Entry& b) {
    return a.density != b.density ? a.density > b.density : a.item < b.item;
  });
  const std::size_t n = order.size();
  std::vector<std::int64_t> lightest(n + 1, greatest_ + 1);
  for (std::size_t k = n; k-- > 0;) lightest[k] = std::min(lightest[k + 1], items_[order[k].item].weight);
  std::vector<std::int64_t> count(n, 0);
  for (std::size_t s = 0; s < stocks_.size(); ++s) {
    Best& best = best_[s];
    best = Best{};
    std::int64_t nodes = 0, left = stocks_[s].capacity, value = 0;
    std::size_t depth = 0;
    bool cut_short = false;
    std::fill(count.begin(), count.end(), std::int64_t{0});
    while (true) {
      // Down: as many of each as fit, while a fractional rest could still beat the best.
      while (depth < n) {
        if (left < lightest[depth] ||
            static_cast<double>(value) + static_cast<double>(left) * order[depth].density <
                static_cast<double>(best.value) + 0.5)
          break;
        const std::size_t item = order[depth].item;
        count[depth] = std::min(most[item], left / items_[item].weight);
        left -= count[depth] * items_[item].weight;
        value += count[depth] * values[item];
        ++depth;
        ++nodes;
      }
      if (value > best.value) {
        best.value = value;
        best.listed.clear();
        for (std::size_t k = 0; k < depth; ++k)
          if (count[k] > 0) best.listed.push_back({order[k].item, count[k]});
      }
      // Up: one fewer of the last that has any.
      while (depth > 0 && count[depth - 1] == 0) --depth;
      if (depth == 0) break;
      if (nodes > pattern_branch_nodes) {
        cut_short = true;
        break;
      }
      const std::size_t item = order[depth - 1].item;
      --count[depth - 1];
      left += items_[item].weight;
      value -= values[item];
      ++nodes;
    }
    work_ += nodes * 4;
    std::sort(best.listed.begin(), best.listed.end(),
              [](const PatternCount& a, const PatternCount& b) { return a.item < b.item; });
    best.upper = best.value;
    if (cut_short) {
      best.upper = std::max(best.value, coarse_upper(values, most, stocks_[s].capacity));
      work_ += static_cast<std::int64_t>(n) * 2 * pattern_coarse_capacity;
    }
  }
}

LAPW_INLINE void PatternPricer::add_from_table(std::int64_t capacity,
                                               std::vector<std::int64_t>& count) const {
  const std::size_t cells = static_cast<std::size_t>(greatest_ + 1);
  std::size_t c = static_cast<std::size_t>(capacity);
  for (std::size_t k = copies_.size(); k-- > 0;)
    if (taken_[k * cells + c]) {
      count[copies_[k].item] += copies_[k].count;
      c -= static_cast<std::size_t>(items_[copies_[k].item].weight * copies_[k].count);
    }
}

inline std::vector<PatternCount> counted_items(const std::vector<std::int64_t>& count) {
  std::vector<PatternCount> out;
  for (std::size_t i = 0; i < count.size(); ++i)
    if (count[i] > 0) out.push_back({i, count[i]});
  return out;
}

LAPW_INLINE std::vector<PatternCount> PatternPricer::pattern(std::size_t stock) const {
  const Best& best = best_[stock];
  if (!table_) return best.listed;
  std::vector<std::int64_t> count(items_.size(), 0);
  if (best.one >= 0) ++count[static_cast<std::size_t>(best.one)];
  if (best.two >= 0) ++count[static_cast<std::size_t>(best.two)];
  add_from_table(best.left, count);
  return counted_items(count);
}

LAPW_INLINE std::vector<PatternCount> PatternPricer::pattern_with(
    std::size_t stock, std::size_t item, const std::vector<std::int64_t>& values) const {
  const std::int64_t left = stocks_[stock].capacity - items_[item].weight;
  const int ends = stocks_[stock].ends - items_[item].ends;
  if (!table_ || left < 0 || ends < 0) return {};
  std::int64_t best = table_value_[static_cast<std::size_t>(left)], rest = left;
  std::ptrdiff_t other = -1;
  for (std::size_t j = 0; j < items_.size() && ends > 0; ++j) {
    if (items_[j].ends == 0 || items_[j].ends > ends || items_[j].alone || values[j] <= 0 ||
        items_[j].weight > left)
      continue;
    const std::int64_t value = values[j] + table_value_[static_cast<std::size_t>(left - items_[j].weight)];
    if (value > best) {
      best = value;
      rest = left - items_[j].weight;
      other = static_cast<std::ptrdiff_t>(j);
    }
  }
  std::vector<std::int64_t> count(items_.size(), 0);
  ++count[item];
  if (other >= 0) ++count[static_cast<std::size_t>(other)];
  add_from_table(rest, count);
  return counted_items(count);
}

LAPW_INLINE double reachable_cost(double bound, const std::vector<double>& prices) {
  if (!(bound > 0) || prices.empty()) return std::max(bound, 0.0);
  std::vector<double> sorted = prices;
  std::sort(sorted.begin(), sorted.end());
  sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
  if (!(sorted.front() > 0)) return bound;
  const double goal = bound * (1 - 1e-12) - 1e-9 * sorted.front();
  const std::size_t n = sorted.size();
  double choices = 1;
  for (std::size_t k = 1; k < n; ++k) choices *= goal / sorted[k] + 2;
  if (choices > 1e6) return bound;
  // Every number of the dearer ones; the cheapest fills up.
  double best = std::ceil(goal / sorted.front()) * sorted.front();
  std::vector<int> number(n, 0);
  while (true) {
    double dearer = 0;
    for (std::size_t k = 1; k < n; ++k) dearer += number[k] * sorted[k];
    const double rest = std::max(0.0, std::ceil((goal - dearer) / sorted.front()));
    best = std::min(best, dearer + rest * sorted.front());
    std::size_t k = 1;
    while (k < n) {
      ++number[k];
      if (number[k] * sorted[k] < goal + sorted[k]) break;
      number[k] = 0;
      ++k;
    }
    if (k >= n) break;
  }
  return std::max(best, bound * (1 - 1e-12));
}

LAPW_INLINE double proven_bound(const std::vector<PatternItem>& items,
                                const std::vector<PatternStock>& stocks, int shift,
                                const std::vector<std::int64_t>& values, PatternPricer& pricer) {
  (void)shift;
  std::int64_t sum = 0;
  for (std::size_t i = 0; i < items.size(); ++i) sum += items[i].demand * values[i];
  std::vector<double> prices;
  std::int64_t board = 0;
  double rate = -1;  // least price of one unit of value
  for (std::size_t s = 0; s < stocks.size(); ++s) {
    const std::int64_t upper = pricer.upper(s);
    if (stocks[s].available >= 0) {
      sum -= stocks[s].available * upper;  // they cost nothing
      continue;
    }
    prices.push_back(stocks[s].price);
    board = upper;
    if (upper > 0) {
      const double each = stocks[s].price / static_cast<double>(upper);
      if (rate < 0 || each < rate) rate = each;
    }
  }
  if (sum <= 0 || rate < 0) return 0;
  if (prices.size() == 1) return static_cast<double>((sum + board - 1) / board) * prices[0];
  return reachable_cost(static_cast<double>(sum) * rate * (1 - 1e-12), prices);
}

/// The search behind solve_patterns: a restricted master, columns on demand, and dives that round it.
class PatternSearch {
public:
  PatternSearch(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks,
                std::int64_t steps, double known, const std::vector<PatternPair>& pairs);
  PatternResult run();

private:
  struct Column {
    std::size_t stock;
    std::vector<PatternCount> items;
  };
  bool finished() const { return result_.cost <= result_.proof.bound * (1 + 1e-12) + 1e-9 * unit_; }
  bool out_of_steps() const { return spent() > budget_; }
  std::int64_t spent() const { return pricer_.steps() + lp_steps_; }
  std::size_t add_column(std::size_t stock, std::vector<PatternCount> pattern);
  bool generate(const std::vector<std::int64_t>& demand, int rounds, bool whole);
  std::vector<PatternCount> unpaired(std::vector<PatternCount> pattern,
                                     const std::vector<std::int64_t>& demand) const;
  void solve_lp();
  Pattern greedy_pattern(std::vector<std::int64_t>& left, std::size_t stock) const;
  bool greedy(std::vector<std::int64_t> left, std::vector<std::int64_t> available,
              std::vector<Pattern>& patterns) const;
  void offer(const std::vector<Pattern>& patterns);
  void dive(int attempt);

  const std::vector<PatternItem>& items_;
  const std::vector<PatternPair>& pairs_;
  std::vector<PatternItem> priced_;  // items, then pairs
  const std::vector<PatternStock>& stocks_;
  std::int64_t budget_;
  double unit_ = 1;  // least price that is not 0
  double dearest_ = 1;
  int shift_ = 30;
  PatternPricer pricer_;
  Simplex lp_;
  std::vector<std::ptrdiff_t> stock_row_;
  std::vector<Column> columns_;
  std::vector<std::int64_t> centre_;  // values that proved most so far
  std::int64_t lp_steps_ = 0, lp_work_ = 0, seen_pivots_ = 0;
  PatternResult result_;
};

/// Items, and pairs as items of their own.
inline std::vector<PatternItem> priced_items(const std::vector<PatternItem>& items,
                                             const std::vector<PatternPair>& pairs) {
  std::vector<PatternItem> out = items;
  for (const PatternPair& pair : pairs) {
    PatternItem item;
    item.weight = pair.weight;
    item.ends = items[pair.a].ends + items[pair.b].ends;
    item.demand =
        pair.a == pair.b ? items[pair.a].demand / 2 : std::min(items[pair.a].demand, items[pair.b].demand);
    item.alone = item.ends >= 2;  // they nest in the middle, so that nothing goes between them
    out.push_back(item);
  }
  return out;
}

LAPW_INLINE PatternSearch::PatternSearch(const std::vector<PatternItem>& items,
                                         const std::vector<PatternStock>& stocks, std::int64_t steps,
                                         double known, const std::vector<PatternPair>& pairs)
    : items_(items),
      pairs_(pairs),
      priced_(priced_items(items, pairs)),
      stocks_(stocks),
      budget_(steps),
      pricer_(priced_, stocks),
      lp_(0) {
  unit_ = 0;
  dearest_ = 0;
  for (const PatternStock& stock : stocks) {
    if (stock.price > 0 && (unit_ <= 0 || stock.price < unit_)) unit_ = stock.price;
    dearest_ = std::max(dearest_, stock.price);
  }
  if (unit_ <= 0) unit_ = 1;
  // Sums of values stay well inside 64 bits, whatever the counts.
  std::int64_t total = 1;
  for (const PatternItem& item : items) total += item.demand;
  double head = static_cast<double>(total) * (dearest_ / unit_ + 1);
  while (shift_ > 12 && head * static_cast<double>(std::int64_t{1} << shift_) > 2e18) --shift_;
  result_.proof.shift = shift_;
  result_.proof.bound = known;
  result_.proof.values.assign(items.size(), 0);
  centre_.assign(items.size(), 0);

  lp_ = Simplex(4 * std::max(dearest_, unit_) / unit_);
  for (const PatternItem& item : items) lp_.add_row(RowSense::at_least, static_cast<double>(item.demand));
  stock_row_.assign(stocks.size(), -1);
  for (std::size_t s = 0; s < stocks.size(); ++s)
    if (stocks[s].available >= 0)
      stock_row_[s] = static_cast<std::ptrdiff_t>(
          lp_.add_row(RowSense::at_most, static_cast<double>(stocks[s].available)));
}

LAPW_INLINE std::size_t PatternSearch::add_column(std::size_t stock, std::vector<PatternCount> pattern) {
  std::vector<SimplexEntry> entries;
  for (const PatternCount& p : pattern) entries.push_back({p.item, static_cast<double>(p.count)});
  if (stock_row_[stock] >= 0) entries.push_back({static_cast<std::size_t>(stock_row_[stock]), 1});
  columns_.push_back({stock, std::move(pattern)});
  return lp_.add_column(stocks_[stock].price / unit_, entries);
}

LAPW_INLINE void PatternSearch::solve_lp() {
  lp_.solve(20000);
  const std::int64_t rows = static_cast<std::int64_t>(lp_.rows());
  lp_work_ +=
      (lp_.pivots() - seen_pivots_ + 1) * (rows * rows + 8 * static_cast<std::int64_t>(columns_.size()));
  seen_pivots_ = lp_.pivots();
  lp_steps_ += lp_work_ / pattern_step_operations;
  lp_work_ %= pattern_step_operations;
}

/// A pattern of items alone, none more than is wanted: what is left of a pattern fits as well.
LAPW_INLINE std::vector<PatternCount> PatternSearch::unpaired(std::vector<PatternCount> pattern,
                                                              const std::vector<std::int64_t>& demand) const {
  if (pairs_.empty()) return pattern;
  std::map<std::size_t, std::int64_t> count;
  for (const PatternCount& p : pattern) {
    if (p.item < items_.size()) {
      count[p.item] += p.count;
      continue;
    }
    const PatternPair& pair = pairs_[p.item - items_.size()];
    count[pair.a] += p.count;
    count[pair.b] += p.count;
  }
  pattern.clear();
  for (const auto& entry : count) {
    const std::int64_t n = std::min(entry.second, demand[entry.first]);
    if (n > 0) pattern.push_back({entry.first, n});
  }
  return pattern;
}

/// Adds columns until none is worth it, or for so many rounds. \return whether none is.
LAPW_INLINE bool PatternSearch::generate(const std::vector<std::int64_t>& demand, int rounds, bool whole) {
  const double scale = static_cast<double>(std::int64_t{1} << shift_);
  const std::size_t n = items_.size();
  std::vector<std::int64_t> exact(n), asked(priced_.size()), most = demand;
  for (const PatternPair& pair : pairs_)
    most.push_back(pair.a == pair.b ? demand[pair.a] / 2 : std::min(demand[pair.a], demand[pair.b]));
  for (int round = 0; round < rounds; ++round) {
    solve_lp();
    for (std::size_t i = 0; i < n; ++i)
      exact[i] = static_cast<std::int64_t>(std::floor(std::max(0.0, lp_.dual(i)) * scale));
    bool added = false;
    // Values half way to those that proved most jump about less; the true ones decide in the end.
    for (int pass = whole && round > 0 ? 0 : 1; pass < 2 && !added; ++pass) {
      if (pass == 0)
        for (std::size_t i = 0; i < n; ++i) asked[i] = (exact[i] + centre_[i]) / 2;
      else
        std::copy(exact.begin(), exact.end(), asked.begin());
      for (std::size_t p = 0; p < pairs_.size(); ++p) asked[n + p] = asked[pairs_[p].a] + asked[pairs_[p].b];
      pricer_.price(asked, most);
      if (whole) {
        const double bound = proven_bound(items_, stocks_, shift_, asked, pricer_);
        if (bound > result_.proof.bound) {
          result_.proof.bound = bound;
          result_.proof.values.assign(asked.begin(), asked.begin() + static_cast<std::ptrdiff_t>(n));
          if (finished()) return true;
        }
        if (pass == 1 || round == 0) centre_ = asked;
      }
      const auto offer_column = [&](std::size_t s, const std::vector<PatternCount>& priced) {
        std::vector<PatternCount> pattern = unpaired(priced, demand);
        double reduced = stocks_[s].price / unit_;
        for (const PatternCount& p : pattern) reduced -= lp_.dual(p.item) * static_cast<double>(p.count);
        if (stock_row_[s] >= 0) reduced -= lp_.dual(static_cast<std::size_t>(stock_row_[s]));
        if (!(reduced < -1e-7)) return false;
        add_column(s, std::move(pattern));
        return true;
      };
      for (std::size_t s = 0; s < stocks_.size(); ++s) added = offer_column(s, pricer_.pattern(s)) || added;
      if (!added && pass == 1 && !pairs_.empty()) {
        // A pair may have asked for a piece twice: patterns without pairs, then around each pair.
        std::vector<std::int64_t> few = most;
        std::fill(few.begin() + static_cast<std::ptrdiff_t>(n), few.end(), std::int64_t{0});
        pricer_.price(asked, few);
        for (std::size_t s = 0; s < stocks_.size(); ++s) {
          added = offer_column(s, pricer_.pattern(s)) || added;
          int more = 0;
          for (std::size_t p = n; p < priced_.size() && more < 16; ++p) {
            if (most[p] <= 0 || priced_[p].weight > stocks_[s].capacity) continue;
            lp_work_ += static_cast<std::int64_t>(n);
            const std::vector<PatternCount> around =
                priced_[p].alone ? std::vector<PatternCount>{{p, 1}} : pricer_.pattern_with(s, p, asked);
            if (!around.empty() && offer_column(s, around)) {
              added = true;
              ++more;
            }
          }
        }
      }
      if (pass == 0 && added) centre_ = asked;
    }
    if (!added) return true;
    if (out_of_steps()) return false;
  }
  return false;
}

/// Heaviest first, those that need ends before the others of their weight.
LAPW_INLINE Pattern PatternSearch::greedy_pattern(std::vector<std::int64_t>& left, std::size_t stock) const {
  Pattern pattern;
  pattern.stock = stock;
  std::int64_t room = stocks_[stock].capacity;
  int ends = stocks_[stock].ends;
  for (std::size_t i = 0; i < items_.size(); ++i) {
    std::int64_t n = std::min(left[i], room / items_[i].weight);
    if (items_[i].ends > 0) n = std::min<std::int64_t>(n, ends / items_[i].ends);
    if (n <= 0) continue;
    pattern.items.push_back({i, n});
    room -= n * items_[i].weight;
    ends -= static_cast<int>(n) * items_[i].ends;
  }
  return pattern;
}

/// Items are sorted heaviest first. \return false where something fits no stock.
LAPW_INLINE bool PatternSearch::greedy(std::vector<std::int64_t> left, std::vector<std::int64_t> available,
                                       std::vector<Pattern>& patterns) const {
  while (true) {
    bool any = false;
    for (std::int64_t n : left) any = any || n > 0;
    if (!any) return true;
    Pattern best;
    double least = -1;
    for (std::size_t s = 0; s < stocks_.size(); ++s) {
      if (available[s] == 0) continue;
      Pattern pattern = greedy_pattern(left, s);
      if (pattern.items.empty()) continue;
      std::int64_t weight = 0;
      for (const PatternCount& p : pattern.items) weight += p.count * items_[p.item].weight;
      const double each = stocks_[s].price / static_cast<double>(weight);
      if (least < 0 || each < least) {
        least = each;
        best = std::move(pattern);
      }
    }
    if (least < 0) return false;
    best.times = available[best.stock] < 0 ? left[best.items[0].item] : available[best.stock];
    for (const PatternCount& p : best.items) best.times = std::min(best.times, left[p.item] / p.count);
    for (const PatternCount& p : best.items) left[p.item] -= best.times * p.count;
    if (available[best.stock] > 0) available[best.stock] -= best.times;
    patterns.push_back(std::move(best));
  }
}

LAPW_INLINE void PatternSearch::offer(const std::vector<Pattern>& patterns) {
  std::vector<std::int64_t> number(stocks_.size(), 0);
  for (const Pattern& pattern : patterns) number[pattern.stock] += pattern.times;
  double cost = 0;
  for (std::size_t s = 0; s < stocks_.size(); ++s) cost += static_cast<double>(number[s]) * stocks_[s].price;
  if (result_.patterns.empty() || cost < result_.cost - 1e-9 * unit_) {
    result_.cost = cost;
    result_.patterns = patterns;
  }
}

LAPW_INLINE void PatternSearch::dive(int attempt) {
  std::vector<std::int64_t> left(items_.size()), available(stocks_.size());
  for (std::size_t i = 0; i < items_.size(); ++i) {
    left[i] = items_[i].demand;
    lp_.set_right(i, static_cast<double>(left[i]));
  }
  for (std::size_t s = 0; s < stocks_.size(); ++s) {
    available[s] = stocks_[s].available;
    if (stock_row_[s] >= 0)
      lp_.set_right(static_cast<std::size_t>(stock_row_[s]), static_cast<double>(available[s]));
  }
  const double forbidden = 16 * std::max(dearest_, unit_) / unit_;
  std::vector<char> banned(columns_.size(), 0);
  for (std::size_t c = 0; c < columns_.size(); ++c) lp_.set_cost(c, stocks_[columns_[c].stock].price / unit_);
  std::vector<Pattern> fixed;
  double spent_cost = 0;
  // A fixed sequence that moves the choices of later attempts apart.
  std::uint64_t state = 0x9E3779B97F4A7C15ULL * static_cast<std::uint64_t>(attempt + 1);
  const auto noise = [&state] {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return static_cast<double>(state >> 40) / 16777216.0;
  };
  while (true) {
    std::int64_t rest = 0;
    for (std::int64_t n : left) rest += n;
    std::vector<Pattern> whole = fixed;
    if (greedy(left, available, whole)) offer(whole);
    if (rest == 0 || finished() || out_of_steps()) return;
    const bool optimal = generate(left, fixed.empty() ? 400 : 40, false);
    if (optimal && spent_cost + lp_.objective() * unit_ > result_.cost - 1e-6 * unit_) return;
    banned.resize(columns_.size(), 0);

    struct Choice {
      std::size_t column;
      double value, score;
    };
    std::vector<Choice> choices;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      if (banned[c]) continue;
      const double value = lp_.value(c);
      if (value > 1e-6)
        choices.push_back({c, value, value - std::floor(value) + (attempt > 0 ? 0.4 * noise() : 0)});
    }
    const auto fix = [&](std::size_t c, std::int64_t times) {
      const Column& column = columns_[c];
      for (const PatternCount& p : column.items) times = std::min(times, left[p.item] / p.count);
      if (available[column.stock] >= 0) times = std::min(times, available[column.stock]);
      if (times <= 0) return false;
      for (const PatternCount& p : column.items) left[p.item] -= times * p.count;
      if (available[column.stock] >= 0) available[column.stock] -= times;
      spent_cost += static_cast<double>(times) * stocks_[column.stock].price;
      fixed.push_back({column.stock, times, column.items});
      return true;
    };
    bool any = false;
    for (const Choice& choice : choices)
      if (choice.value >= 1 - 1e-6)
        any = fix(choice.column, static_cast<std::int64_t>(std::floor(choice.value + 1e-6))) || any;
    if (!any) {
      std::sort(choices.begin(), choices.end(), [](const Choice& a, const Choice& b) {
        return a.score > b.score || (!(b.score > a.score) && a.column < b.column);
      });
      // One, and with it a few more that are nearly whole themselves.
      std::size_t few = 1 + choices.size() / 24;
      for (const Choice& choice : choices) {
        if (any && (choice.value < 0.55 || few == 0)) break;
        if (fix(choice.column, 1)) {
          any = true;
          --few;
        }
      }
    }
    if (!any) return;
    for (std::size_t i = 0; i < items_.size(); ++i) lp_.set_right(i, static_cast<double>(left[i]));
    for (std::size_t s = 0; s < stocks_.size(); ++s)
      if (stock_row_[s] >= 0)
        lp_.set_right(static_cast<std::size_t>(stock_row_[s]), static_cast<double>(available[s]));
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      if (banned[c]) continue;
      for (const PatternCount& p : columns_[c].items)
        if (p.count > left[p.item]) {
          banned[c] = 1;  // gives more than is wanted
          lp_.set_cost(c, forbidden);
          break;
        }
    }
  }
}

/// Few items, by trying everything: the first item that is left goes on each kind of stock, with every choice
/// of what else fits there. States that have been met before are known.
class PatternExhaustion {
public:
  PatternExhaustion(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks,
                    std::int64_t nodes)
      : items_(items), stocks_(stocks), nodes_(nodes) {}

  /// \return false where it is too much.
  bool solve(std::vector<Pattern>& patterns) {
    std::vector<std::int64_t> state;
    for (const PatternItem& item : items_) state.push_back(item.demand);
    for (const PatternStock& stock : stocks_) state.push_back(stock.available);
    if (best_of(state) < 0) return false;
    while (true) {
      const Known& known = known_.at(state);
      if (known.pattern.items.empty()) return true;
      patterns.push_back(known.pattern);
      for (const PatternCount& p : known.pattern.items) state[p.item] -= p.count;
      if (state[items_.size() + known.pattern.stock] > 0) --state[items_.size() + known.pattern.stock];
    }
  }

private:
  struct Known {
    double cost = 0;
    Pattern pattern;
  };
  /// Least cost of what is left, or -1: out of nodes.
  double best_of(const std::vector<std::int64_t>& state) {
    const auto found = known_.find(state);
    if (found != known_.end()) return found->second.cost;
    std::size_t first = 0;
    while (first < items_.size() && state[first] == 0) ++first;
    Known best;
    best.pattern.times = 1;
    if (first < items_.size()) {
      best.cost = -1;
      for (std::size_t s = 0; s < stocks_.size(); ++s) {
        if (state[items_.size() + s] == 0 || stocks_[s].capacity < items_[first].weight ||
            stocks_[s].ends < items_[first].ends)
          continue;
        std::vector<std::int64_t> left = state;
        --left[first];
        if (left[items_.size() + s] > 0) --left[items_.size() + s];
        std::vector<std::int64_t> taken(items_.size(), 0);
        ++taken[first];
        if (!fill(first, s, stocks_[s].capacity - items_[first].weight, stocks_[s].ends - items_[first].ends,
                  left, taken, best))
          return -1;
      }
    }
    return known_.emplace(state, best).first->second.cost;
  }
  bool fill(std::size_t item, std::size_t stock, std::int64_t room, int ends, std::vector<std::int64_t>& left,
            std::vector<std::int64_t>& taken, Known& best) {
    if (--nodes_ < 0) return false;
    if (item == items_.size()) {
      const double rest = best_of(left);
      if (rest < 0) return false;
      const double cost = rest + stocks_[stock].price;
      if (best.cost < 0 || cost < best.cost - 1e-12) {
        best.cost = cost;
        best.pattern.stock = stock;
        best.pattern.items.clear();
        for (std::size_t i = 0; i < items_.size(); ++i)
          if (taken[i] > 0) best.pattern.items.push_back({i, taken[i]});
      }
      return true;
    }
    for (std::int64_t n = 0;
         n <= left[item] && n * items_[item].weight <= room && n * items_[item].ends <= ends; ++n) {
      left[item] -= n;
      taken[item] += n;
      const bool went = fill(item + 1, stock, room - n * items_[item].weight,
                             ends - static_cast<int>(n) * items_[item].ends, left, taken, best);
      left[item] += n;
      taken[item] -= n;
      if (!went) return false;
    }
    return true;
  }

  const std::vector<PatternItem>& items_;
  const std::vector<PatternStock>& stocks_;
  std::int64_t nodes_;
  std::map<std::vector<std::int64_t>, Known> known_;
};

LAPW_INLINE PatternResult PatternSearch::run() {
  std::vector<std::int64_t> demand(items_.size()), available(stocks_.size());
  for (std::size_t i = 0; i < items_.size(); ++i) demand[i] = items_[i].demand;
  for (std::size_t s = 0; s < stocks_.size(); ++s) available[s] = stocks_[s].available;
  std::vector<Pattern> first;
  if (greedy(demand, available, first)) offer(first);
  if (items_.empty() || finished() || budget_ <= 0) return result_;
  for (const Pattern& pattern : first) add_column(pattern.stock, pattern.items);
  generate(demand, 5000, true);
  std::int64_t pieces = 0;
  for (const PatternItem& item : items_)
    pieces += std::min<std::int64_t>(item.demand, pattern_few_pieces + 1);
  if (!finished() && pairs_.empty() && pieces <= pattern_few_pieces && !out_of_steps()) {
    std::vector<Pattern> all;
    if (PatternExhaustion(items_, stocks_, pattern_exhaustion_nodes).solve(all)) {
      offer(all);
      result_.proof.bound = std::max(result_.proof.bound, result_.cost);  // nothing is left to try
      result_.steps = spent();
      return result_;
    }
  }
  for (int attempt = 0; attempt < 64 && !finished() && !out_of_steps(); ++attempt) dive(attempt);
  result_.steps = spent();
  return result_;
}

LAPW_INLINE PatternResult solve_patterns(const std::vector<PatternItem>& items,
                                         const std::vector<PatternStock>& stocks, std::int64_t steps,
                                         double known, const std::vector<PatternPair>& pairs) {
  return PatternSearch(items, stocks, steps, known, pairs).run();
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
