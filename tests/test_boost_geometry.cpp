// A host's Boost.Geometry polygons go in and come out the same, whatever their order and closure.
#include <boost/test/unit_test.hpp>

#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <boost/geometry/geometries/register/point.hpp>
#include <boost/geometry/geometries/ring.hpp>

#include <lapwright/boost_geometry.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/wall.hpp>

namespace bg = boost::geometry;
using namespace lapwright;

namespace host {
struct Place {
  float east = 0, up = 0;
};
}  // namespace host
BOOST_GEOMETRY_REGISTER_POINT_2D(host::Place, float, bg::cs::cartesian, east, up)

namespace {

const Polygon framed = {{{0, 0}, {8, 0}, {8, 6}, {0, 6}}, {{{2, 2}, {2, 4}, {5, 4}, {5, 2}}}};

template <class HostPolygon>
void there_and_back() {
  const HostPolygon out = polygon_to<HostPolygon>(framed);
  const Polygon back = polygon_from(out);
  BOOST_TEST((back.outer.size() == 4u));
  BOOST_TEST(back.outer[0].x == 0);
  BOOST_TEST(detail::signed_area(back.outer) == 48);
  BOOST_REQUIRE_EQUAL(back.holes.size(), 1u);
  BOOST_TEST(detail::signed_area(back.holes[0]) == -6);
  const std::size_t closing = bg::closure<HostPolygon>::value == bg::closed ? 1 : 0;
  BOOST_TEST(bg::exterior_ring(out).size() == 4 + closing);
}

}  // namespace

BOOST_AUTO_TEST_CASE(every_order_and_closure) {
  using P = bg::model::d2::point_xy<double>;
  there_and_back<bg::model::polygon<P, true, true>>();
  there_and_back<bg::model::polygon<P, true, false>>();
  there_and_back<bg::model::polygon<P, false, true>>();
  there_and_back<bg::model::polygon<P, false, false>>();
  there_and_back<bg::model::polygon<host::Place>>();
}

BOOST_AUTO_TEST_CASE(a_hosts_ring_is_a_walls_outline) {
  bg::model::ring<host::Place> outline;  // clockwise and closed, as Boost.Geometry's default
  outline.push_back({0, 0});
  outline.push_back({0, 100});
  outline.push_back({200, 100});
  outline.push_back({200, 0});
  outline.push_back({0, 0});
  Wall wall;
  wall.name = "south";
  wall.outline = ring_from(outline);
  wall.edges.assign(4, default_edge(EdgeKind::base));
  const Region region = siding_region(wall, Rules{});
  BOOST_REQUIRE_EQUAL(region.parts.size(), 1u);
  BOOST_TEST(region_area(region, -1) == 20000);
  BOOST_TEST(ring_from(bg::model::ring<host::Place>{}).empty());
}
