#pragma once
/// \file detail/patterns.hpp  Patterns of boards: what one board can give, and how few boards give
/// everything.
///
/// Everything is whole numbers here. An item weighs its length and one kerf, a stock holds its length and one
/// kerf, so that a pattern fits where its weights add up to no more than the stock holds. Items that need
/// factory ends (0, 1 or 2 of them) share the stock's ends.
#include <cstddef>
#include <cstdint>
#include <vector>

namespace lapwright {
inline namespace v0 {
namespace detail {

struct PatternItem {
  std::int64_t weight = 0;  ///< >= 1
  int ends = 0;             ///< factory ends it needs
  std::int64_t demand = 0;
  bool alone = false;  ///< nothing else comes from the stock that gives it (only where it needs two ends)
};
/// Two items, or two of one, that weigh less side by side than apart: rakes that nest, low pieces one above
/// the other.
struct PatternPair {
  std::size_t a = 0, b = 0;
  std::int64_t weight = 0;
};
struct PatternStock {
  std::int64_t capacity = 0;
  int ends = 2;                 ///< factory ends it has
  double price = 1;             ///< >= 0; 0 only where few are available
  std::int64_t available = -1;  ///< -1: as many as wanted
};
struct PatternCount {
  std::size_t item = 0;
  std::int64_t count = 0;
};
struct Pattern {
  std::size_t stock = 0;
  std::int64_t times = 0;
  std::vector<PatternCount> items;  ///< by item
};

/// Values of items in units of which 2^shift make the least price that is not 0, and what they prove.
struct PatternProof {
  int shift = 0;
  std::vector<std::int64_t> values;  ///< one an item
  double bound = 0;
};

struct PatternResult {
  std::vector<Pattern> patterns;
  double cost = 0;
  PatternProof proof;
  std::int64_t steps = 0;
};

/// Most valuable patterns for given values, exactly, or with a stated bound from above.
class PatternPricer {
public:
  PatternPricer(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks);
  /// \param most  how many of each item a pattern may take
  void price(const std::vector<std::int64_t>& values, const std::vector<std::int64_t>& most);
  std::int64_t value(std::size_t stock) const { return best_[stock].value; }  ///< of pattern(stock)
  std::int64_t upper(std::size_t stock) const { return best_[stock].upper; }  ///< no pattern has more
  std::vector<PatternCount> pattern(std::size_t stock) const;
  /// A valuable pattern that takes the item, from the last table; empty where there is none.
  std::vector<PatternCount> pattern_with(std::size_t stock, std::size_t item,
                                         const std::vector<std::int64_t>& values) const;
  std::int64_t steps() const { return steps_; }  ///< some thousand elementary operations each

private:
  struct Best {
    std::int64_t value = 0, upper = 0;
    std::int64_t left = 0;  // capacity for items without ends
    std::ptrdiff_t one = -1, two = -1;
    std::vector<PatternCount> listed;  // where the table was too large
  };
  struct Copy {
    std::size_t item = 0;
    std::int64_t count = 0;
  };
  void price_by_table(const std::vector<std::int64_t>& values, const std::vector<std::int64_t>& most);
  void price_by_branching(const std::vector<std::int64_t>& values, const std::vector<std::int64_t>& most);
  void add_from_table(std::int64_t capacity, std::vector<std::int64_t>& count) const;
  std::int64_t coarse_upper(const std::vector<std::int64_t>& values, const std::vector<std::int64_t>& most,
                            std::int64_t capacity) const;

  const std::vector<PatternItem>& items_;
  const std::vector<PatternStock>& stocks_;
  std::int64_t greatest_ = 0;
  bool table_ = true;
  std::vector<std::int64_t> table_value_;
  std::vector<Copy> copies_;
  std::vector<unsigned char> taken_;
  std::vector<Best> best_;
  std::int64_t work_ = 0, steps_ = 0;
};

/// Least sum of multiples of the prices that is not below `bound` (by a hair): costs come in such sums.
double reachable_cost(double bound, const std::vector<double>& prices);

/// What the values prove, in whole numbers alone: no patterns that cover every demand cost less.
double proven_bound(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks, int shift,
                    const std::vector<std::int64_t>& values, PatternPricer& pricer);

/// Patterns that cover every demand at little cost, with a proven bound. Every item must fit some stock of
/// which there are as many as wanted. Stops where the bound is met, else after `steps`; of no steps, at once,
/// with the heaviest items first.
/// \param known  a bound that is proven already, or 0
/// \param pairs  where there are some, the bound is that of a board that may use them
PatternResult solve_patterns(const std::vector<PatternItem>& items, const std::vector<PatternStock>& stocks,
                             std::int64_t steps, double known = 0,
                             const std::vector<PatternPair>& pairs = {});

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/patterns.ipp>
#endif
