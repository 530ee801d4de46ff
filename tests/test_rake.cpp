#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/rake.hpp>

#include "random_house.hpp"

using namespace lapwright;
using lapwright_test::Random;

namespace {

std::vector<std::string> refused_paths(double rise, double run, const Rules& rules = {},
                                       double exposure = 7) {
  try {
    rake_template(rise, run, Hand::left, rules, exposure);
  } catch (const Refused& e) {
    std::vector<std::string> paths;
    for (const Fault& fault : e.faults) paths.push_back(fault.path);
    return paths;
  }
  return {};
}
using Paths = std::vector<std::string>;

/// A piece that is nothing but an outline.
Piece piece_of(Ring outline, std::vector<Ring> holes = {}) {
  Piece piece;
  piece.outline = std::move(outline);
  piece.holes = std::move(holes);
  return piece;
}

}  // namespace

BOOST_AUTO_TEST_CASE(six_in_twelve_both_hands) {
  const RakeTemplate t = rake_template(6, 12, Hand::left, Rules{}, 7);
  BOOST_TEST(t.rise == 6);
  BOOST_TEST(t.run == 12);
  BOOST_TEST(t.offset == 16.5);
  BOOST_TEST(t.step == 14);
  BOOST_TEST((t.square == Point{12, 6}));
  BOOST_TEST(t.error == 0);
  BOOST_TEST(t.angle == 26.56505117707799, boost::test_tools::tolerance(1e-14));
  BOOST_TEST((t.outline == Ring{{0, -1.5}, {16.5, -1.5}, {16.5, 8.25}, {0, 0}}));
  BOOST_TEST(t.stock_length == 16.5);
  BOOST_TEST(t.stock_width == 9.75);
  const RakeTemplate r = rake_template(6, 12, Hand::right, Rules{}, 7);
  BOOST_TEST((r.outline == Ring{{-16.5, -1.5}, {0, -1.5}, {0, 0}, {-16.5, 8.25}}));
}

BOOST_AUTO_TEST_CASE(a_steep_template_keeps_a_fence_that_does_not_rock) {
  const RakeTemplate t = rake_template(24, 12, Hand::left, Rules{}, 7);
  BOOST_TEST(t.offset == 4.125);
  BOOST_TEST((t.outline == Ring{{0, -1.5}, {12, -1.5}, {12, 8.25}, {4.125, 8.25}, {0, 0}}));
  BOOST_TEST((t.square == Point{8, 16}));
}

BOOST_AUTO_TEST_CASE(slopes_degrees_and_points_give_the_same_template) {
  for (int i = 0; i < 2000; ++i) {
    Random r(static_cast<std::uint64_t>(i));
    const double rise = r.whole(64, 64 * 24) / 64.0;
    const Hand hand = r.once_in(2) ? Hand::left : Hand::right;
    const RakeTemplate a = rake_template(rise, 12, hand, Rules{}, 7);
    const RakeTemplate b = rake_template_from_angle(a.angle, hand, Rules{}, 7);
    const double x = r.whole(-1000, 1000) / 16.0, y = r.whole(-1000, 1000) / 16.0;
    const double sign = r.once_in(2) ? -1 : 1;
    const RakeTemplate c =
        rake_template_from_points({x, y}, {x - 10 * 12, y + sign * 10 * rise}, hand, Rules{}, 7);
    BOOST_REQUIRE_CLOSE_FRACTION(a.angle, std::atan(rise / 12) * 180 / 3.14159265358979323846, 1e-14);
    for (const RakeTemplate& t : {b, c}) {
      BOOST_REQUIRE(t.rise == a.rise);
      BOOST_REQUIRE(t.offset == a.offset);
      BOOST_REQUIRE(t.step == a.step);
      BOOST_REQUIRE(t.square == a.square);
      BOOST_REQUIRE(t.outline == a.outline);
    }
  }
}

