// Runs, fillers and starters: each rule on the smallest wall that shows it, and laws over random walls.
#include <boost/test/unit_test.hpp>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/runs.hpp>

#include "cases.hpp"
#include "random_wall.hpp"

using namespace lapwright;

namespace {

struct Case {
  Wall wall;
  Rules rules;
  Pole pole;
  WallCourses courses;
  Region region;
  Runs runs;
};

/// Lines from `first`, one exposure of 7, board 8.25, the wall planned from course 0.
Case lay(Wall wall, double first = 0, double exposure = 7, int built = 0) {
  Case c;
  c.wall = std::move(wall);
  c.rules.board.lengths = {144};
  c.region = siding_region(c.wall, c.rules, first);
  const double top = wall_heights(c.wall, c.region).highest;
  for (int k = 0; first + k * exposure < top - tolerance; ++k) c.pole.lines.push_back(first + k * exposure);
  c.pole.exposures.assign(c.pole.lines.size() - 1, exposure);
  c.pole.built = built;
  c.courses.last_course = static_cast<int>(c.pole.lines.size()) - 1;
  c.runs = find_runs(c.wall, c.region, c.pole, c.courses, c.rules);
  return c;
}

Wall make_wall(Ring outline, std::vector<EdgeKind> kinds) {
  Wall w;
  w.name = "south";
  w.outline = std::move(outline);
  for (EdgeKind k : kinds) w.edges.push_back({k, 0, 0});
  return w;
}
Wall plain_wall(double width, double height) {
  using K = EdgeKind;
  return make_wall({{0, 0}, {width, 0}, {width, height}, {0, height}},
                   {K::base, K::corner, K::top, K::corner});
}
/// An opening already grown.
Opening hole(Ring outline) {
  Opening o;
  o.name = "O";
  o.trim.assign(outline.size(), 0);
  o.gap.assign(outline.size(), 0);
  o.outline = std::move(outline);
  return o;
}
Opening box(double x0, double y0, double x1, double y1) {
  return hole({{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}});
}
std::vector<Run> course(const Case& c, int k, bool filler = false) {
  std::vector<Run> some;
  for (const Run& r : c.runs.runs)
    if (r.course == k && r.filler == filler) some.push_back(r);
  return some;
}
std::vector<Finding> found(const Case& c, const std::string& code) {
  std::vector<Finding> some;
  for (const Finding& f : c.runs.findings)
    if (f.code == code) some.push_back(f);
  return some;
}
bool same(const Ring& a, const Ring& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i)
    if (std::abs(a[i].x - b[i].x) > 1e-9 || std::abs(a[i].y - b[i].y) > 1e-9) return false;
  return true;
}
std::string text(const Ring& ring) {
  std::string s;
  for (Point p : ring) s += "(" + std::to_string(p.x) + "," + std::to_string(p.y) + ")";
  return s;
}
#define CHECK_RING(ring, ...) \
  BOOST_CHECK_MESSAGE(same(ring, Ring __VA_ARGS__), text(ring) << " is not " << #__VA_ARGS__)

void check_starter(const Starter& s, StarterPlace where, Point from, Point to) {
  BOOST_TEST((s.where == where));
  BOOST_CHECK_MESSAGE(same({s.from, s.to}, {from, to}), s.id << " " << text({s.from, s.to}));
}

}  // namespace

