#pragma once
/// \file detail/house_pricer.hpp  What one board can give at given prices, slants and closed notches
/// included.
///
/// Pieces lie in a row along a board. A piece takes its weight, which counts what its notches close in; that
/// part is left to loose things (starters), which may be cut to any lengths. An end that slants away, or is
/// low, is open: a piece takes it at half of its length, for another open end to lie over it. Where open ends
/// of a layer (of lengths that all of them reach through) are odd in number, one of them found no partner,
/// and half of the layer is wasted. house_model.hpp has the argument.
#include <cstddef>
#include <cstdint>
#include <vector>

#include <lapwright/detail/patterns.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr int house_layers = 2;               ///< of open ends, at most
inline constexpr int house_any = 1 << house_layers;  ///< may lie over or under any open end

struct HouseNeed {
  std::int64_t weight = 0;
  int ends = 0;             ///< 0 or 1
  std::int64_t closed = 0;  ///< part of the weight that loose things may fill
  int open = 0;             ///< bit l: an odd number of its ends is open through layer l; or house_any
};

/// What is wasted by open ends that are left over, by the layers that have an odd number of them.
std::int64_t wasted_by(int odd, const std::vector<std::int64_t>& layers);

/// Whether whatever gives a need could give a kind in its stead, and as much of loose things beside it.
bool serves_as(const HouseNeed& need, const HouseNeed& kind, const std::vector<std::int64_t>& layers);

/// The most valuable contents of boards, exactly, by one table over a board's length.
class HousePricer {
public:
  /// References are kept. \param layers  what one open end left over wastes, by layer
  HousePricer(const std::vector<HouseNeed>& kinds, const std::vector<PatternStock>& stocks,
              const std::vector<std::int64_t>& layers);
  /// \param values  of the kinds; those worth 0 take no part
  /// \param loose   value of each unit of length that nothing takes, or that is closed in
  void price(const std::vector<std::int64_t>& values, std::int64_t loose);
  std::int64_t value(std::size_t stock) const { return best_[stock].value; }
  std::vector<PatternCount> pattern(std::size_t stock) const;
  /// A valuable pattern that takes the kind; empty where there is none.
  std::vector<PatternCount> pattern_with(std::size_t stock, std::size_t kind) const;
  /// What loose things may take beside a pattern.
  std::int64_t room(std::size_t stock, const std::vector<PatternCount>& pattern) const;
  std::int64_t steps() const { return steps_; }

private:
  struct Best {
    std::int64_t value = 0;
    std::ptrdiff_t one = -1, two = -1;  // with a factory end
    int open = 0;                       // of the two
    std::int64_t left = 0;              // for all without
  };
  std::size_t cell(std::int64_t capacity, int state) const {
    return static_cast<std::size_t>(capacity) * states_ + static_cast<std::size_t>(state);
  }
  int both(int a, int b) const { return a == any_ || b == any_ ? any_ : a ^ b; }
  void fill_table();
  void fill_rest();
  void add_from_table(std::int64_t capacity, int open, std::vector<std::int64_t>& count) const;

  const std::vector<HouseNeed>& kinds_;
  const std::vector<PatternStock>& stocks_;
  std::int64_t greatest_ = 0;  // capacity
  std::size_t states_ = 1;     // of the table: odd layers, and whatever has something that goes with any
  int any_ = 0;                // the last of them
  std::vector<std::int64_t> wasted_;        // by odd layers
  std::vector<std::int64_t> worth_;         // by kind: its value and what it closes in
  std::vector<std::size_t> plain_, ended_;  // kinds that take part, without and with a factory end
  std::int64_t loose_ = 0;
  std::vector<std::int64_t> table_;  // by capacity, state
  std::vector<std::int16_t> taken_;  // kind that a cell took last, or -1
  std::vector<std::int64_t> rest_;   // by capacity, open ends of what is taken already: the best to go on
  std::vector<std::uint8_t> rest_state_;
  std::vector<Best> best_;
  std::int64_t work_ = 0, steps_ = 0;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/house_pricer.ipp>
#endif