BOOST_AUTO_TEST_CASE(every_template_is_a_ring_with_its_slope_from_the_origin) {
  for (int i = 0; i < 2000; ++i) {
    Random r(static_cast<std::uint64_t>(i));
    Rules rules;
    rules.board.width = r.whole(16 * 4, 16 * 12) / 16.0;
    const double rise = r.whole(1000, 24000) / 1000.0;
    const Hand hand = r.once_in(2) ? Hand::left : Hand::right;
    const RakeTemplate t = rake_template(rise, 12, hand, rules, 6.5);
    BOOST_REQUIRE(detail::signed_area(t.outline) > 0);
    BOOST_REQUIRE(std::count(t.outline.begin(), t.outline.end(), Point{0, 0}) == 1);
    const double tip = hand == Hand::left ? t.offset : -t.offset;
    BOOST_REQUIRE(std::count(t.outline.begin(), t.outline.end(), Point{tip, rules.board.width}) == 1);
    BOOST_REQUIRE_CLOSE_FRACTION(rules.board.width / t.offset, rise / 12, 1e-12);
    BOOST_REQUIRE_CLOSE_FRACTION(t.step, 6.5 * 12 / rise, 1e-12);
    const Box box = detail::bounds(t.outline);
    BOOST_REQUIRE(box.x_max - box.x_min == t.stock_length);
    BOOST_REQUIRE(box.y_max - box.y_min == t.stock_width);
    BOOST_REQUIRE(t.error <= 1.0 / 32 + 1e-12);  // half a sixteenth
    const double made = std::round(t.offset * 16) / 16;
    BOOST_REQUIRE_SMALL(t.error - std::fabs(made - t.offset), 1e-9);
  }
}

BOOST_AUTO_TEST_CASE(no_pair_on_the_square_comes_closer) {
  for (int i = 0; i < 40; ++i) {
    Random r(static_cast<std::uint64_t>(i));
    const double rise = r.whole(1000, 24000) / 1000.0;
    const RakeTemplate t = rake_template(rise, 12, Hand::left, Rules{}, 7);
    const double target = std::atan2(rise, 12);
    const double off = std::fabs(std::atan2(t.square.y, t.square.x) - target);
    BOOST_REQUIRE(t.square.x > 0);
    BOOST_REQUIRE(t.square.x <= 24);
    BOOST_REQUIRE(t.square.y <= 16);
    BOOST_REQUIRE(t.square.x * 16 == std::floor(t.square.x * 16));
    BOOST_REQUIRE(t.square.y * 16 == std::floor(t.square.y * 16));
    double least = 1;
    for (int x = 1; x <= 24 * 16; ++x)
      for (int y = 1; y <= 16 * 16; ++y) least = std::min(least, std::fabs(std::atan2(y, x) - target));
    BOOST_REQUIRE(off <= least + 1e-9);
  }
}

BOOST_AUTO_TEST_CASE(slopes_out_of_reach_are_refused_with_the_reason) {
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  BOOST_TEST(refused_paths(1, 12).empty());
  BOOST_TEST(refused_paths(24, 12).empty());
  BOOST_TEST((refused_paths(0.99, 12) == Paths{"rise"}));
  BOOST_TEST((refused_paths(24.01, 12) == Paths{"rise"}));
  BOOST_TEST((refused_paths(0, -1) == Paths{"rise", "run"}));
  BOOST_TEST((refused_paths(nan, inf) == Paths{"rise", "run"}));
  Rules rules;
  rules.board.width = 0;
  BOOST_TEST((refused_paths(6, 12, rules, nan) == Paths{"board.width", "exposure"}));
  BOOST_CHECK_EXCEPTION(rake_template(0.5, 12, Hand::left, Rules{}, 7), Refused, [](const Refused& e) {
    return std::string(e.what()).find("nearly level") != std::string::npos;
  });
  BOOST_CHECK_EXCEPTION(rake_template(30, 12, Hand::left, Rules{}, 7), Refused, [](const Refused& e) {
    return std::string(e.what()).find("nearly plumb") != std::string::npos;
  });
  for (const double degrees : {0.0, -10.0, 90.0, 4.7, 63.5, 89.999, nan, inf})
    BOOST_CHECK_THROW(rake_template_from_angle(degrees, Hand::left, Rules{}, 7), Refused);
  BOOST_CHECK_NO_THROW(rake_template_from_angle(4.77, Hand::left, Rules{}, 7));
  BOOST_CHECK_NO_THROW(rake_template_from_angle(63.43, Hand::left, Rules{}, 7));
  for (const Point b : {Point{1, 2}, Point{1, 50}, Point{50, 2}, Point{nan, 3}, Point{1e6, 3}})
    BOOST_CHECK_THROW(rake_template_from_points({1, 2}, b, Hand::left, Rules{}, 7), Refused);
}