BOOST_AUTO_TEST_CASE(a_window_notches_and_splits) {
  Wall w = plain_wall(100, 40);
  w.openings = {box(30, 10, 60, 25)};
  const Case c = lay(w);
  // Course 0 (0 to 8.25) is whole, course 1 (7 to 15.25) notched from above, course 2 split, course 3 (21 to
  // 29.25) notched from below; of course 2 nothing is left above the head, which lies in course 3.
  BOOST_REQUIRE_EQUAL(course(c, 0).size(), 1u);
  CHECK_RING(course(c, 0)[0].shape.outer, {{0, 0}, {100, 0}, {100, 8.25}, {0, 8.25}});
  CHECK_RING(course(c, 1)[0].shape.outer,
             {{0, 7}, {100, 7}, {100, 15.25}, {60, 15.25}, {60, 10}, {30, 10}, {30, 15.25}, {0, 15.25}});
  BOOST_REQUIRE_EQUAL(course(c, 2).size(), 2u);
  CHECK_RING(course(c, 2)[0].shape.outer, {{0, 14}, {30, 14}, {30, 22.25}, {0, 22.25}});
  CHECK_RING(course(c, 3)[0].shape.outer,
             {{0, 21}, {30, 21}, {30, 25}, {60, 25}, {60, 21}, {100, 21}, {100, 29.25}, {0, 29.25}});
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 2u);
  check_starter(c.runs.starters[0], StarterPlace::base, {0, 0}, {100, 0});
  check_starter(c.runs.starters[1], StarterPlace::head, {30, 25}, {60, 25});
  BOOST_TEST(c.runs.starters[0].id == "south-s0");
  BOOST_TEST(c.runs.starters[0].width == 1.25);
}

BOOST_AUTO_TEST_CASE(what_lies_hidden_over_a_head_is_dropped) {
  // Head at 21.5: of course 2 (14 to 22.25) the part over the head would lie from 21.5 to 22.25, all of it
  // behind course 3. Head exactly on a line: the same.
  for (double head : {21.5, 21.0}) {
    Wall w = plain_wall(100, 40);
    w.openings = {box(30, 10, 60, head)};
    const Case c = lay(w);
    BOOST_REQUIRE_EQUAL(course(c, 2).size(), 2u);
    CHECK_RING(course(c, 2)[0].shape.outer, {{0, 14}, {30, 14}, {30, 22.25}, {0, 22.25}});
    CHECK_RING(course(c, 2)[1].shape.outer, {{60, 14}, {100, 14}, {100, 22.25}, {60, 22.25}});
  }
  // A head that slopes across line 3 (21): dropped from there, cut upright.
  Wall w = plain_wall(100, 40);
  w.openings = {hole({{30, 10}, {60, 10}, {60, 24}, {30, 18}})};
  const Case c = lay(w);
  BOOST_REQUIRE_EQUAL(course(c, 2).size(), 2u);
  CHECK_RING(course(c, 2)[0].shape.outer, {{0, 14}, {30, 14}, {30, 18}, {45, 21}, {45, 22.25}, {0, 22.25}});
  for (const Starter& s : c.runs.starters) BOOST_TEST((s.where == StarterPlace::base));  // none on its slope
}

BOOST_AUTO_TEST_CASE(along_the_walls_own_slope_the_lap_stays) {
  // A lower roof rises 6 in 12 from the base: of course 0 the lap goes on to the slope at 8.25.
  using K = EdgeKind;
  Wall w = make_wall({{0, 0}, {40, 0}, {100, 30}, {100, 60}, {0, 60}},
                     {K::base, K::roof, K::corner, K::top, K::corner});
  const Case c = lay(w);
  CHECK_RING(course(c, 0)[0].shape.outer, {{0, 0}, {40, 0}, {56.5, 8.25}, {0, 8.25}});
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 2u);
  check_starter(c.runs.starters[0], StarterPlace::base, {0, 0}, {40, 0});
  check_starter(c.runs.starters[1], StarterPlace::roof, {40, 0}, {100, 30});
  // A level step drops what is hidden over it.
  w = make_wall({{0, 0}, {40, 0}, {40, 7.5}, {100, 7.5}, {100, 60}, {0, 60}},
                {K::base, K::corner, K::base, K::corner, K::top, K::corner});
  const Case step = lay(w);
  CHECK_RING(course(step, 0)[0].shape.outer, {{0, 0}, {40, 0}, {40, 8.25}, {0, 8.25}});
  BOOST_REQUIRE_EQUAL(step.runs.starters.size(), 2u);
  check_starter(step.runs.starters[1], StarterPlace::base, {40, 7.5}, {100, 7.5});
  // Steeper than 24 in 12: no starter.
  w = make_wall({{0, 0}, {40, 0}, {50, 30}, {50, 60}, {0, 60}},
                {K::base, K::corner, K::corner, K::top, K::corner});
  BOOST_TEST(lay(w).runs.starters.size() == 1u);
}

