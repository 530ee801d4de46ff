// Course spacing, laps, exposures and lengths held to published values. The source stands beside each check.
#include <cmath>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/courses.hpp>
#include <lapwright/error.hpp>
#include <lapwright/lap.hpp>
#include <lapwright/length.hpp>

using lapwright::CourseMode;
using lapwright::Courses;
using lapwright::lay_courses;
using lapwright::Mark;
using lapwright::Refused;
using lapwright::Rules;
using lapwright::WallHeights;

namespace {

WallHeights wall(double lowest, double highest, std::vector<Mark> marks = {}) {
  WallHeights w;
  w.wall = "south";
  w.lowest = lowest;
  w.highest = highest;
  w.marks = std::move(marks);
  return w;
}

// US Navy, Builder 3 & 2 (NAVEDTRA 14044), ch. 4: 12 in bevel siding is about 1/2 in less ("Fiberboard and
// Hardboard"), its least lap 1 in ("Exposure").
Rules bevel_12(CourseMode mode, double division) {
  Rules r;
  r.board.width = 11.5;
  r.board.min_lap = 1;
  r.courses.mode = mode;
  r.courses.division = division;
  return r;
}

}  // namespace

BOOST_AUTO_TEST_CASE(navy_manual_window_61_is_6_courses_of_10_and_a_sixth) {
  // NAVEDTRA 14044 ch. 4 "Exposure", worked example:
  // https://constructionmanuals.tpub.com/14044/css/Exposure-132.htm
  const Courses c = lay_courses({wall(0, 61)}, bevel_12(CourseMode::even, 1.0 / 6));
  BOOST_TEST(c.pole.lines.size() == 6u);
  for (double e : c.pole.exposures) BOOST_TEST(std::fabs(e - (10 + 1.0 / 6)) < 1e-9);
  BOOST_TEST(std::fabs(c.walls[0].last_rip - (10 + 1.0 / 6)) < 1e-9);
  // On a tape: within a sixteenth of it, and the sum is the space exactly.
  const Courses tape = lay_courses({wall(0, 61)}, bevel_12(CourseMode::even, 1.0 / 16));
  BOOST_TEST(tape.pole.lines.size() == 6u);
  double sum = tape.walls[0].last_rip;
  for (double e : tape.pole.exposures) {
    BOOST_TEST(std::fabs(e - (10 + 1.0 / 6)) < 1.0 / 16);
    sum += e;
  }
  BOOST_TEST(sum == 61);
}

BOOST_AUTO_TEST_CASE(navy_manual_sill_31_is_3_courses_of_10_and_a_third) {
  // The same example: from the sill to below the foundation's top.
  const Courses c = lay_courses({wall(-31, 0)}, bevel_12(CourseMode::even, 1.0 / 3));
  BOOST_TEST(c.pole.lines.size() == 3u);
  for (double e : c.pole.exposures) BOOST_TEST(std::fabs(e - (10 + 1.0 / 3)) < 1e-9);
  BOOST_TEST(std::fabs(c.walls[0].last_rip - (10 + 1.0 / 3)) < 1e-9);
}

BOOST_AUTO_TEST_CASE(navy_manual_whole_wall_lands_on_sill_and_drip_cap) {
  // The same example as one wall: "the butt edge of the first course above the window coincides with the top
  // of the drip cap", a course's lower edge flush with the underside of the sill.
  Rules r = bevel_12(CourseMode::fitted, 1.0 / 6);
  r.courses.min_exposure = 9.5;
  r.courses.max_step = 1.0 / 6;
  r.courses.min_strip = 10.5;  // no strip but a whole course will do
  const Courses c = lay_courses({wall(-31, 71, {{0, true, "sill"}, {61, false, "drip cap"}})}, r);
  BOOST_REQUIRE(c.pole.lines.size() == 10u);
  BOOST_TEST(std::fabs(c.pole.lines[3]) < 1e-9);
  BOOST_TEST(std::fabs(c.pole.lines[9] - 61) < 1e-9);
  for (std::size_t k = 0; k < 3; ++k) BOOST_TEST(std::fabs(c.pole.exposures[k] - (10 + 1.0 / 3)) < 1e-9);
  for (std::size_t k = 3; k < 9; ++k) BOOST_TEST(std::fabs(c.pole.exposures[k] - (10 + 1.0 / 6)) < 1e-9);
  BOOST_TEST(c.pole.settings == 2);
}