BOOST_AUTO_TEST_CASE(one_template_for_each_slope_and_hand_with_its_uses) {
  std::vector<Piece> pieces;
  for (int i = 0; i < 3; ++i)  // a gable's courses: 6 in 12 on both hands
    pieces.push_back(piece_of({{14.0 * i, 7.0 * i},
                               {200 - 14.0 * i, 7.0 * i},
                               {200 - 14.0 * i - 16.5, 7.0 * i + 8.25},
                               {14.0 * i + 16.5, 7.0 * i + 8.25}}));
  // Over a lower roof that falls to the right, 6 in 12: the waste is below and left of it.
  pieces.push_back(piece_of({{0, 8.25}, {16.5, 0}, {60, 0}, {60, 8.25}}));
  // 12 in 12 beside a notch, an almost equal slope, a slope that no template serves.
  pieces.push_back(
      piece_of({{0, 0}, {50, 0}, {50, 8.25}, {40, 8.25}, {36, 4.25}, {30, 4.25}, {30, 8.25}, {0, 8.25}}));
  pieces.push_back(piece_of({{0, 0}, {50, 0}, {41.755, 8.25}, {0, 8.25}}));
  pieces.push_back(piece_of({{0, 0}, {50, 0}, {50, 8.25}, {0, 8}}));
  const std::vector<RakeTemplate> all = rake_templates(pieces, Rules{}, 7);
  BOOST_REQUIRE(all.size() == 4);
  BOOST_TEST((all[0].hand == Hand::left && all[0].rise == 6));
  BOOST_TEST(all[0].uses == 4);
  BOOST_TEST((all[1].hand == Hand::left && all[1].rise == 12));
  BOOST_TEST(all[1].uses == 1);
  BOOST_TEST((all[2].hand == Hand::right && all[2].rise == 6));
  BOOST_TEST(all[2].uses == 3);
  BOOST_TEST((all[3].hand == Hand::right));
  BOOST_TEST(all[3].rise == 12.007, boost::test_tools::tolerance(1e-3));
  BOOST_TEST(all[3].uses == 1);
}

BOOST_AUTO_TEST_CASE(slopes_nearer_than_a_64th_over_one_board_share_a_template) {
  const auto rake = [](double offset) {
    return piece_of({{0, 0}, {100, 0}, {100 - offset, 8.25}, {0, 8.25}});
  };
  BOOST_TEST(rake_templates({rake(16.5), rake(16.515)}, Rules{}, 7).size() == 1);
  BOOST_TEST(rake_templates({rake(16.5), rake(16.516)}, Rules{}, 7).size() == 2);
  // No two templates nearer than that, and none further from what it serves, in a chain of near slopes too.
  std::vector<Piece> chain;
  for (int i = 0; i < 40; ++i) chain.push_back(rake(16.5 + i * 0.004));
  const std::vector<RakeTemplate> few = rake_templates(chain, Rules{}, 7);
  int uses = 0;
  for (std::size_t i = 0; i < few.size(); ++i) {
    uses += few[i].uses;
    if (i > 0) BOOST_TEST(few[i - 1].offset - few[i].offset >= 1.0 / 64 - 1e-9);
  }
  BOOST_TEST(uses == 40);
  // Half a board high: half the run, the same slope.
  const Piece half = piece_of({{0, 0}, {100, 0}, {91.75, 4.125}, {0, 4.125}});
  const std::vector<RakeTemplate> both = rake_templates({rake(16.5), half}, Rules{}, 7);
  BOOST_REQUIRE(both.size() == 1);
  BOOST_TEST(both[0].uses == 2);
}