BOOST_AUTO_TEST_CASE(legs_and_necks_are_split_off) {
  // A sill 1 in above line 1: the strip under it to the end of the wall would snap. At the other end of the
  // window the course goes on, so the strip is a neck between two tall parts.
  Wall w = plain_wall(100, 40);
  w.openings = {box(30, 8, 60, 30)};
  Case c = lay(w);
  BOOST_REQUIRE_EQUAL(course(c, 1).size(), 2u);
  BOOST_REQUIRE_EQUAL(course(c, 1, true).size(), 1u);
  CHECK_RING(course(c, 1, true)[0].shape.outer, {{30, 7}, {60, 7}, {60, 8}, {30, 8}});
  CHECK_RING(course(c, 1)[0].shape.outer, {{0, 7}, {30, 7}, {30, 15.25}, {0, 15.25}});
  BOOST_REQUIRE_EQUAL(found(c, "filler").size(), 1u);
  BOOST_TEST(found(c, "filler")[0].piece == "south-01-f1");
  BOOST_TEST(*found(c, "filler")[0].measured == 1);
  BOOST_TEST((found(c, "filler")[0].severity == Severity::note));
  // A strip lower than any tool cuts is laid, so that the cover adds up, and the finding says what to do.
  w.openings = {box(30, 7 + 1.0 / 32, 60, 30)};
  c = lay(w);
  BOOST_TEST(course(c, 1, true).size() == 1u);
  BOOST_REQUIRE_EQUAL(found(c, "filler").size(), 1u);
  BOOST_TEST((found(c, "filler")[0].severity == Severity::warning));
  BOOST_TEST(found(c, "filler")[0].message.find("no tool makes it") != std::string::npos);
  // At the wall's end, level: a leg. With min_leg exactly: none.
  w.openings = {box(60, 8, 100, 30)};
  c = lay(w);
  CHECK_RING(course(c, 1, true)[0].shape.outer, {{60, 7}, {100, 7}, {100, 8}, {60, 8}});
  w.openings = {box(60, 9, 100, 30)};
  c = lay(w);
  BOOST_TEST(course(c, 1, true).empty());
  BOOST_TEST(course(c, 1).size() == 1u);
  // Sloping: a tip, not a leg.
  w.openings = {hole({{60, 15}, {100, 8}, {100, 30}, {60, 30}})};
  c = lay(w);
  BOOST_TEST(course(c, 1, true).empty());
  // A neck of any shape is cut where it grows past 2 in: under a pointed sill, 20 wide and 20 high.
  w.openings = {hole({{50, 8}, {60, 28}, {40, 28}})};
  c = lay(w);
  BOOST_REQUIRE_EQUAL(course(c, 1, true).size(), 1u);
  CHECK_RING(course(c, 1, true)[0].shape.outer, {{49.5, 7}, {50.5, 7}, {50.5, 9}, {50, 8}, {49.5, 9}});
}

BOOST_AUTO_TEST_CASE(a_hole_stays_one_piece) {
  Wall w = plain_wall(100, 40);
  w.openings = {box(40, 8, 50, 13)};  // wholly inside course 1 (7 to 15.25), 1 in above its line
  const Case c = lay(w);
  BOOST_REQUIRE_EQUAL(course(c, 1).size(), 1u);
  BOOST_TEST(course(c, 1, true).empty());
  BOOST_REQUIRE_EQUAL(course(c, 1)[0].shape.holes.size(), 1u);
  BOOST_TEST(detail::signed_area(course(c, 1)[0].shape.holes[0]) == -50);
  // Past the wall's end there is no way round: both prongs are legs, or the lower one is.
  w.openings = {box(80, 8, 100, 13)};
  const Case open = lay(w);
  BOOST_REQUIRE_EQUAL(course(open, 1, true).size(), 1u);
  CHECK_RING(course(open, 1, true)[0].shape.outer, {{80, 7}, {100, 7}, {100, 8}, {80, 8}});
  CHECK_RING(course(open, 1)[0].shape.outer,
             {{0, 7}, {80, 7}, {80, 13}, {100, 13}, {100, 15.25}, {0, 15.25}});
}

