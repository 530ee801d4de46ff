// The plain cutting problem: exact patterns, proven bounds, exhaustive small cases, monotone rules, bad
// input.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/cutting.hpp>
#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>

#include "cutting_classes.hpp"

using lapwright::cut_lengths;
using lapwright::CutDemand;
using lapwright::CutLengths;
using lapwright::CutPattern;
using lapwright::CutStock;
using lapwright::Fault;
using lapwright::Refused;

namespace {

/// Every pattern fits, the counts come out exactly, the cost is the sum of prices, the bound is not above it.
void check_result(const std::vector<CutDemand>& demands, const std::vector<CutStock>& stock, double kerf,
                  const CutLengths& result) {
  std::vector<std::int64_t> cut(demands.size(), 0);
  double cost = 0;
  for (const CutPattern& pattern : result.patterns) {
    BOOST_TEST_REQUIRE(pattern.stock < stock.size());
    BOOST_TEST_REQUIRE(pattern.pieces.size() == demands.size());
    BOOST_TEST(pattern.count > 0);
    double length = -kerf;
    for (std::size_t i = 0; i < demands.size(); ++i) {
      BOOST_TEST(pattern.pieces[i] >= 0);
      cut[i] += pattern.count * pattern.pieces[i];
      length += static_cast<double>(pattern.pieces[i]) * (demands[i].length + kerf);
    }
    BOOST_TEST(length <= stock[pattern.stock].length + 2 * lapwright::tolerance);
    cost += static_cast<double>(pattern.count) * stock[pattern.stock].price;
  }
  for (std::size_t i = 0; i < demands.size(); ++i) BOOST_TEST(cut[i] == demands[i].count);
  BOOST_TEST(std::abs(cost - result.cost) <= 1e-9 * (1 + cost));
  BOOST_TEST(result.bound <= result.cost * (1 + 1e-9) + 1e-9);
}

/// Least cost by trying everything: the largest piece left goes into each kind of stock with every subset.
double exhaustive(std::vector<int>& left, const std::vector<int>& lengths, const std::vector<CutStock>& stock,
                  int kerf, std::map<std::vector<int>, double>& known) {
  std::size_t first = 0;
  while (first < left.size() && left[first] == 0) ++first;
  if (first == left.size()) return 0;
  const auto found = known.find(left);
  if (found != known.end()) return found->second;
  const std::vector<int> before = left;
  double best = 1e18;
  for (const CutStock& s : stock) {
    const int room = static_cast<int>(s.length) + kerf - lengths[first] - kerf;
    if (room < 0) continue;
    --left[first];
    // Depth first over what else the board gives.
    struct Fill {
      static void go(std::size_t i, int space, double price, std::vector<int>& rest,
                     const std::vector<int>& all, const std::vector<CutStock>& stocks, int saw,
                     std::map<std::vector<int>, double>& seen, double& least) {
        if (i == rest.size()) {
          least = std::min(least, price + exhaustive(rest, all, stocks, saw, seen));
          return;
        }
        const int had = rest[i];
        for (int n = 0; n <= had && n * (all[i] + saw) <= space; ++n) {
          rest[i] = had - n;
          go(i + 1, space - n * (all[i] + saw), price, rest, all, stocks, saw, seen, least);
        }
        rest[i] = had;
      }
    };
    Fill::go(first, room, s.price, left, lengths, stock, kerf, known, best);
    left = before;
  }
  known[before] = best;
  return best;
}

bool names(const Refused& refused, const std::string& path) {
  return std::any_of(refused.faults.begin(), refused.faults.end(),
                     [&](const Fault& fault) { return fault.path == path && !fault.message.empty(); });
}

}  // namespace

BOOST_AUTO_TEST_CASE(nothing_to_cut_costs_nothing) {
  const CutLengths none = cut_lengths({}, {{144, 1}}, 0.125);
  BOOST_TEST(none.patterns.empty());
  BOOST_TEST(none.cost == 0);
  BOOST_TEST(cut_lengths({{36, 0}}, {{144, 1}}, 0.125).cost == 0);
}