BOOST_AUTO_TEST_CASE(remainder_is_spread_equally_over_the_whole_space) {
  // Griffith, Carpentry (1916), sec. 57: any remainder is spread equally over the whole space, not over the
  // last courses.
  // https://chestofbooks.com/home-improvement/woodworking/Ira-S-Griffith/Carpentry/57-Siding.html
  for (int space = 20; space <= 480; ++space) {
    Rules r;
    r.courses.mode = CourseMode::even;
    const int n = static_cast<int>(std::ceil(space / 7.0 - 1e-9));
    r.courses.division = 1.0 / n;  // a grid on which equal shares lie
    const Courses c = lay_courses({wall(0, space)}, r);
    BOOST_TEST(static_cast<int>(c.pole.lines.size()) <= n + 1);
    if (static_cast<int>(c.pole.lines.size()) != n) continue;  // 7 in is no multiple of this division
    double sum = c.walls[0].last_rip;
    for (double e : c.pole.exposures) {
      BOOST_TEST(std::fabs(e - static_cast<double>(space) / n) < 1e-9);
      sum += e;
    }
    BOOST_TEST(std::fabs(sum - space) < 1e-9);
  }
}

BOOST_AUTO_TEST_CASE(least_laps_of_the_codes) {
  const auto laid = [](double width, double min_lap, double lap) {
    Rules r;
    r.board.width = width;
    r.board.min_lap = min_lap;
    r.courses.max_exposure = width - lap;
    r.courses.mode = CourseMode::full;
    r.courses.division = 0.01;
    try {
      lay_courses({wall(0, 100)}, r);
    } catch (const Refused& refused) {
      BOOST_TEST(refused.faults.front().path == "courses.max_exposure");
      return false;
    }
    return true;
  };
  // IRC R703.10.2: fibre-cement lap siding laps 1 1/4 in at least.
  BOOST_TEST(laid(8.25, 1.25, 1.25));
  BOOST_TEST(!laid(8.25, 1.25, 1.24));
  // It is the library's default.
  BOOST_TEST(Rules().board.min_lap == 1.25);
  // IRC R703.5.3: horizontal wood lap siding 1 in, 1/2 in where rabbeted.
  BOOST_TEST(laid(8.25, 1, 1));
  BOOST_TEST(!laid(8.25, 1, 0.99));
  BOOST_TEST(laid(8.25, 0.5, 0.5));
}

BOOST_AUTO_TEST_CASE(greatest_exposures_by_width) {
  // IRC R703.10.2: width less 1 1/4 in, to the widest board allowed (12 in).
  const struct {
    double width, exposure;
  } table[] = {{5.25, 4}, {6.25, 5}, {7.25, 6}, {8.25, 7}, {9.25, 8}, {12, 10.75}};
  for (const auto& row : table) {
    Rules r;
    r.board.width = row.width;
    r.courses.mode = CourseMode::full;
    const Courses c = lay_courses({wall(0, 100)}, r);
    for (double e : c.pole.exposures) BOOST_TEST(e == row.exposure);
    // The starter that gives the first course the same lean is as wide as the lap.
    BOOST_TEST(c.pole.starter == 1.25);
    BOOST_TEST(lapwright::lap_profile(row.width, 0.3125, row.exposure).starter_width == 1.25);
    // 12 ft boards in a square (100 sq ft), no waste: 100 / exposure.
    const double boards = 100 / row.exposure;
    BOOST_TEST(static_cast<double>(c.pole.lines.size()) == std::ceil(boards));
    BOOST_TEST(std::fabs(c.pole.lines.back() / row.exposure + c.walls[0].last_rip / row.exposure - boards) <
               1e-9);
  }
}