BOOST_AUTO_TEST_CASE(narrow_things_are_reported) {
  // Two windows 1 in apart: an upright leg where the course goes on, a run where it does not.
  Wall w = plain_wall(100, 40);
  w.openings = {box(30, 10, 50, 38), box(51, 10, 70, 38)};
  Case c = lay(w);
  BOOST_REQUIRE_EQUAL(found(c, "thin_leg").size(), 2u);  // below and above
  BOOST_TEST(*found(c, "thin_leg")[0].measured == 1);
  BOOST_TEST(*found(c, "thin_leg")[0].course == 1);
  BOOST_TEST(course(c, 2).size() == 3u);
  // 1/2 in apart there is no room for a nail: nothing laid between them, no starter under it.
  w.openings = {box(30, 10, 50, 35), box(50.5, 10, 70, 35)};
  c = lay(w);
  BOOST_TEST(course(c, 2).size() == 2u);
  BOOST_REQUIRE(!found(c, "infill").empty());
  BOOST_TEST(*found(c, "infill")[0].measured == 0.5);
  BOOST_TEST(*found(c, "infill")[0].limit == 0.75);
  // The last course 1.5 in high.
  c = lay(plain_wall(100, 36.5));
  BOOST_REQUIRE_EQUAL(found(c, "low_last_course").size(), 1u);
  BOOST_TEST(*found(c, "low_last_course")[0].measured == 1.5);
  BOOST_TEST(course(c, 5).size() == 1u);
}

BOOST_AUTO_TEST_CASE(touching_points_do_not_connect) {
  // Two openings whose corners meet leave two runs that touch in a point.
  Wall w = plain_wall(100, 40);
  w.openings = {box(40, 0, 50, 4), box(50, 4, 60, 20)};
  const Case c = lay(w);
  BOOST_TEST(course(c, 0).size() == 2u);
  w.openings = {box(40, 0, 50, 4), box(49, 4, 60, 20)};
  BOOST_TEST(lay(w).runs.runs[0].shape.outer.size() > 0u);
}

BOOST_AUTO_TEST_CASE(lines_as_built_and_bare_walls) {
  Wall w = plain_wall(100, 40);
  w.start = Interval{-0.5, 0.5};
  w.openings = {box(30, 10, 60, 25)};
  const Case built = lay(w, 0, 7, 2);
  BOOST_TEST(course(built, 1).empty());
  BOOST_TEST(course(built, 2).size() == 2u);
  // Nothing under the seam: courses nailed already carry it.
  BOOST_REQUIRE_EQUAL(built.runs.starters.size(), 1u);
  check_starter(built.runs.starters[0], StarterPlace::head, {30, 25}, {60, 25});
  BOOST_TEST(found(built, "bare_below_first_line").empty());
  // A first line above the ground that does not follow: bare, and the course starts on a strip.
  w = plain_wall(100, 40);
  w.start = Interval{3, 4};
  const Case bare = lay(w, 3.5);
  BOOST_REQUIRE_EQUAL(found(bare, "bare_below_first_line").size(), 1u);
  BOOST_TEST(*found(bare, "bare_below_first_line")[0].measured == 3.5);
  BOOST_REQUIRE_EQUAL(bare.runs.starters.size(), 1u);
  check_starter(bare.runs.starters[0], StarterPlace::base, {0, 3.5}, {100, 3.5});
}

BOOST_AUTO_TEST_CASE(a_ripped_start_begins_on_its_base) {
  Wall w = plain_wall(100, 40);
  w.start = Interval{-7, -1};
  const Case c = lay(w, -3);
  CHECK_RING(course(c, 0)[0].shape.outer, {{0, 0}, {100, 0}, {100, 5.25}, {0, 5.25}});
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 1u);
  check_starter(c.runs.starters[0], StarterPlace::base, {0, 0}, {100, 0});
}

