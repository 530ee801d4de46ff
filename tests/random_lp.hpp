#pragma once
// Random covering programmes, some degenerate, some without a solution.
#include <cstddef>
#include <vector>

#include "cutting_classes.hpp"

#include <lapwright/detail/simplex.hpp>

namespace random_lp {

struct Program {
  std::vector<lapwright::detail::RowSense> sense;
  std::vector<double> right;
  std::vector<double> cost;
  std::vector<std::vector<lapwright::detail::SimplexEntry>> columns;
};

inline Program make(std::uint64_t seed) {
  using lapwright::detail::RowSense;
  cutting_classes::Random random(seed);
  Program p;
  const int rows = random.between(1, 30), columns = random.between(1, 80);
  const bool ties = random.between(0, 1) == 1;
  for (int r = 0; r < rows; ++r) {
    const int kind = random.between(0, 5);
    p.sense.push_back(kind < 4 ? RowSense::at_least : kind == 4 ? RowSense::equal : RowSense::at_most);
    p.right.push_back(kind == 5 ? random.between(5, 60) : random.between(0, ties ? 3 : 40));
  }
  for (int c = 0; c < columns; ++c) {
    p.cost.push_back(ties ? random.between(1, 3) : random.between(1, 1000) / 100.0);
    std::vector<lapwright::detail::SimplexEntry> entries;
    for (int r = 0; r < rows; ++r)
      if (random.between(0, 3) == 0)
        entries.push_back(
            {static_cast<std::size_t>(r), ties ? 1.0 : static_cast<double>(random.between(-1, 5))});
    p.columns.push_back(entries);
  }
  return p;
}

}  // namespace random_lp