BOOST_AUTO_TEST_CASE(kerf_lies_between_pieces_only) {
  // Four of 36 in come from 144 in without a kerf, three with one; two of 72 - 1/16 with one of 1/8.
  BOOST_TEST(cut_lengths({{36, 4}}, {{144, 1}}, 0).cost == 1);
  BOOST_TEST(cut_lengths({{36, 4}}, {{144, 1}}, 0.125).cost == 2);
  BOOST_TEST(cut_lengths({{71.9375, 2}}, {{144, 1}}, 0.125).cost == 1);
  BOOST_TEST(cut_lengths({{144, 5}}, {{144, 1}}, 0.125).cost == 5);
}

BOOST_AUTO_TEST_CASE(lengths_in_millimetres_and_lengths_of_no_grid) {
  const double mm = 1 / 25.4;
  BOOST_TEST(cut_lengths({{1200 * mm, 6}}, {{3600 * mm, 1}}, 0).cost == 2);
  BOOST_TEST(cut_lengths({{1199 * mm, 3}}, {{3600 * mm, 1}}, 1.5 * mm).cost == 1);
  BOOST_TEST(cut_lengths({{1199 * mm, 3}}, {{3600 * mm, 1}}, 1.6 * mm).cost == 2);
  // Lengths that no unit divides: still exact, a pattern may pass the stock by the tolerance and no more.
  const double third = 144.0 / 3;
  BOOST_TEST(cut_lengths({{third - 0.1 / 3, 3}}, {{144, 1}}, 0.05).cost == 1);
  BOOST_TEST(cut_lengths({{third - 0.1 / 3 + 1e-5, 3}}, {{144, 1}}, 0.05).cost == 2);
}

BOOST_AUTO_TEST_CASE(random_small_cases_meet_exhaustive_search) {
  int proven = 0;
  const int cases = 1500;
  for (int seed = 0; seed < cases; ++seed) {
    BOOST_TEST_CONTEXT("seed " << seed) {
      cutting_classes::Random random(static_cast<std::uint64_t>(seed) + 17);
      const int kerf = random.between(0, 2);
      std::vector<CutStock> stock{{static_cast<double>(random.between(20, 30)), 1}};
      if (random.between(0, 1) == 1)
        stock.push_back({static_cast<double>(random.between(31, 45)), random.between(4, 9) / 4.0});
      if (random.between(0, 2) == 2) stock.push_back({static_cast<double>(random.between(10, 25)), 0.75});
      std::vector<CutDemand> demands;
      std::vector<int> lengths, left;
      const int kinds = random.between(1, 4);
      for (int i = 0; i < kinds; ++i) {
        const int length = random.between(3, 20), count = random.between(0, 4);
        demands.push_back({static_cast<double>(length), count});
        lengths.push_back(length);
        left.push_back(count);
      }
      std::map<std::vector<int>, double> known;
      const double best = exhaustive(left, lengths, stock, kerf, known);
      const CutLengths result = cut_lengths(demands, stock, kerf);
      check_result(demands, stock, kerf, result);
      BOOST_TEST(result.bound <= best + 1e-9);
      BOOST_TEST(result.cost >= best - 1e-9);
      BOOST_TEST(result.cost <= best + 1e-9);
      proven += result.cost <= result.bound + 1e-9 ? 1 : 0;
    }
  }
  BOOST_TEST_MESSAGE("proven optimal: " << proven << " of " << cases);
  BOOST_TEST(proven > cases * 95 / 100);
}

BOOST_AUTO_TEST_CASE(more_freedom_never_costs_more) {
  for (int seed = 0; seed < 60; ++seed) {
    BOOST_TEST_CONTEXT("seed " << seed) {
      cutting_classes::Random random(static_cast<std::uint64_t>(seed) + 4711);
      std::vector<CutDemand> demands;
      for (int i = 0; i < 12; ++i)
        demands.push_back({random.between(160, 1400) / 16.0, random.between(1, 6)});
      const CutLengths base = cut_lengths(demands, {{144, 1}}, 0.125);
      const CutLengths longer = cut_lengths(demands, {{150, 1}}, 0.125);
      const CutLengths thinner = cut_lengths(demands, {{144, 1}}, 0.0625);
      const CutLengths choice = cut_lengths(demands, {{144, 1}, {96, 0.7}}, 0.125);
      BOOST_TEST(longer.bound <= base.bound + 1e-9);
      BOOST_TEST(thinner.bound <= base.bound + 1e-9);
      BOOST_TEST(choice.bound <= base.bound + 1e-9);
      BOOST_TEST(longer.cost <= base.cost + (longer.cost - longer.bound) + 1e-9);
      BOOST_TEST(thinner.cost <= base.cost + (thinner.cost - thinner.bound) + 1e-9);
      BOOST_TEST(choice.cost <= base.cost + (choice.cost - choice.bound) + 1e-9);
      check_result(demands, {{144, 1}, {96, 0.7}}, 0.125, choice);
    }
  }
}