BOOST_AUTO_TEST_CASE(doors_split_the_starter) {
  Wall w = plain_wall(100, 40);
  w.start = Interval{-0.5, 0.5};
  w.openings = {box(40, 0, 60, 30)};
  const Case c = lay(w, 0.25);
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 3u);
  check_starter(c.runs.starters[0], StarterPlace::base, {0, 0.25}, {40, 0.25});
  check_starter(c.runs.starters[1], StarterPlace::base, {60, 0.25}, {100, 0.25});
  check_starter(c.runs.starters[2], StarterPlace::head, {40, 30}, {60, 30});
}

BOOST_AUTO_TEST_CASE(a_wall_that_widens_upward) {
  using K = EdgeKind;
  // The right side leans out over a lower roof, 12 in 12: at height y it is at 100 + y. Four courses of 7,
  // the last clipped by the top at 28. Course k's board is a parallelogram's end: 100 + 7k at its line, 8.25
  // more at its upper edge. Nothing drops along a slope, so the lap reaches it.
  const Case c =
      lay(make_wall({{0, 0}, {100, 0}, {128, 28}, {0, 28}}, {K::base, K::roof, K::top, K::corner}));
  BOOST_REQUIRE_EQUAL(c.runs.runs.size(), 4u);
  CHECK_RING(course(c, 0)[0].shape.outer, {{0, 0}, {100, 0}, {108.25, 8.25}, {0, 8.25}});
  CHECK_RING(course(c, 1)[0].shape.outer, {{0, 7}, {107, 7}, {115.25, 15.25}, {0, 15.25}});
  CHECK_RING(course(c, 2)[0].shape.outer, {{0, 14}, {114, 14}, {122.25, 22.25}, {0, 22.25}});
  CHECK_RING(course(c, 3)[0].shape.outer, {{0, 21}, {121, 21}, {128, 28}, {0, 28}});
  // Under the slope every course starts over nothing: one strip along all of it.
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 2u);
  check_starter(c.runs.starters[0], StarterPlace::base, {0, 0}, {100, 0});
  check_starter(c.runs.starters[1], StarterPlace::roof, {100, 0}, {128, 28});
  // 48 in 12 is steeper than 24 in 12: no strip. At 8.25 the side is at 100 + 8.25 / 4.
  const Case steep =
      lay(make_wall({{0, 0}, {100, 0}, {107, 28}, {0, 28}}, {K::base, K::wall, K::top, K::corner}));
  CHECK_RING(course(steep, 0)[0].shape.outer, {{0, 0}, {100, 0}, {102.0625, 8.25}, {0, 8.25}});
  BOOST_TEST(steep.runs.starters.size() == 1u);
  // Both sides lean out, 24 in 12 exactly: half an inch a side for each inch of height, and strips.
  const Case both =
      lay(make_wall({{0, 0}, {100, 0}, {114, 28}, {-14, 28}}, {K::base, K::roof, K::top, K::roof}));
  CHECK_RING(course(both, 1)[0].shape.outer, {{-3.5, 7}, {103.5, 7}, {107.625, 15.25}, {-7.625, 15.25}});
  BOOST_REQUIRE_EQUAL(both.runs.starters.size(), 3u);
  check_starter(both.runs.starters[0], StarterPlace::roof, {-14, 28}, {0, 0});
  check_starter(both.runs.starters[1], StarterPlace::base, {0, 0}, {100, 0});
  check_starter(both.runs.starters[2], StarterPlace::roof, {100, 0}, {114, 28});
}

