// What one board can give, against plain enumeration of everything that fits.
#include <algorithm>
#include <cstdint>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/house_pricer.hpp>

#include "cases.hpp"
#include "random_house.hpp"

using namespace lapwright::detail;
using lapwright_test::Random;

namespace {

struct Board {
  std::vector<HouseNeed> kinds;
  std::vector<std::int64_t> values, layers;
  std::vector<PatternStock> stocks;
  std::int64_t loose = 0;
};

Board random_board(std::uint64_t seed) {
  Random random(seed);
  Board out;
  const int layers = random.whole(0, house_layers);
  for (int l = 0; l < layers; ++l) out.layers.push_back(random.whole(0, 14));
  const int kinds = random.whole(1, 6);
  for (int k = 0; k < kinds; ++k) {
    HouseNeed kind;
    kind.weight = random.whole(12, 60);
    kind.ends = random.whole(0, 1);
    if (random.once_in(3)) kind.closed = random.whole(-10, static_cast<int>(kind.weight));
    if (layers > 0) kind.open = random.once_in(4) ? house_any : random.whole(0, (1 << layers) - 1);
    out.kinds.push_back(kind);
    out.values.push_back(random.whole(0, 100));
  }
  out.stocks = {{100, 2, 1, -1}, {64, 1, 1, -1}, {80, 0, 1, -1}};
  out.loose = random.once_in(2) ? random.whole(0, 2) : 0;
  return out;
}

/// What a number of each kind comes to; -1 where it does not fit.
std::int64_t worth(const Board& board, std::size_t stock, const std::vector<std::int64_t>& count) {
  std::int64_t sum = 0, weight = 0, room = board.stocks[stock].capacity;
  int ends = 0, open = 0;
  for (std::size_t k = 0; k < count.size(); ++k)
    for (std::int64_t i = 0; i < count[k]; ++i) {
      const HouseNeed& kind = board.kinds[k];
      sum += board.values[k];
      weight += kind.weight;
      room -= kind.weight - kind.closed;
      ends += kind.ends;
      open = open == house_any || kind.open == house_any ? house_any : open ^ kind.open;
    }
  weight += wasted_by(open, board.layers);
  if (weight > board.stocks[stock].capacity || ends > board.stocks[stock].ends) return -1;
  return sum + board.loose * room;
}

std::int64_t best_of(const Board& board, std::size_t stock, std::size_t kind,
                     std::vector<std::int64_t>& count) {
  if (kind == board.kinds.size()) return worth(board, stock, count);
  std::int64_t best = -1;
  // One that does not fit may be mended by one more, so that its ends are even.
  for (count[kind] = 0; count[kind] * board.kinds[kind].weight <= board.stocks[stock].capacity; ++count[kind])
    if (board.values[kind] > 0 || count[kind] == 0)
      best = std::max(best, best_of(board, stock, kind + 1, count));
  count[kind] = 0;
  return best;
}

}  // namespace

BOOST_AUTO_TEST_CASE(the_most_valuable_board_is_found) {
  for (int seed = 1; seed <= lapwright_test::cases(1500); ++seed) {
    BOOST_TEST_CONTEXT("seed " << seed) {
      const Board board = random_board(static_cast<std::uint64_t>(seed));
      HousePricer pricer(board.kinds, board.stocks, board.layers);
      pricer.price(board.values, board.loose);
      for (std::size_t s = 0; s < board.stocks.size(); ++s) {
        std::vector<std::int64_t> count(board.kinds.size(), 0);
        BOOST_TEST(pricer.value(s) == best_of(board, s, 0, count));
        const auto counted = [&](const std::vector<PatternCount>& pattern) {
          std::vector<std::int64_t> out(board.kinds.size(), 0);
          for (const PatternCount& p : pattern) out[p.item] += p.count;
          return out;
        };
        BOOST_TEST(worth(board, s, counted(pricer.pattern(s))) == pricer.value(s));
        for (std::size_t k = 0; k < board.kinds.size(); ++k) {
          const std::vector<PatternCount> pattern = pricer.pattern_with(s, k);
          if (pattern.empty() || board.values[k] <= 0) continue;
          const std::vector<std::int64_t> with = counted(pattern);
          BOOST_TEST(with[k] >= 1);
          BOOST_TEST(worth(board, s, with) <= pricer.value(s));
          const bool fits = worth(board, s, with) != -1 || board.loose > 0;
          BOOST_TEST(fits);
        }
      }
    }
  }
}

/// Whatever serves as a kind leaves room for it on every board, whatever else the board gives.
BOOST_AUTO_TEST_CASE(what_serves_as_a_kind_can_be_exchanged_for_it) {
  int seen = 0;
  for (int seed = 1; seed <= lapwright_test::cases(3000); ++seed) {
    const Board board = random_board(static_cast<std::uint64_t>(seed));
    Random random(static_cast<std::uint64_t>(seed) + 1000000);
    std::vector<std::int64_t> count(board.kinds.size(), 0);
    for (std::int64_t& n : count) n = random.whole(0, 2);
    for (std::size_t a = 0; a < board.kinds.size(); ++a)
      for (std::size_t b = 0; b < board.kinds.size(); ++b) {
        if (a == b || count[a] == 0 || !serves_as(board.kinds[a], board.kinds[b], board.layers)) continue;
        const auto value = [&](const std::vector<std::int64_t>& n) {
          Board plain = board;
          std::fill(plain.values.begin(), plain.values.end(), 1000);
          return worth(plain, 0, n);
        };
        if (value(count) < 0) continue;
        std::vector<std::int64_t> other = count;
        --other[a];
        ++other[b];
        BOOST_TEST(value(other) >= value(count));
        ++seen;
      }
  }
  BOOST_TEST(seen > 0);
}
