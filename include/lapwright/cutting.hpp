#pragma once
/// \file cutting.hpp  The plain one-dimensional cutting problem: lengths and counts from stock lengths.
#include <cstddef>
#include <cstdint>
#include <vector>

namespace lapwright {
inline namespace v0 {

struct CutDemand {
  double length = 0;
  std::int64_t count = 0;
};
struct CutStock {
  double length = 0;
  double price = 1;
};
/// One way to cut a stock length, and how often.
struct CutPattern {
  std::size_t stock = 0;  ///< index into the stock
  std::int64_t count = 0;
  std::vector<std::int64_t> pieces;  ///< how many of each demand
};
struct CutLengths {
  std::vector<CutPattern> patterns;
  double cost = 0;
  double bound = 0;  ///< proven: no cutting costs less
  std::int64_t steps = 0;
};

/// No demand may ask for more than this many pieces, so that every sum stays exact.
inline constexpr std::int64_t greatest_count = 1000000000000;

/// Cuts every demand from the stock, of which there is as much as wanted, at little cost, with `kerf` lost
/// between neighbours: pieces fit where their lengths and the kerfs between them pass the stock's length by
/// no more than `tolerance`. Any unit of length, the same for all.
/// \param effort  multiplies the steps after which the search gives up proving that it has the least cost;
/// the
///   same effort gives the same patterns on every machine
/// \return patterns that together give exactly the demand; `cost`; and `bound`, proved in whole numbers.
///   Solved to the optimum where the two are equal. Counts only weigh in digits: a billion of a length costs
///   no more time than one.
/// \throws Refused with the path of every value that is wrong: `demands[2].length`, `stock[0].price`, `kerf`.
CutLengths cut_lengths(const std::vector<CutDemand>& demands, const std::vector<CutStock>& stock, double kerf,
                       double effort = 1);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/cutting.ipp>
#endif