BOOST_AUTO_TEST_CASE(a_base_that_climbs_over_a_lower_roof) {
  using K = EdgeKind;
  // Level to 60, then 6 in 12 up to (100, 20): at height y the roof is at 60 + 2y. Course 0 reaches it at
  // y = 8.25, 76.5; course 1 from 74 to 90.5; course 2 from 88 to the corner at (100, 20), then up to 22.25.
  const Wall w = make_wall({{0, 0}, {60, 0}, {100, 20}, {100, 40}, {0, 40}},
                           {K::base, K::roof, K::corner, K::top, K::corner});
  const Case c = lay(w);
  CHECK_RING(course(c, 0)[0].shape.outer, {{0, 0}, {60, 0}, {76.5, 8.25}, {0, 8.25}});
  CHECK_RING(course(c, 1)[0].shape.outer, {{0, 7}, {74, 7}, {90.5, 15.25}, {0, 15.25}});
  CHECK_RING(course(c, 2)[0].shape.outer, {{0, 14}, {88, 14}, {100, 20}, {100, 22.25}, {0, 22.25}});
  CHECK_RING(course(c, 3)[0].shape.outer, {{0, 21}, {100, 21}, {100, 29.25}, {0, 29.25}});
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 2u);
  check_starter(c.runs.starters[0], StarterPlace::base, {0, 0}, {60, 0});
  check_starter(c.runs.starters[1], StarterPlace::roof, {60, 0}, {100, 20});
  // Kept 2 square off the shingles, the roof's line rises by 2 sqrt(5) / 2 = sqrt(5) and meets the base
  // 2 sqrt(5) sooner; at the corner it is at 20 + sqrt(5).
  Wall clear = w;
  clear.edges[1].gap = 2;
  const Case off = lay(clear);
  const double s = std::sqrt(5.0);
  CHECK_RING(course(off, 0)[0].shape.outer, {{0, 0}, {60 - 2 * s, 0}, {76.5 - 2 * s, 8.25}, {0, 8.25}});
  CHECK_RING(course(off, 2)[0].shape.outer,
             {{0, 14}, {88 - 2 * s, 14}, {100, 20 + s}, {100, 22.25}, {0, 22.25}});
  // A tip of 0.014 in is all that 22.25 - (20 + sqrt(5)) leaves of course 2's right end; it is no leg.
  BOOST_TEST(course(off, 2, true).empty());
  check_starter(off.runs.starters[1], StarterPlace::roof, {60 - 2 * s, 0}, {100, 20 + s});
}

BOOST_AUTO_TEST_CASE(two_hundred_openings_that_touch_each_other_and_the_outline) {
  // A chequerboard of 40 columns of 10 and 10 rows of 7, openings on one colour: they meet in corners alone
  // and touch the outline on all four sides. Touching points do not connect: 200 parts of 10 x 7, each in one
  // course (what a board would have over the head above it is hidden), each on a strip of its own, 20 of them
  // at the base.
  Wall w = plain_wall(400, 70);
  for (int column = 0; column < 40; ++column)
    for (int row = column % 2; row < 10; row += 2)
      w.openings.push_back(box(10 * column, 7 * row, 10 * column + 10, 7 * row + 7));
  BOOST_REQUIRE_EQUAL(w.openings.size(), 200u);
  const Case c = lay(w);
  BOOST_TEST(c.region.parts.size() == 200u);
  BOOST_TEST(region_area(c.region, 0) == 400 * 70 / 2);
  BOOST_REQUIRE_EQUAL(c.runs.runs.size(), 200u);
  for (int k = 0; k < 10; ++k) {
    const std::vector<Run> runs = course(c, k);
    BOOST_REQUIRE_EQUAL(runs.size(), 20u);
    for (int i = 0; i < 20; ++i) {
      const double x = 20 * i + (k % 2 == 0 ? 10 : 0), y = 7 * k;
      CHECK_RING(runs[static_cast<std::size_t>(i)].shape.outer,
                 {{x, y}, {x + 10, y}, {x + 10, y + 7}, {x, y + 7}});
    }
  }
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 200u);
  std::size_t at_base = 0;
  for (const Starter& s : c.runs.starters) {
    at_base += s.where == StarterPlace::base ? 1 : 0;
    BOOST_TEST(s.to.x - s.from.x == 10);
  }
  BOOST_TEST(at_base == 20u);
  BOOST_TEST(c.runs.findings.empty());

  // Two hundred in one row, 2 wide, side by side from corner to corner, sill at 10, head at 20: two parts.
  // Below it course 1 is 3 high; above it course 2 is 20 to 22.25; one strip lies over all the heads.
  w = plain_wall(400, 70);
  for (int i = 0; i < 200; ++i) w.openings.push_back(box(2 * i, 10, 2 * i + 2, 20));
  const Case row = lay(w);
  BOOST_TEST(row.region.parts.size() == 2u);
  BOOST_TEST(region_area(row.region, 0) == 400 * 60);
  BOOST_REQUIRE_EQUAL(course(row, 1).size(), 1u);
  CHECK_RING(course(row, 1)[0].shape.outer, {{0, 7}, {400, 7}, {400, 10}, {0, 10}});
  BOOST_REQUIRE_EQUAL(course(row, 2).size(), 1u);
  CHECK_RING(course(row, 2)[0].shape.outer, {{0, 20}, {400, 20}, {400, 22.25}, {0, 22.25}});
  BOOST_REQUIRE_EQUAL(row.runs.starters.size(), 2u);
  check_starter(row.runs.starters[1], StarterPlace::head, {0, 20}, {400, 20});
}

