#include <cmath>
#include <cstdint>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/error.hpp>
#include <lapwright/framing.hpp>

using lapwright::lay_studs;
using lapwright::Stud;
using lapwright::Wall;

namespace {

Wall plain_wall(double left, double right) {
  Wall wall;
  wall.name = "w";
  wall.outline = {{left, 0}, {right, 0}, {right, 108}, {left, 108}};
  wall.edges.assign(4, lapwright::default_edge(lapwright::EdgeKind::corner));
  return wall;
}

std::vector<double> centres(const Wall& wall) {
  std::vector<double> all;
  for (const Stud& stud : lay_studs(wall)) all.push_back(stud.centre);
  return all;
}

bool same(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i)
    if (std::abs(a[i] - b[i]) > 1e-9) return false;
  return true;
}

}  // namespace

// 3/4 x length in feet + 1 studs at 16 in on centre: 16 for 20 ft (Griffith, "Carpentry", sec. 77).
BOOST_AUTO_TEST_CASE(a_plain_wall) {
  const std::vector<Stud> studs = lay_studs(plain_wall(0, 240));
  BOOST_TEST(studs.size() == 16u);
  BOOST_TEST(studs.front().centre == 0.75);
  BOOST_TEST(studs[1].centre == 16.75);
  BOOST_TEST(studs.back().centre == 239.25);
  for (const Stud& stud : studs) BOOST_TEST(stud.width == 1.5);
}

BOOST_AUTO_TEST_CASE(end_studs_stand_where_the_layout_does_not_reach) {
  BOOST_TEST(same(centres(plain_wall(0, 40)), {0.75, 16.75, 32.75, 39.25}));
  // The layout begins in the wall, or far left of it.
  BOOST_TEST(same(centres(plain_wall(-20, 20)), {-19.25, 0.75, 16.75, 19.25}));
  BOOST_TEST(same(centres(plain_wall(1600, 1640)), {1600.75, 1616.75, 1632.75, 1639.25}));
}

BOOST_AUTO_TEST_CASE(without_a_spacing_the_list_is_all_but_those_beside_openings) {
  Wall wall = plain_wall(0, 100);
  wall.framing.spacing = 0;
  wall.framing.studs = {60, 20, 20};
  BOOST_TEST(same(centres(wall), {20, 60}));
  wall.openings.push_back(lapwright::rectangular_opening("W", {30, 20}, 24, 30));
  BOOST_TEST(same(centres(wall), {20, 28.5, 55.5, 60}));
  wall.framing.around_openings = false;
  BOOST_TEST(same(centres(wall), {20, 60}));
}

BOOST_AUTO_TEST_CASE(openings_have_their_own) {
  Wall wall = plain_wall(0, 96);
  wall.openings.push_back(lapwright::rectangular_opening("W", {34.25, 20}, 24, 30));
  wall.framing.studs = {48.75, 47};
  const std::vector<Stud> studs = lay_studs(wall);
  // 32.75 is both a layout stud and the pair's centre: one, and as wide as the pair.
  std::vector<double> expected = {0.75, 16.75, 32.75, 47, 48.75, 59.75, 64.75, 80.75, 95.25};
  BOOST_TEST(same(centres(wall), expected));
  BOOST_TEST(studs[2].width == 3.0);
  BOOST_TEST(studs[5].width == 3.0);
  wall.openings[0].rectangle = false;  // a vent of any shape has none
  expected = {0.75, 16.75, 32.75, 47, 48.75, 64.75, 80.75, 95.25};
  BOOST_TEST(same(centres(wall), expected));
}

BOOST_AUTO_TEST_CASE(ascending_and_in_place_whatever_the_wall) {
  std::uint64_t state = 7;
  const auto next = [&](double low, double high) {
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * static_cast<double>(state >> 11) / 9007199254740992.0;
  };
  for (int i = 0; i < 500; ++i) {
    const double left = next(-500, 500);
    Wall wall = plain_wall(left, left + next(10, 800));
    wall.framing.spacing = next(6, 30);
    wall.framing.first = next(-600, 600);
    wall.framing.stud_width = next(1, 4);
    const std::vector<Stud> studs = lay_studs(wall);
    BOOST_TEST_REQUIRE(studs.size() >= 2u);
    for (std::size_t s = 1; s < studs.size(); ++s) BOOST_TEST(studs[s - 1].centre < studs[s].centre);
    // Every place of the layout in the wall has its stud.
    for (int n = 0; n < 400; ++n) {
      const double x = wall.framing.first + n * wall.framing.spacing;
      if (x < left || x > wall.outline[1].x) continue;
      bool found = false;
      for (const Stud& stud : studs) found = found || std::abs(stud.centre - x) < 1e-6;
      BOOST_TEST(found);
    }
  }
}

BOOST_AUTO_TEST_CASE(refuses_a_spacing_of_nothing) {
  Wall wall = plain_wall(0, 100);
  wall.framing.spacing = 1e-9;
  BOOST_CHECK_THROW(lay_studs(wall), lapwright::Refused);
}
