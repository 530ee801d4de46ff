#pragma once
/// \file cutting.hpp  The plain one-dimensional cutting problem: lengths and counts from stock lengths.
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

/// Least cost to cut every demand from the stock with `kerf` lost between neighbours. Deterministic.
/// \throws Refused with the paths of every value that is wrong.
CutLengths cut_lengths(const std::vector<CutDemand>& demands, const std::vector<CutStock>& stock, double kerf,
                       double effort = 1);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/cutting.ipp>
#endif