BOOST_AUTO_TEST_CASE(edges_exactly_on_course_lines) {
  using K = EdgeKind;
  // Sill at 14, head at 28: both lines of the pole. Course 1 (7 to 15.25) shows to the sill and is notched by
  // its lap alone; course 2 is split; course 3 (21 to 29.25) too: what it would have over the head, 28
  // to 29.25, is hidden. Course 4 starts on the head.
  Wall w = plain_wall(100, 42);
  w.openings = {box(30, 14, 60, 28)};
  const Case c = lay(w);
  BOOST_REQUIRE_EQUAL(course(c, 1).size(), 1u);
  CHECK_RING(course(c, 1)[0].shape.outer,
             {{0, 7}, {100, 7}, {100, 15.25}, {60, 15.25}, {60, 14}, {30, 14}, {30, 15.25}, {0, 15.25}});
  for (int k : {2, 3}) {
    const double y = 7 * k;
    BOOST_REQUIRE_EQUAL(course(c, k).size(), 2u);
    CHECK_RING(course(c, k)[0].shape.outer, {{0, y}, {30, y}, {30, y + 8.25}, {0, y + 8.25}});
    CHECK_RING(course(c, k)[1].shape.outer, {{60, y}, {100, y}, {100, y + 8.25}, {60, y + 8.25}});
  }
  CHECK_RING(course(c, 4)[0].shape.outer, {{0, 28}, {100, 28}, {100, 36.25}, {0, 36.25}});
  BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 2u);
  check_starter(c.runs.starters[1], StarterPlace::head, {30, 28}, {60, 28});
  BOOST_TEST(c.runs.findings.empty());

  // A step down in the top, at 21: course 2's lap stops there. The top of the wall, 42, is a line as well: no
  // course begins at it.
  const Case step = lay(make_wall({{0, 0}, {100, 0}, {100, 21}, {70, 21}, {70, 42}, {0, 42}},
                                  {K::base, K::corner, K::top, K::corner, K::top, K::corner}));
  CHECK_RING(course(step, 2)[0].shape.outer,
             {{0, 14}, {100, 14}, {100, 21}, {70, 21}, {70, 22.25}, {0, 22.25}});
  CHECK_RING(course(step, 3)[0].shape.outer, {{0, 21}, {70, 21}, {70, 29.25}, {0, 29.25}});
  CHECK_RING(course(step, 5)[0].shape.outer, {{0, 35}, {70, 35}, {70, 42}, {0, 42}});
  BOOST_TEST(step.runs.runs.back().course == 5);

  // A step up in the base, at 14: of course 1 nothing is laid over it, where all of it would be hidden;
  // course 2 starts on it.
  const Case base = lay(make_wall({{0, 0}, {50, 0}, {50, 14}, {100, 14}, {100, 42}, {0, 42}},
                                  {K::base, K::corner, K::roof, K::corner, K::top, K::corner}));
  BOOST_REQUIRE_EQUAL(course(base, 1).size(), 1u);
  CHECK_RING(course(base, 1)[0].shape.outer, {{0, 7}, {50, 7}, {50, 15.25}, {0, 15.25}});
  CHECK_RING(course(base, 2)[0].shape.outer, {{0, 14}, {100, 14}, {100, 22.25}, {0, 22.25}});
  BOOST_REQUIRE_EQUAL(base.runs.starters.size(), 2u);
  check_starter(base.runs.starters[1], StarterPlace::roof, {50, 14}, {100, 14});
}

