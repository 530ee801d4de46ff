#pragma once
#include <algorithm>
#include <limits>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/house_pricer.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr std::int64_t pricer_step_operations = 1 << 12;  // elementary operations in one step
inline constexpr std::int64_t pricer_nothing = std::numeric_limits<std::int64_t>::min() / 4;

LAPW_INLINE std::int64_t wasted_by(int odd, const std::vector<std::int64_t>& layers) {
  std::int64_t sum = 0;
  if (odd < house_any)
    for (std::size_t l = 0; l < layers.size(); ++l)
      if ((odd >> l & 1) != 0) sum += layers[l];
  return sum;
}

LAPW_INLINE bool serves_as(const HouseNeed& need, const HouseNeed& kind,
                           const std::vector<std::int64_t>& layers) {
  if (kind.ends > need.ends || kind.weight - kind.closed > need.weight - need.closed) return false;
  // Another number of open ends may be left over then.
  const int odd = kind.open == house_any ? 0 : need.open == house_any ? house_any - 1 : kind.open ^ need.open;
  return kind.weight + wasted_by(odd, layers) <= need.weight;
}

LAPW_INLINE HousePricer::HousePricer(const std::vector<HouseNeed>& kinds,
                                     const std::vector<PatternStock>& stocks,
                                     const std::vector<std::int64_t>& layers)
    : kinds_(kinds), stocks_(stocks), best_(stocks.size()) {
  for (const PatternStock& stock : stocks) greatest_ = std::max(greatest_, stock.capacity);
  any_ = 1 << layers.size();
  states_ = layers.empty() ? 1 : static_cast<std::size_t>(any_) + 1;
  if (layers.empty()) any_ = 0;  // nothing is ever wasted: one state for all
  for (int odd = 0; odd <= any_; ++odd) wasted_.push_back(odd == any_ ? 0 : wasted_by(odd, layers));
  worth_.assign(kinds.size(), 0);
}

/// Everything without factory ends: table_ has the most that fits into each capacity, by state.
LAPW_INLINE void HousePricer::fill_table() {
  const std::size_t cells = static_cast<std::size_t>(greatest_ + 1) * states_;
  table_.assign(cells, pricer_nothing);
  taken_.assign(cells, -1);
  for (std::int64_t c = 0; c <= greatest_; ++c) table_[cell(c, 0)] = c * loose_;
  for (std::size_t k : plain_) {
    const HouseNeed& kind = kinds_[k];
    const std::int64_t worth = worth_[k];
    const std::size_t step = static_cast<std::size_t>(kind.weight) * states_;
    const std::int16_t mark = static_cast<std::int16_t>(k);
    const auto take = [&](std::size_t to, std::int64_t with) {
      if (with > table_[to]) {
        table_[to] = with;
        taken_[to] = mark;
      }
    };
    if (states_ == 1) {
      for (std::size_t c = step; c < cells; ++c) take(c, table_[c - step] + worth);
    } else if (kind.open >= house_any) {
      for (std::size_t c = step; c < cells; c += states_) {
        std::int64_t from = pricer_nothing;
        for (std::size_t s = 0; s < states_; ++s) from = std::max(from, table_[c - step + s]);
        take(c + states_ - 1, from + worth);
      }
    } else {
      const std::size_t open = static_cast<std::size_t>(kind.open);
      for (std::size_t c = step; c < cells; c += states_) {
        for (std::size_t s = 0; s + 1 < states_; ++s) take(c + s, table_[c - step + (s ^ open)] + worth);
        take(c + states_ - 1, table_[c - step + states_ - 1] + worth);
      }
    }
    work_ += static_cast<std::int64_t>(cells - std::min(cells, step));
  }
}

/// How best to go on beside pieces that are taken already and have certain ends open.
LAPW_INLINE void HousePricer::fill_rest() {
  if (states_ == 1) return;
  rest_.assign(table_.size(), pricer_nothing);
  rest_state_.assign(table_.size(), 0);
  for (std::int64_t c = 0; c <= greatest_; ++c)
    for (int open = 0; open <= any_; ++open) {
      const std::size_t to = cell(c, open);
      for (int state = 0; state <= any_; ++state) {
        const std::int64_t wasted = wasted_[static_cast<std::size_t>(both(open, state))];
        if (wasted > c) continue;
        const std::int64_t value = table_[cell(c - wasted, state)] + wasted * loose_;
        if (value > rest_[to]) {
          rest_[to] = value;
          rest_state_[to] = static_cast<std::uint8_t>(state);
        }
      }
    }
  work_ += static_cast<std::int64_t>(table_.size());
}

