// Linear programmes: optimality by duality, columns and right sides that change, the same bits again.
#include <cmath>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/simplex.hpp>

#include "random_lp.hpp"

using lapwright::detail::RowSense;
using lapwright::detail::Simplex;
using lapwright::detail::SimplexEntry;
using lapwright::detail::SimplexStatus;

namespace {

/// Feasible, dual feasible, and of equal value: so optimal, whoever found it.
void check_optimal(const Simplex& lp, const random_lp::Program& p) {
  std::vector<double> met(p.right.size(), 0.0);
  double primal = 0, dual = 0;
  for (std::size_t c = 0; c < p.columns.size(); ++c) {
    const double x = lp.value(c);
    BOOST_TEST(x >= -1e-7);
    primal += x * p.cost[c];
    for (const SimplexEntry& e : p.columns[c]) met[e.row] += x * e.value;
    BOOST_TEST(lp.reduced_cost(p.cost[c], p.columns[c]) >= -1e-7);
  }
  for (std::size_t r = 0; r < p.right.size(); ++r) {
    const double y = lp.dual(r);
    dual += y * p.right[r];
    if (p.sense[r] != RowSense::at_most) BOOST_TEST(met[r] >= p.right[r] - 1e-5);
    if (p.sense[r] != RowSense::at_least) BOOST_TEST(met[r] <= p.right[r] + 1e-5);
    if (p.sense[r] == RowSense::at_least) BOOST_TEST(y >= -1e-8);
    if (p.sense[r] == RowSense::at_most) BOOST_TEST(y <= 1e-8);
  }
  BOOST_TEST(std::abs(primal - dual) <= 1e-5 * (1 + std::abs(primal)));
  BOOST_TEST(std::abs(primal - lp.objective()) <= 1e-6 * (1 + std::abs(primal)));
}

}  // namespace

BOOST_AUTO_TEST_CASE(a_small_programme_by_hand) {
  // min 2a + 3b, a + b >= 4, a + 3b >= 6: a = 3, b = 1, duals 3/2 and 1/2.
  Simplex lp(1000);
  const std::size_t first = lp.add_row(RowSense::at_least, 4), second = lp.add_row(RowSense::at_least, 6);
  const std::size_t a = lp.add_column(2, {{first, 1}, {second, 1}});
  const std::size_t b = lp.add_column(3, {{first, 1}, {second, 3}});
  BOOST_TEST((lp.solve(100) == SimplexStatus::optimal));
  BOOST_TEST(lp.objective() == 9, boost::test_tools::tolerance(1e-9));
  BOOST_TEST(lp.value(a) == 3, boost::test_tools::tolerance(1e-6));
  BOOST_TEST(lp.value(b) == 1, boost::test_tools::tolerance(1e-6));
  BOOST_TEST(lp.dual(first) == 1.5, boost::test_tools::tolerance(1e-9));
  BOOST_TEST(lp.dual(second) == 0.5, boost::test_tools::tolerance(1e-9));
  // A column that comes later, and a right side that changes.
  lp.add_column(1, {{second, 2}});
  BOOST_TEST((lp.solve(100) == SimplexStatus::optimal));
  BOOST_TEST(lp.objective() == 8 + 1, boost::test_tools::tolerance(1e-9));
  lp.set_right(first, 0);
  BOOST_TEST((lp.solve(100) == SimplexStatus::optimal));
  BOOST_TEST(lp.objective() == 3, boost::test_tools::tolerance(1e-9));
}

BOOST_AUTO_TEST_CASE(a_row_that_nothing_meets_is_infeasible) {
  Simplex lp(100);
  const std::size_t row = lp.add_row(RowSense::equal, 1);
  lp.add_row(RowSense::at_least, 1);
  lp.add_column(1, {{row, 1}});
  BOOST_TEST((lp.solve(100) == SimplexStatus::infeasible));
}

BOOST_AUTO_TEST_CASE(random_programmes_are_optimal_by_duality) {
  int optimal = 0, infeasible = 0;
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    BOOST_TEST_CONTEXT("seed " << seed) {
      const random_lp::Program p = random_lp::make(seed);
      Simplex lp(1e5);
      for (std::size_t r = 0; r < p.right.size(); ++r) lp.add_row(p.sense[r], p.right[r]);
      for (std::size_t c = 0; c < p.columns.size(); ++c) lp.add_column(p.cost[c], p.columns[c]);
      const SimplexStatus status = lp.solve(100000);
      BOOST_TEST((status == SimplexStatus::optimal || status == SimplexStatus::infeasible));
      if (status == SimplexStatus::optimal) {
        ++optimal;
        check_optimal(lp, p);
      } else {
        ++infeasible;
      }
    }
  }
  BOOST_TEST(optimal > 200);
  BOOST_TEST(infeasible > 50);
}

BOOST_AUTO_TEST_CASE(columns_one_by_one_and_right_sides_moved_end_at_the_same_optimum) {
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    BOOST_TEST_CONTEXT("seed " << seed) {
      random_lp::Program p = random_lp::make(seed);
      Simplex grown(1e5);
      for (std::size_t r = 0; r < p.right.size(); ++r) grown.add_row(p.sense[r], p.right[r]);
      for (std::size_t c = 0; c < p.columns.size(); ++c) {
        grown.add_column(p.cost[c], p.columns[c]);
        if (c % 7 == 0) grown.solve(100000);
      }
      grown.solve(100000);
      cutting_classes::Random random(seed);
      for (std::size_t r = 0; r < p.right.size(); ++r)
        if (random.between(0, 2) == 0) {
          p.right[r] = random.between(0, 20);
          grown.set_right(r, p.right[r]);
        }
      const SimplexStatus status = grown.solve(100000);
      Simplex fresh(1e5);
      for (std::size_t r = 0; r < p.right.size(); ++r) fresh.add_row(p.sense[r], p.right[r]);
      for (std::size_t c = 0; c < p.columns.size(); ++c) fresh.add_column(p.cost[c], p.columns[c]);
      BOOST_TEST((fresh.solve(100000) == status));
      if (status == SimplexStatus::optimal) {
        check_optimal(grown, p);
        BOOST_TEST(std::abs(grown.objective() - fresh.objective()) <= 1e-5 * (1 + fresh.objective()));
      }
    }
  }
}

BOOST_AUTO_TEST_CASE(rows_may_come_after_columns) {
  // As in column generation: a row is made when the first column needs it.
  Simplex lp(1000);
  const std::size_t a = lp.add_row(RowSense::at_least, 2);
  lp.add_column(3, {{a, 1}});
  BOOST_TEST((lp.solve(100) == SimplexStatus::optimal));
  const std::size_t b = lp.add_row(RowSense::at_least, 5);
  lp.add_column(4, {{a, 1}, {b, 1}});
  lp.add_column(10, {{b, 5}});
  BOOST_TEST((lp.solve(100) == SimplexStatus::optimal));
  BOOST_TEST(lp.objective() == 14, boost::test_tools::tolerance(1e-9));
}