BOOST_AUTO_TEST_CASE(a_region_in_two_parts_has_runs_in_each) {
  using K = EdgeKind;
  // Two rooms, 40 x 50 each, joined by a neck 6 high from 20 to 26, whose trim is 3 (its edges meet) or 3.5
  // (they pass each other): nothing is left of it.
  for (double trim : {3.0, 3.5}) {
    Wall w = make_wall({{0, 0},
                        {40, 0},
                        {40, 20},
                        {60, 20},
                        {60, 0},
                        {100, 0},
                        {100, 50},
                        {60, 50},
                        {60, 26},
                        {40, 26},
                        {40, 50},
                        {0, 50}},
                       {K::base, K::wall, K::roof, K::wall, K::base, K::corner, K::top, K::wall, K::top,
                        K::wall, K::top, K::corner});
    w.edges[2].trim = w.edges[8].trim = trim;
    const Case c = lay(w);
    BOOST_REQUIRE_EQUAL(c.region.parts.size(), 2u);
    CHECK_RING(c.region.parts[0].outer, {{0, 0}, {40, 0}, {40, 50}, {0, 50}});
    CHECK_RING(c.region.parts[1].outer, {{60, 0}, {100, 0}, {100, 50}, {60, 50}});
    BOOST_REQUIRE_EQUAL(c.runs.runs.size(), 16u);  // 8 courses, the last from 49 to 50
    for (int k = 0; k < 8; ++k) {
      const double y = 7 * k, top = std::min(y + 8.25, 50.0);
      BOOST_REQUIRE_EQUAL(course(c, k).size(), 2u);
      CHECK_RING(course(c, k)[0].shape.outer, {{0, y}, {40, y}, {40, top}, {0, top}});
      CHECK_RING(course(c, k)[1].shape.outer, {{60, y}, {100, y}, {100, top}, {60, top}});
    }
    BOOST_REQUIRE_EQUAL(c.runs.starters.size(), 2u);
    check_starter(c.runs.starters[0], StarterPlace::base, {0, 0}, {40, 0});
    check_starter(c.runs.starters[1], StarterPlace::base, {60, 0}, {100, 0});
    BOOST_TEST(found(c, "low_last_course").size() == 2u);  // 1 in high, in each room
  }
}

BOOST_AUTO_TEST_CASE(laws_over_random_walls) {
  const auto count = static_cast<std::uint64_t>(lapwright_test::cases(400));
  for (std::uint64_t seed = 0; seed < count; ++seed) {
    const lapwright_test::RandomWall random = lapwright_test::random_wall(seed);
    const Case c = lay(random.wall, random.first_line);
    for (std::size_t i = 0; i < c.runs.runs.size(); ++i) {
      const Run& run = c.runs.runs[i];
      const double low = c.pole.lines[static_cast<std::size_t>(run.course)];
      const Box b = detail::bounds(run.shape.outer);
      BOOST_TEST(b.x_min == run.x_min);
      BOOST_TEST(b.x_max == run.x_max);
      BOOST_TEST(b.y_min >= low);
      BOOST_TEST(b.y_max <= low + c.rules.board.width);
      BOOST_TEST(detail::signed_area(run.shape.outer) > 0);
      for (Point p : run.shape.outer)
        BOOST_TEST(
            !(p.y < run.shape.outer[0].y || (p.y == run.shape.outer[0].y && p.x < run.shape.outer[0].x)));
      if (run.filler) BOOST_TEST(run.x_max - run.x_min >= 2 * c.rules.fasteners.end_edge - tolerance);
      if (i > 0) {
        const Run& before = c.runs.runs[i - 1];
        BOOST_TEST(
            (before.course < run.course || (before.course == run.course && before.filler <= run.filler)));
        if (before.course == run.course && before.filler == run.filler) BOOST_TEST(before.x_min <= run.x_min);
      }
    }
    for (const Starter& s : c.runs.starters) {
      BOOST_TEST(s.from.x < s.to.x);
      BOOST_TEST(boundary_along(c.region, s.from, s.to) != npos);
    }
    for (const Finding& f : c.runs.findings) {
      BOOST_TEST(f.wall == "wall");
      BOOST_TEST(f.course.has_value());
    }
  }
}