BOOST_AUTO_TEST_CASE(coverage_factors_of_the_trade) {
  // WWPA, Natural Wood Siding Technical Guide, table 4: feet of bevel siding for a square foot, 1 in lap.
  const struct {
    double dressed, exposed, lineal;
  } table[] = {{3.5, 2.5, 4.80}, {5.5, 4.5, 2.67}, {7.25, 6.25, 1.92}, {9.25, 8.25, 1.45}};
  for (const auto& row : table) {
    Rules r;
    r.board.width = row.dressed;
    r.board.min_lap = 1;
    r.courses.mode = CourseMode::full;
    // A wall a hundred courses high: courses for each foot of height.
    const double high = 100 * row.exposed;
    const Courses c = lay_courses({wall(0, high)}, r);
    const double factor = static_cast<double>(c.pole.lines.size()) / (high / 12);
    BOOST_TEST(std::fabs(factor - row.lineal) < 0.006);
  }
  // EPiC database, fibre cement weatherboard (Univ. of Melbourne 2019): 150 to 300 mm wide, 80 to 90 %
  // effective.
  const double mm = 1 / 25.4;
  for (double width : {150.0, 300.0}) {
    Rules r;
    r.board.width = width * mm;
    r.board.min_lap = 30 * mm;
    r.courses.division = mm;
    r.courses.mode = CourseMode::full;
    const Courses c = lay_courses({wall(0, 100)}, r);
    BOOST_TEST(std::fabs(c.pole.exposures[0] / r.board.width - (width == 150 ? 0.8 : 0.9)) < 1e-9);
  }
}

BOOST_AUTO_TEST_CASE(fractions_as_the_manual_prints_them) {
  // NAVEDTRA 14044 fig. 2-17: 13.89 x 8 = 111.12 in is 111 1/8 in, 9 ft 3 1/8 in.
  // http://constructionmanuals.tpub.com/14044/css/Figure-2-17-Rafter-length-64.htm
  BOOST_TEST(lapwright::format_length(13.89 * 8) == "111 1/8");
  BOOST_TEST(lapwright::format_length(13.89 * 8, 0.0625, lapwright::LengthStyle::feet_inches) ==
             "9' 3 1/8\"");
  BOOST_TEST(lapwright::parse_length("9 ft 3 1/8 in") == 111.125);
  // Its rule: a half sixteenth or more rounds up to the next.
  BOOST_TEST(lapwright::format_length(10.03125) == "10 1/16");
  // The spacings of "Exposure" on a tape.
  BOOST_TEST(lapwright::format_length(61.0 / 6) == "10 3/16");
  BOOST_TEST(lapwright::format_length(31.0 / 3) == "10 5/16");
  // The inch is 25.4 mm exactly (international yard and pound agreement, 1959; from memory).
  BOOST_TEST(lapwright::parse_length("25.4 mm") == 1);
  BOOST_TEST(lapwright::parse_length("1611 mm") == 1611 / 25.4);
}

BOOST_AUTO_TEST_CASE(lean_of_a_lapped_board) {
  // Arithmetic on the usual board (5/16 x 8 1/4, 7 in exposed): the lower edge stands off as similar
  // triangles give it, 5/16 : 7 = stand-off : 8 1/4.
  const lapwright::LapProfile lap = lapwright::lap_profile(8.25, 0.3125, 7);
  BOOST_TEST(std::fabs(lap.edge_stand_off * 7 - 0.3125 * 8.25) < 1e-12);
  // A 1 in trim board is proud of it, a 5/8 in one is not (common practice: 5/4 trim with lap siding).
  BOOST_TEST(lap.least_trim < 1);
  BOOST_TEST(lap.least_trim > 0.625);
}
