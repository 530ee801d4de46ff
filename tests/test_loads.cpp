#include <cmath>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/loads.hpp>

using namespace lapwright;

namespace {

const auto close_to = boost::test_tools::tolerance(1e-9);

struct Stand {
  Wall wall;
  Rules rules;
  Pole pole;
  WallCourses courses;
  std::vector<Piece> pieces;
  Stand() {
    wall.name = "south";
    wall.outline = {{0, 0}, {384, 0}, {384, 15.25}, {0, 15.25}};
    wall.edges.assign(4, default_edge(EdgeKind::corner));
    rules.loads.emplace();
    pole.lines = {0, 7};
    pole.exposures = {7};
    courses.last_course = 1;
    add("south-00-1", 0, 0.125, 383.875, 8.25);
    add("south-01-1", 1, 0.125, 383.875, 8.25);
  }
  void add(std::string id, int course, double x0, double x1, double height) {
    Piece p;
    p.id = std::move(id);
    p.course = course;
    p.y = pole.lines[static_cast<std::size_t>(course)];
    p.outline = {{x0, p.y}, {x1, p.y}, {x1, p.y + height}, {x0, p.y + height}};
    p.x_min = x0;
    p.x_max = x1;
    p.length = x1 - x0;
    pieces.push_back(p);
  }
  Loads figure() const {
    const Fastening f = place_fasteners(wall, {}, pole, courses, pieces, {}, rules);
    Loads loads = begin_loads(rules);
    add_wall_loads(loads, wall, pole, courses, pieces, f, rules);
    return loads;
  }
};

}  // namespace

BOOST_AUTO_TEST_CASE(zones_of_a_wall) {
  const Stand s;
  const Loads loads = s.figure();
  BOOST_TEST_REQUIRE(loads.zones.size() == 2u);
  const LoadFigures& middle = loads.zones[0];
  const LoadFigures& edge = loads.zones[1];
  BOOST_TEST(middle.zone == 4);
  BOOST_TEST(edge.zone == 5);
  BOOST_TEST(edge.edge_width == 36);  // 28 x 40 ft, 15 ft high: a tenth is 33.6 in, 3 ft the least
  BOOST_TEST(edge.outward_psf > middle.outward_psf);
  // Two rows of nails at 25 studs: 0.75, 16.75, ... 383.25; within 36 in of an end three on each side
  // (the last stud but one stands at 368.75).
  BOOST_TEST(edge.nails == 2 * 6);
  BOOST_TEST(middle.nails == 2 * 19);
  // The sums: outward pressure on the whole face that shows, by zone; borders lie midway between nails.
  const double shows = 7 + 8.25;
  BOOST_TEST(
      middle.total_demand_lb + edge.total_demand_lb ==
          (middle.outward_psf * (344.75 - 40.75) + edge.outward_psf * (40.75 + 39.25 - 0.25)) * shows / 144,
      close_to);
  // The worst nail of zone 4 carries a full bay of the course that shows most.
  BOOST_TEST(middle.demand_lb == middle.outward_psf * 16 * 8.25 / 144, close_to);
  BOOST_TEST(middle.ratio == middle.demand_lb / middle.capacity_lb, close_to);
  BOOST_TEST(middle.piece == "south-01-1");
  for (const std::string& text : loads.assumptions) BOOST_TEST(!text.empty());
  BOOST_TEST(loads.assumptions.front().find("not an approval") != std::string::npos);
}

BOOST_AUTO_TEST_CASE(a_shallow_nail_counts_nothing) {
  Stand s;
  s.rules.fasteners.length = 1.25;  // 1/2 in in the stud
  const Loads loads = s.figure();
  BOOST_TEST(loads.zones[0].capacity_lb == 0);
  BOOST_TEST(loads.zones[0].ratio == 1e9);
}

BOOST_AUTO_TEST_CASE(no_figures_beyond_the_method) {
  Stand s;
  s.rules.loads->mean_roof_height = 12 * 61;
  const Loads loads = s.figure();
  BOOST_TEST(loads.zones.empty());
  bool said = false;
  for (const std::string& text : loads.assumptions)
    said = said || text.find("No figures") != std::string::npos;
  BOOST_TEST(said);
}

BOOST_AUTO_TEST_CASE(more_wind_more_demand_denser_wood_more_capacity) {
  Stand s;
  const double before = s.figure().zones[1].ratio;
  s.rules.loads->wind_speed = 140;
  const double windy = s.figure().zones[1].ratio;
  BOOST_TEST(windy == before * (140.0 * 140) / (115.0 * 115), close_to);
  s.rules.loads->specific_gravity = 0.55;
  BOOST_TEST(s.figure().zones[1].ratio < windy);
}
