#include <cmath>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include "hung_wall.hpp"

#include <lapwright/loads.hpp>

using namespace lapwright;

namespace {

const auto close_to = boost::test_tools::tolerance(1e-9);

/// Two courses of one board from end to end; the upper shows whole.
struct Stand : lapwright_test::HungWall {
  Stand() : HungWall(384, 2) {
    wall.outline[2].y = wall.outline[3].y = 15.25;
    courses.last_rip = 8.25;
    rules.loads.emplace();
    cover(0.125, 383.875);
  }
  Loads figure() const {
    Loads loads = begin_loads(rules);
    add_wall_loads(loads, wall, pole, courses, pieces, nail(), rules);
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
  BOOST_TEST(middle.piece == s.pieces[1].id);
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
