// Regions, marks and validity: what trim takes, what follows the first line, what openings leave.
#include <boost/test/unit_test.hpp>

#include <lapwright/detail/normal_wall.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/validity.hpp>
#include <lapwright/wall.hpp>

#include "random_wall.hpp"

using namespace lapwright;

namespace {

Wall make_wall(Ring outline, std::vector<Edge> edges) {
  Wall w;
  w.name = "south";
  w.outline = std::move(outline);
  w.edges = std::move(edges);
  return w;
}
Wall plain_wall(double width = 200, double height = 100) {
  return make_wall(
      {{0, 0}, {width, 0}, {width, height}, {0, height}},
      {{EdgeKind::base, 0, 0}, {EdgeKind::corner, 0, 0}, {EdgeKind::top, 0, 0}, {EdgeKind::corner, 0, 0}});
}
Opening polygon_opening(Ring outline, double trim) {
  Opening o;
  o.name = "vent";
  o.trim.assign(outline.size(), trim);
  o.gap.assign(outline.size(), 0);
  o.outline = std::move(outline);
  return o;
}
bool has(const Ring& ring, Point p) {
  for (Point q : ring)
    if (detail::distance(p, q) <= 1e-9) return true;
  return false;
}
double total_area(const Region& region) {
  double sum = 0;
  for (const Polygon& part : region.parts) sum += detail::area(part);
  return sum;
}
const Boundary* along(const Region& region, Point a, Point b) {
  const std::size_t i = boundary_along(region, a, b);
  return i == npos ? nullptr : &region.boundary[i];
}
std::size_t count_of(const std::vector<Finding>& findings, const std::string& code) {
  std::size_t n = 0;
  for (const Finding& f : findings) n += f.code == code ? 1 : 0;
  return n;
}

}  // namespace

BOOST_AUTO_TEST_CASE(normal_rings_know_their_edges) {
  const detail::NormalRing same = detail::normal_ring({{0, 0}, {4, 0}, {4, 3}, {0, 3}});
  BOOST_TEST(same.edge == (std::vector<std::size_t>{0, 1, 2, 3}), boost::test_tools::per_element());
  // Clockwise, a vertex twice, the first repeated at the end.
  const Ring given = {{0, 0}, {0, 3}, {0, 3}, {4, 3}, {4, 0}, {0, 0}};
  const detail::NormalRing turned = detail::normal_ring(given);
  BOOST_REQUIRE_EQUAL(turned.points.size(), 4u);
  BOOST_TEST(detail::signed_area(turned.points) == 12);
  for (std::size_t i = 0; i < 4; ++i) {
    const Point a = turned.points[i], b = turned.points[(i + 1) % 4];
    const Point c = given[turned.edge[i]], d = given[(turned.edge[i] + 1) % given.size()];
    BOOST_TEST(((a == c && b == d) || (a == d && b == c)));
  }
}

BOOST_AUTO_TEST_CASE(each_edge_takes_its_own_depth) {
  Wall w = make_wall({{0, 0}, {384, 0}, {384, 108}, {192, 204}, {0, 108}}, {});
  for (EdgeKind k : {EdgeKind::base, EdgeKind::corner, EdgeKind::rake, EdgeKind::rake, EdgeKind::corner})
    w.edges.push_back(default_edge(k));
  w.edges[1].trim = 5.5;
  const Region region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  const Ring& ring = region.parts[0].outer;
  BOOST_TEST(has(ring, {3.625, 0}));
  BOOST_TEST(has(ring, {384 - 5.625, 0}));
  // Rake 6 in 12: square depth 5.625 is 5.625 sqrt(5)/2 upright (similar triangles).
  const double drop = 5.625 * std::sqrt(5.0) / 2;
  BOOST_TEST(has(ring, {192, 204 - drop}));
  BOOST_TEST(has(ring, {3.625, 108 + 3.625 / 2 - drop}));
  BOOST_TEST(ring.size() == 5u);
  const Boundary* rake = along(region, {192, 204 - drop}, {100, 204 - drop - 46});
  BOOST_REQUIRE(rake != nullptr);
  BOOST_TEST((rake->meets == Meets::rake));
  BOOST_TEST(rake->edge == 3);
  BOOST_TEST(rake->trim == 5.5);
  BOOST_TEST(along(region, {10, 50}, {20, 50}) == nullptr);
}

