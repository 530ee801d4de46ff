#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
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
  const detail::PatternResult result =
      detail::solve_patterns(items, stocks, static_cast<std::int64_t>(effort * detail::cutting_steps));
  out.cost = result.cost;
  out.bound = result.proof.bound;
  out.steps = result.steps;

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