BOOST_AUTO_TEST_CASE(equal_demands_are_cut_each_to_its_count) {
  const std::vector<CutDemand> demands{{36, 3}, {40, 2}, {36, 5}, {36, 0}, {40, 1}};
  check_result(demands, {{120, 1}}, 0, cut_lengths(demands, {{120, 1}}, 0));
}

BOOST_AUTO_TEST_CASE(counts_of_billions_cost_no_more_time) {
  const std::int64_t many = 1000000000;
  const std::vector<CutDemand> demands{{63.4375, many}, {28, 3 * many + 1}, {51.5, 2 * many}, {17.25, 7}};
  const CutLengths result = cut_lengths(demands, {{144, 1}, {192, 1.3}}, 0.125);
  check_result(demands, {{144, 1}, {192, 1.3}}, 0.125, result);
  BOOST_TEST(result.cost - result.bound <= 1e-6 * result.cost);
  BOOST_TEST(cut_lengths({{1, lapwright::greatest_count}}, {{1, 1}}, 0).cost == 1e12);
}

BOOST_AUTO_TEST_CASE(the_same_twice_and_more_effort_is_no_worse) {
  const auto instance = cutting_classes::scholl3(1);
  std::vector<CutDemand> demands = cutting_classes::demands(instance);
  demands.resize(60);
  const CutLengths one = cut_lengths(demands, {{100000, 1}}, 0, 0.02);
  const CutLengths again = cut_lengths(demands, {{100000, 1}}, 0, 0.02);
  const CutLengths more = cut_lengths(demands, {{100000, 1}}, 0, 0.1);
  BOOST_TEST(one.steps == again.steps);
  BOOST_TEST(one.cost == again.cost);
  BOOST_TEST(one.patterns.size() == again.patterns.size());
  BOOST_TEST(more.cost <= one.cost);
  BOOST_TEST(more.bound >= one.bound);
  const CutLengths none = cut_lengths(demands, {{100000, 1}}, 0, 0);
  check_result(demands, {{100000, 1}}, 0, none);
}

BOOST_AUTO_TEST_CASE(bad_input_is_refused_with_every_path_at_once) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinite = std::numeric_limits<double>::infinity();
  try {
    cut_lengths({{nan, 1}, {200, 1}, {10, -1}, {-3, 2}, {10, std::int64_t{1} << 60}},
                {{144, 0}, {nan, 1}, {96, nan}, {infinite, -1}}, -1, nan);
    BOOST_TEST(false);
  } catch (const Refused& refused) {
    for (const char* path : {"demands[0].length", "demands[1].length", "demands[2].count",
                             "demands[3].length", "demands[4].count", "stock[0].price", "stock[1].length",
                             "stock[2].price", "stock[3].length", "stock[3].price", "kerf", "effort"})
      BOOST_TEST(names(refused, path), path);
  }
  BOOST_CHECK_EXCEPTION(cut_lengths({{1, 1}}, {}, 0), Refused,
                        [](const Refused& refused) { return names(refused, "stock"); });
  BOOST_CHECK_EXCEPTION(cut_lengths({{144.01, 1}}, {{144, 1}}, 0), Refused,
                        [](const Refused& refused) { return names(refused, "demands[0].length"); });
}

BOOST_AUTO_TEST_CASE(extreme_but_allowed_values_end) {
  // Pieces far shorter than a tape shows, from stock far longer than a lorry.
  BOOST_TEST(cut_lengths({{1e-3, 1000000}}, {{1e5, 1}}, 0).cost == 1);
  BOOST_TEST(cut_lengths({{0.015, 7}, {99999.9, 2}}, {{1e5, 1}}, 1e-3).cost == 2);
  const CutLengths kerf = cut_lengths({{3, 10}}, {{100, 1}}, 1e5);
  BOOST_TEST(kerf.cost == 10);
}