LAPW_INLINE void HousePricer::price(const std::vector<std::int64_t>& values, std::int64_t loose) {
  loose_ = loose;
  plain_.clear();
  ended_.clear();
  std::int64_t dearest = 0;
  for (std::size_t k = 0; k < kinds_.size(); ++k) {
    worth_[k] = values[k] + loose * kinds_[k].closed;
    // Worth less than what it takes is, filled with loose things, is worth nothing.
    if (values[k] <= 0 || kinds_[k].weight > greatest_) continue;
    (kinds_[k].ends > 0 ? ended_ : plain_).push_back(k);
    if (kinds_[k].ends > 0) dearest = std::max(dearest, worth_[k]);
  }
  fill_table();
  fill_rest();
  const std::vector<std::int64_t>& rest = states_ == 1 ? table_ : rest_;
  for (std::size_t s = 0; s < stocks_.size(); ++s) {
    const std::int64_t capacity = stocks_[s].capacity;
    Best& best = best_[s];
    best = Best{};
    best.left = capacity;
    best.value = rest[cell(capacity, 0)];
    if (stocks_[s].ends < 1) continue;
    for (std::size_t a = 0; a < ended_.size(); ++a) {
      const std::size_t i = ended_[a];
      const std::int64_t left = capacity - kinds_[i].weight;
      if (left < 0) continue;
      const int open = states_ == 1 ? 0 : std::min(kinds_[i].open, any_);
      const std::int64_t alone = worth_[i] + rest[cell(left, open)];
      if (alone > best.value) best = {alone, static_cast<std::ptrdiff_t>(i), -1, open, left};
      // Whatever goes on beside it goes on as well where all its ends are open to any.
      if (stocks_[s].ends < 2 || worth_[i] + rest[cell(left, any_)] + dearest <= best.value) continue;
      for (std::size_t b = a; b < ended_.size(); ++b) {
        const std::size_t j = ended_[b];
        const std::int64_t least = left - kinds_[j].weight;
        if (least < 0) continue;
        const int open_both = states_ == 1 ? 0 : both(open, std::min(kinds_[j].open, any_));
        const std::int64_t value = worth_[i] + worth_[j] + rest[cell(least, open_both)];
        if (value > best.value)
          best = {value, static_cast<std::ptrdiff_t>(i), static_cast<std::ptrdiff_t>(j), open_both, least};
      }
      work_ += static_cast<std::int64_t>(ended_.size() - a);
    }
  }
  steps_ += work_ / pricer_step_operations;
  work_ %= pricer_step_operations;
}

LAPW_INLINE void HousePricer::add_from_table(std::int64_t capacity, int open,
                                             std::vector<std::int64_t>& count) const {
  int state = 0;
  if (states_ > 1) {
    state = rest_state_[cell(capacity, open)];
    capacity -= wasted_[static_cast<std::size_t>(both(open, state))];
  }
  while (taken_[cell(capacity, state)] >= 0) {
    const std::size_t k = static_cast<std::size_t>(taken_[cell(capacity, state)]);
    ++count[k];
    capacity -= kinds_[k].weight;
    if (states_ == 1) continue;
    if (kinds_[k].open < house_any) {
      if (state != any_) state ^= kinds_[k].open;
      continue;
    }
    // The state that it went on from best.
    int from = 0;
    for (int s = 1; s <= any_; ++s)
      if (table_[cell(capacity, s)] > table_[cell(capacity, from)]) from = s;
    state = from;
  }
}

inline std::vector<PatternCount> counted_kinds(const std::vector<std::int64_t>& count) {
  std::vector<PatternCount> out;
  for (std::size_t k = 0; k < count.size(); ++k)
    if (count[k] > 0) out.push_back({k, count[k]});
  return out;
}

LAPW_INLINE std::vector<PatternCount> HousePricer::pattern(std::size_t stock) const {
  const Best& best = best_[stock];
  std::vector<std::int64_t> count(kinds_.size(), 0);
  if (best.one >= 0) ++count[static_cast<std::size_t>(best.one)];
  if (best.two >= 0) ++count[static_cast<std::size_t>(best.two)];
  add_from_table(best.left, best.open, count);
  return counted_kinds(count);
}

LAPW_INLINE std::vector<PatternCount> HousePricer::pattern_with(std::size_t stock, std::size_t kind) const {
  const std::vector<std::int64_t>& rest = states_ == 1 ? table_ : rest_;
  const std::int64_t left = stocks_[stock].capacity - kinds_[kind].weight;
  const int ends = stocks_[stock].ends - kinds_[kind].ends;
  const int own = states_ == 1 ? 0 : std::min(kinds_[kind].open, any_);
  if (left < 0 || ends < 0 || wasted_[static_cast<std::size_t>(own)] > left) return {};
  std::int64_t best = rest[cell(left, own)], room = left;
  int open = own;
  std::ptrdiff_t other = -1;
  if (ends > 0)
    for (std::size_t j : ended_) {
      const std::int64_t least = left - kinds_[j].weight;
      if (least < 0) continue;
      const int open_both = states_ == 1 ? 0 : both(own, std::min(kinds_[j].open, any_));
      const std::int64_t value = worth_[j] + rest[cell(least, open_both)];
      if (value > best) {
        best = value;
        room = least;
        open = open_both;
        other = static_cast<std::ptrdiff_t>(j);
      }
    }
  if (best < 0) return {};
  std::vector<std::int64_t> count(kinds_.size(), 0);
  ++count[kind];
  if (other >= 0) ++count[static_cast<std::size_t>(other)];
  add_from_table(room, open, count);
  return counted_kinds(count);
}

LAPW_INLINE std::int64_t HousePricer::room(std::size_t stock,
                                           const std::vector<PatternCount>& pattern) const {
  std::int64_t left = stocks_[stock].capacity;
  for (const PatternCount& p : pattern) left -= p.count * (kinds_[p.item].weight - kinds_[p.item].closed);
  return left;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
