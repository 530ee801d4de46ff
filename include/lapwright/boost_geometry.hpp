#pragma once
/// \file boost_geometry.hpp  For hosts that use Boost.Geometry: their rings and polygons in and out.
///
/// Templates on the Boost.Geometry concepts: any point, ring or polygon that a host has registered will do,
/// of any point order and closure. Only the core and geometries headers are included, no algorithm (those
/// cost many seconds a unit). Coordinates are inches, Cartesian. O(n).
#include <cstddef>
#include <type_traits>

#include <boost/geometry/core/access.hpp>
#include <boost/geometry/core/closure.hpp>
#include <boost/geometry/core/coordinate_dimension.hpp>
#include <boost/geometry/core/exterior_ring.hpp>
#include <boost/geometry/core/interior_rings.hpp>
#include <boost/geometry/core/point_order.hpp>
#include <boost/geometry/core/point_type.hpp>
#include <boost/geometry/core/ring_type.hpp>
#include <boost/geometry/core/tag.hpp>
#include <boost/geometry/core/tags.hpp>
#include <boost/geometry/geometries/concepts/check.hpp>
#include <boost/range/begin.hpp>
#include <boost/range/end.hpp>
#include <boost/range/value_type.hpp>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {

/// A host's ring as ours: counter-clockwise where its type says so, else as given; the closing point dropped.
/// A ring whose type says clockwise is turned round, so that a valid ring comes out counter-clockwise.
template <class HostRing>
Ring ring_from(const HostRing& host) {
  namespace bg = boost::geometry;
  using HostPoint = typename boost::range_value<HostRing>::type;
  static_assert(bg::dimension<HostPoint>::value == 2, "a wall face is flat: points of two coordinates");
  static_assert(std::is_same<typename bg::tag<HostRing>::type, bg::ring_tag>::value,
                "a ring is needed; of a polygon take polygon_from");
  Ring ring;
  for (auto it = boost::begin(host); it != boost::end(host); ++it)
    ring.push_back({static_cast<double>(bg::get<0>(*it)), static_cast<double>(bg::get<1>(*it))});
  if (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
  if (bg::point_order<HostRing>::value == bg::clockwise)
    for (std::size_t i = 1, j = ring.size(); i + 1 < j; ++i) {  // the first vertex stays the first
      --j;
      const Point p = ring[i];
      ring[i] = ring[j];
      ring[j] = p;
    }
  return ring;
}

/// A host's polygon as ours: outer ring counter-clockwise, holes clockwise, where the host's is valid.
template <class HostPolygon>
Polygon polygon_from(const HostPolygon& host) {
  namespace bg = boost::geometry;
  Polygon polygon;
  polygon.outer = ring_from(bg::exterior_ring(host));
  const auto& holes = bg::interior_rings(host);
  for (auto it = boost::begin(holes); it != boost::end(holes); ++it) polygon.holes.push_back(ring_from(*it));
  return polygon;
}

/// Our ring as a host's, in the order and closure that its type asks for. An outer ring of ours is
/// counter-clockwise; for a hole the host's order is the opposite, and comes out right the same way.
template <class HostRing>
HostRing ring_to(const Ring& ring) {
  namespace bg = boost::geometry;
  using HostPoint = typename boost::range_value<HostRing>::type;
  HostRing host;
  const std::size_t n = ring.size();
  const auto put = [&host](Point p) {
    HostPoint q;
    bg::set<0>(q, static_cast<typename bg::coordinate_type<HostPoint>::type>(p.x));
    bg::set<1>(q, static_cast<typename bg::coordinate_type<HostPoint>::type>(p.y));
    host.push_back(q);
  };
  const bool turn = bg::point_order<HostRing>::value == bg::clockwise;
  for (std::size_t i = 0; i < n; ++i) put(turn ? ring[(n - i) % n] : ring[i]);
  if (n > 0 && bg::closure<HostRing>::value == bg::closed) put(ring[0]);
  return host;
}

/// Our polygon as a host's: region parts, runs, pieces.
template <class HostPolygon>
HostPolygon polygon_to(const Polygon& polygon) {
  namespace bg = boost::geometry;
  using HostRing = typename bg::ring_type<HostPolygon>::type;
  HostPolygon host;
  bg::exterior_ring(host) = ring_to<HostRing>(polygon.outer);
  auto&& holes = bg::interior_rings(host);
  for (const Ring& hole : polygon.holes) holes.push_back(ring_to<HostRing>(hole));
  return host;
}

}  // namespace v0
}  // namespace lapwright