BOOST_AUTO_TEST_CASE(a_step_between_two_depths_in_one_line_is_square) {
  Wall w = make_wall({{0, 0}, {200, 0}, {200, 100}, {120, 100}, {0, 100}}, {{EdgeKind::base, 0, 0},
                                                                            {EdgeKind::corner, 0, 0},
                                                                            {EdgeKind::top, 2, 0},
                                                                            {EdgeKind::top, 6, 0},
                                                                            {EdgeKind::corner, 0, 0}});
  const Region region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(has(region.parts[0].outer, {120, 98}));
  BOOST_TEST(has(region.parts[0].outer, {120, 94}));
  BOOST_TEST(total_area(region) == 80 * 98 + 120 * 94);
}

BOOST_AUTO_TEST_CASE(reflex_corners_are_mitred_and_necks_part_the_region) {
  // An L: the inside corner's trim meets at (96, 44).
  Wall w = make_wall({{0, 0}, {200, 0}, {200, 50}, {100, 50}, {100, 150}, {0, 150}}, {});
  w.edges = {{EdgeKind::base, 0, 0},   {EdgeKind::corner, 4, 0}, {EdgeKind::roof, 6, 0},
             {EdgeKind::corner, 4, 0}, {EdgeKind::top, 0, 0},    {EdgeKind::corner, 4, 0}};
  const Region region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(has(region.parts[0].outer, {96, 44}));
  BOOST_TEST(total_area(region) == (96 - 4) * 150 + 100 * 44);

  // A waist of 10 in with 6 in of trim on both sides: two parts.
  Wall waist = make_wall(
      {{0, 0}, {100, 0}, {100, 50}, {55, 60}, {100, 70}, {100, 120}, {0, 120}, {0, 70}, {45, 60}, {0, 50}},
      {});
  waist.edges.assign(10, {EdgeKind::corner, 6, 0});
  BOOST_TEST(siding_region(waist, Rules{}).parts.size() == 2u);

  // Trim wider than the wall: nothing, and a finding.
  Wall thin = plain_wall(10, 100);
  thin.edges[1].trim = thin.edges[3].trim = 6;
  const Region none = siding_region(thin, Rules{});
  BOOST_TEST(none.parts.empty());
  BOOST_TEST(count_of(none.findings, "no_region") == 1u);
  BOOST_TEST(wall_heights(thin, none).marks.empty());
}

BOOST_AUTO_TEST_CASE(a_vanishing_edge_leaves_its_neighbours_lines) {
  // A corner cut off by 2 in, under 6 in of trim each side of it: the neighbours meet as if it were not
  // there.
  Wall w = make_wall({{0, 2}, {2, 0}, {100, 0}, {100, 100}, {0, 100}}, {});
  w.edges.assign(5, {EdgeKind::corner, 6, 0});
  w.edges[0].trim = 0.5;
  const Region region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(has(region.parts[0].outer, {6, 6}));
  BOOST_TEST(total_area(region) == 88 * 88);
}

BOOST_AUTO_TEST_CASE(flat_ridges_and_stubs_narrower_than_their_trim_vanish) {
  // A ridge 4 wide at 74, rakes 6 in 12 with sqrt(5) square to them: 2.5 upright. Moved, they are
  // y = 47.5 + x / 2 and y = 47.5 + (100 - x) / 2, and meet at (50, 72.5), under the flat.
  Wall ridge = make_wall({{0, 0}, {100, 0}, {100, 50}, {52, 74}, {48, 74}, {0, 50}}, {});
  ridge.edges = {{EdgeKind::base, 0, 0},
                 {EdgeKind::corner, 0, 0},
                 {EdgeKind::rake, std::sqrt(5.0), 0},
                 {EdgeKind::top, 0, 0},
                 {EdgeKind::rake, std::sqrt(5.0), 0},
                 {EdgeKind::corner, 0, 0}};
  Region region = siding_region(ridge, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(region.parts[0].outer.size() == 5u);
  BOOST_TEST(has(region.parts[0].outer, {100, 47.5}));
  BOOST_TEST(has(region.parts[0].outer, {50, 72.5}));
  BOOST_TEST(has(region.parts[0].outer, {0, 47.5}));
  BOOST_TEST(total_area(region) == 100 * 47.5 + 100 * 25 / 2, boost::test_tools::tolerance(1e-12));

  // A chimney's stub 6 wide on a level top with 2 of trim, its sides 4 each: more than there is. Its whole
  // outline vanishes and the top goes straight on at 48.
  Wall stub = make_wall({{0, 0}, {100, 0}, {100, 50}, {53, 50}, {53, 70}, {47, 70}, {47, 50}, {0, 50}}, {});
  stub.edges = {{EdgeKind::base, 0, 0},   {EdgeKind::corner, 0, 0}, {EdgeKind::top, 2, 0},
                {EdgeKind::corner, 4, 0}, {EdgeKind::top, 0, 0},    {EdgeKind::corner, 4, 0},
                {EdgeKind::top, 2, 0},    {EdgeKind::corner, 0, 0}};
  region = siding_region(stub, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(region.parts[0].outer.size() == 4u);
  BOOST_TEST(has(region.parts[0].outer, {100, 48}));
  BOOST_TEST(has(region.parts[0].outer, {0, 48}));
  BOOST_TEST(total_area(region) == 4800, boost::test_tools::tolerance(1e-12));

  // A step of 1 in, its riser's trim 3, the lower top's 4: right at the inside corner, (57, 46), and at the
  // outer one, (57, 51).
  Wall step = make_wall({{0, 0}, {100, 0}, {100, 50}, {60, 50}, {60, 51}, {0, 51}}, {});
  step.edges = {{EdgeKind::base, 0, 0},   {EdgeKind::corner, 0, 0}, {EdgeKind::top, 4, 0},
                {EdgeKind::corner, 3, 0}, {EdgeKind::top, 0, 0},    {EdgeKind::corner, 0, 0}};
  region = siding_region(step, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(has(region.parts[0].outer, {57, 46}));
  BOOST_TEST(has(region.parts[0].outer, {57, 51}));
  BOOST_TEST(total_area(region) == 100 * 46 + 57 * 5, boost::test_tools::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(openings_grow_side_by_side_touch_overlap_and_pass) {
  Wall w = plain_wall();
  w.openings = {rectangular_opening("W1", {20, 30}, 30, 40), rectangular_opening("W2", {55, 30}, 30, 40),
                rectangular_opening("W3", {160, 60}, 38, 38)};
  w.openings[0].gap = {0.125, 0.125, 0.25, 0.125};
  const Region region = siding_region(w, Rules{});
  // W1 and W2 are 5 in apart and grow 3.625 each: one hole. W3's growth passes the corner and the top.
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_REQUIRE_EQUAL(region.parts[0].holes.size(), 1u);
  BOOST_TEST(detail::signed_area(region.parts[0].holes[0]) < 0);
  const double hole = (88.625 - 16.375) * (73.75 - 26.375);
  const double corner = (200 - 156.375) * (100 - 56.375);
  BOOST_TEST(total_area(region) == 200 * 100 - hole - corner, boost::test_tools::tolerance(1e-12));
  BOOST_TEST(region.openings[0].outline[0].x == 16.375);
  const Boundary* head = along(region, {20, 73.75}, {80, 73.75});
  BOOST_REQUIRE(head != nullptr);
  BOOST_TEST((head->meets == Meets::opening));
  BOOST_TEST(head->opening_edge == 2);
}

BOOST_AUTO_TEST_CASE(polygons_grow_mitred) {
  Wall w = plain_wall();
  // A right triangle: legs move by 3, the mitre at the right angle is at (-3, -3) from it.
  w.openings = {polygon_opening({{60, 30}, {100, 30}, {60, 70}}, 3)};
  Region region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(region.openings.size(), 1u);
  BOOST_TEST(has(region.openings[0].outline, {57, 27}));
  BOOST_TEST(has(region.openings[0].outline, {100 + 3 + 3 * std::sqrt(2.0), 27}));
  BOOST_TEST(region.findings.empty());
  // Sharper than 29 degrees, the mitre is over four times the trim.
  w.openings = {polygon_opening({{60, 30}, {160, 30}, {60, 40}}, 2)};
  region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(count_of(region.findings, "long_mitre"), 1u);
  BOOST_TEST(*region.findings[0].limit == 8);
  BOOST_TEST(*region.findings[0].measured > 8);
  // With an inside corner that the growth closes: the union, not a ring that crosses itself.
  w.openings = {
      polygon_opening({{60, 30}, {100, 30}, {100, 70}, {82, 70}, {82, 40}, {78, 40}, {78, 70}, {60, 70}}, 3)};
  region = siding_region(w, Rules{});
  BOOST_TEST(total_area(region) == 200 * 100 - 46 * 46, boost::test_tools::tolerance(1e-12));
  BOOST_TEST(detail::signed_area(region.openings[0].outline) == 46 * 46, boost::test_tools::tolerance(1e-12));
}

BOOST_AUTO_TEST_CASE(openings_that_touch_at_a_corner_leave_valid_rings) {
  Wall w = plain_wall();
  w.openings = {polygon_opening({{50, 20}, {70, 20}, {70, 40}, {50, 40}}, 0),
                polygon_opening({{70, 40}, {90, 40}, {90, 60}, {70, 60}}, 0),
                polygon_opening({{70, 20}, {110, 20}, {90, 30}}, 0)};
  const Region region = siding_region(w, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(region.parts[0].holes.size() == 3u);
  for (const Ring& hole : region.parts[0].holes) BOOST_TEST(detail::why_not_simple(hole) == "");
}

BOOST_AUTO_TEST_CASE(base_edges_and_doors_follow_the_first_line) {
  Wall w = plain_wall();
  w.start = Interval{-0.5, 0.5};
  w.openings = {rectangular_opening("D", {80, 0}, 36, 80)};
  w.openings[0].trim = {0, 3.5, 3.5, 3.5};
  w.openings[0].gap = {0, 0.125, 0.25, 0.125};
  for (double line : {-0.375, 0.25}) {
    const Region region = siding_region(w, Rules{}, line);
    BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
    BOOST_TEST(has(region.parts[0].outer, {0, line}));
    BOOST_TEST(has(region.parts[0].outer, {76.375, line}));
    BOOST_TEST(total_area(region) == 200 * (100 - line) - 43.25 * (83.75 - line));
    const Boundary* base = along(region, {0, line}, {76.375, line});
    BOOST_REQUIRE(base != nullptr);
    BOOST_TEST(base->follows);
  }
  // Before any base follows; and a start that the base does not lie in.
  BOOST_TEST(has(siding_region(w, Rules{}).parts[0].outer, {0, 0}));
  w.start = Interval{-7, -1};
  BOOST_TEST(has(siding_region(w, Rules{}, -2.0).parts[0].outer, {0, 0}));
  // By default within one division above the lowest point.
  w.start.reset();
  BOOST_TEST(has(siding_region(w, Rules{}, 0.0).parts[0].outer, {0, 0}));
}

BOOST_AUTO_TEST_CASE(a_following_base_slides_along_its_neighbours) {
  // A level base, then a roof that rises 6 in 12 from its end: the corner stays on the roof's line.
  Wall w = make_wall({{0, 0}, {100, 0}, {200, 50}, {200, 150}, {0, 150}}, {{EdgeKind::base, 0, 0},
                                                                           {EdgeKind::roof, 0, 0},
                                                                           {EdgeKind::corner, 0, 0},
                                                                           {EdgeKind::top, 0, 0},
                                                                           {EdgeKind::corner, 0, 0}});
  w.start = Interval{-0.5, 0.5};
  BOOST_TEST(has(siding_region(w, Rules{}, 0.5).parts[0].outer, {101, 0.5}));
  BOOST_TEST(has(siding_region(w, Rules{}, -0.5).parts[0].outer, {99, -0.5}));
  // A neighbour in one line that stays: a riser between them.
  w = make_wall({{0, 0}, {100, 0}, {200, 0}, {200, 150}, {0, 150}}, {{EdgeKind::base, 0, 0},
                                                                     {EdgeKind::roof, 0, 0},
                                                                     {EdgeKind::corner, 0, 0},
                                                                     {EdgeKind::top, 0, 0},
                                                                     {EdgeKind::corner, 0, 0}});
  w.start = Interval{-0.5, 0.5};
  const Region region = siding_region(w, Rules{}, 0.5);
  BOOST_TEST(has(region.parts[0].outer, {100, 0}));
  BOOST_TEST(has(region.parts[0].outer, {100, 0.5}));
  BOOST_TEST(total_area(region) == 100 * 149.5 + 100 * 150);
}

BOOST_AUTO_TEST_CASE(marks_are_the_level_edges_one_each) {
  Wall w = plain_wall();
  w.start = Interval{-0.5, 0.5};
  // A head that another opening parts into two stretches is one mark still.
  w.openings = {rectangular_opening("W1", {40, 30}, 100, 40),
                polygon_opening({{80, 65}, {100, 65}, {90, 90}}, 0),
                polygon_opening({{160, 20}, {170, 30}, {160, 40}, {150, 30}}, 0)};
  const WallHeights h = wall_heights(w, siding_region(w, Rules{}));
  BOOST_TEST(h.lowest == 0);
  BOOST_TEST(h.highest == 100);
  struct Expected {
    double height;
    bool below;
    std::string label;
  };
  const std::vector<Expected> expected = {{20, true, "vent sill"},  {26.375, true, "W1 sill"},
                                          {40, false, "vent head"}, {73.75, false, "W1 head"},
                                          {90, false, "vent head"}, {100, true, "top"}};
  BOOST_REQUIRE_EQUAL(h.marks.size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    BOOST_TEST(h.marks[i].height == expected[i].height);
    BOOST_TEST(h.marks[i].board_below == expected[i].below);
    BOOST_TEST(h.marks[i].label == expected[i].label);
    BOOST_TEST(!h.marks[i].base);
  }
  // Without a start the pole decides whether the base is a mark.
  w.start.reset();
  const WallHeights open = wall_heights(w, siding_region(w, Rules{}));
  BOOST_REQUIRE_EQUAL(open.marks.size(), expected.size() + 1);
  BOOST_TEST(open.marks[0].base);
  BOOST_TEST(open.marks[0].height == 0);
}

BOOST_AUTO_TEST_CASE(area_above_a_height) {
  Wall w = make_wall({{0, 0}, {100, 0}, {50, 100}},
                     {{EdgeKind::base, 0, 0}, {EdgeKind::rake, 0, 0}, {EdgeKind::rake, 0, 0}});
  const Region region = siding_region(w, Rules{});
  BOOST_TEST(region_area(region, -10) == 5000);
  BOOST_TEST(region_area(region, 0) == 5000);
  BOOST_TEST(region_area(region, 50) == 1250);
  BOOST_TEST(region_area(region, 100) == 0);
}

BOOST_AUTO_TEST_CASE(either_direction_gives_the_same_region) {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    Wall w = lapwright_test::random_wall(seed).wall;
    const Region one = siding_region(w, Rules{});
    std::reverse(w.outline.begin(), w.outline.end());
    std::reverse(w.edges.begin(), w.edges.end());
    std::rotate(w.edges.begin(), w.edges.begin() + 1, w.edges.end());
    const Region other = siding_region(w, Rules{});
    BOOST_TEST(total_area(one) == total_area(other), boost::test_tools::tolerance(1e-9));
    // Every edge of every part is labelled, and the labels close the rings.
    double area = 0;
    for (const Boundary& b : one.boundary) {
      area += (b.a.x * b.b.y - b.b.x * b.a.y) / 2;
      BOOST_TEST((b.edge >= 0) != (b.opening >= 0));
    }
    BOOST_TEST(std::abs(area - total_area(one)) <= 1e-6);
  }
}

BOOST_AUTO_TEST_CASE(what_cannot_be_read_is_refused) {
  Wall w = plain_wall();
  w.edges.pop_back();
  w.openings = {polygon_opening({{1, 1}, {2, 1}, {2, 2}}, 1)};
  w.openings[0].trim.pop_back();
  try {
    siding_region(w, Rules{});
    BOOST_ERROR("not refused");
  } catch (const Refused& refused) {
    BOOST_REQUIRE_EQUAL(refused.faults.size(), 2u);
    BOOST_TEST(refused.faults[0].path == "edges");
    BOOST_TEST(refused.faults[1].path == "openings[0].trim");
  }
}

BOOST_AUTO_TEST_CASE(simple_or_why_not) {
  using detail::why_not_simple;
  BOOST_TEST(why_not_simple({{0, 0}, {4, 0}, {4, 3}, {0, 3}}) == "");
  BOOST_TEST(why_not_simple({{0, 3}, {4, 3}, {4, 0}, {0, 0}, {0, 3}}) == "");
  BOOST_TEST(why_not_simple({{0, 0}, {8, 0}, {8, 8}, {4, 4}, {0, 8}}) == "");
  BOOST_TEST(why_not_simple({{0, 0}, {8, 0}, {8, 0}, {0, 0}}) != "");
  BOOST_TEST(why_not_simple({{0, 0}, {8, 0}, {16, 0}}) != "");
  BOOST_TEST(why_not_simple({{0, 0}, {8, 8}, {8, 0}, {0, 6}}) == "edge 0 meets edge 2");
  BOOST_TEST(why_not_simple({{0, 0}, {8, 0}, {8, 8}, {8, 4}, {8, 10}, {0, 10}}) != "");
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    const lapwright_test::RandomWall random = lapwright_test::random_wall(seed);
    BOOST_TEST(why_not_simple(random.wall.outline) == "");
  }
}

BOOST_AUTO_TEST_CASE(inside_and_overlapping) {
  using detail::insides_overlap;
  using detail::lies_inside;
  const Ring wall = {{0, 0}, {100, 0}, {100, 50}, {60, 50}, {60, 30}, {40, 30}, {40, 50}, {0, 50}};
  BOOST_TEST(lies_inside({{10, 0}, {20, 0}, {20, 40}, {10, 40}}, wall));     // a door at the base
  BOOST_TEST(!lies_inside({{10, -1}, {20, -1}, {20, 40}, {10, 40}}, wall));  // through the base
  BOOST_TEST(!lies_inside({{30, 20}, {70, 20}, {70, 40}, {30, 40}}, wall));  // across the bay
  BOOST_TEST(!lies_inside({{40, 35}, {40, 45}, {60, 45}, {60, 35}}, wall));  // in the bay, sides on its sides
  BOOST_TEST(!lies_inside({{10, 50}, {90, 50}, {90, 20}, {10, 20}}, wall));  // its top across the bay
  BOOST_TEST(lies_inside({{0, 0}, {100, 0}, {100, 30}, {0, 30}}, wall));     // touching all round
  BOOST_TEST(lies_inside(wall, wall));
  const Ring box = {{0, 0}, {10, 0}, {10, 10}, {0, 10}};
  BOOST_TEST(!insides_overlap(box, {{10, 0}, {20, 0}, {20, 10}, {10, 10}}));  // side by side
  BOOST_TEST(!insides_overlap(box, {{10, 10}, {20, 10}, {20, 20}}));          // at a corner
  BOOST_TEST(insides_overlap(box, {{9, 9}, {20, 9}, {20, 20}, {9, 20}}));
  BOOST_TEST(insides_overlap(box, {{-5, 4}, {15, 4}, {15, 6}, {-5, 6}}));  // a cross: no corner inside
  BOOST_TEST(insides_overlap(box, box));
  BOOST_TEST(insides_overlap(box, {{2, 2}, {4, 2}, {3, 4}}));  // one in the other
  const Ring diamond = {{5, 0}, {10, 5}, {5, 10}, {0, 5}};
  BOOST_TEST(insides_overlap(box, diamond));                          // corners on the sides
  BOOST_TEST(!insides_overlap(diamond, {{10, 0}, {10, 5}, {5, 0}}));  // along a slope
}
