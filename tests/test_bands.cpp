// CourseBands: the faces of courses, by hand and over random walls, without any reference library.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/bands.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/wall.hpp>

#include "area_between.hpp"
#include "cases.hpp"
#include "random_wall.hpp"

using namespace lapwright;
using lapwright_test::area_between;

#ifndef LAPW_SANITIZED
#include "count_allocations.hpp"
#endif

namespace {

struct Face {
  std::size_t band;
  double area;
  Ring points;
};
std::vector<Face> faces_of(const CourseBands& bands) {
  std::vector<Face> faces;
  for (const BandRing& ring : bands.rings()) {
    const Point* begin = bands.points() + ring.first;
    faces.push_back({ring.band, ring.area, Ring(begin, begin + ring.count)});
  }
  return faces;
}
std::vector<Face> cut(const std::vector<Ring>& rings, const std::vector<double>& lines) {
  CourseBands bands;
  for (const Ring& ring : rings) bands.add_ring(ring.data(), ring.size());
  bands.cut(lines);
  return faces_of(bands);
}
std::string text(const Ring& ring) {
  std::string s;
  for (Point p : ring) s += "(" + std::to_string(p.x) + "," + std::to_string(p.y) + ")";
  return s;
}
void check_face(const Face& face, std::size_t band, double area, const Ring& points) {
  BOOST_TEST(face.band == band);
  BOOST_TEST(face.area == area);
  BOOST_CHECK_MESSAGE(face.points == points, text(face.points) << " is not " << text(points));
}

/// No two edges cross, whatever touches: signs in long double, which holds a product of two doubles.
bool crosses_itself(const Ring& ring) {
  using Real = long double;
  const auto side = [](Point a, Point b, Point c) {
    const Real turn = (static_cast<Real>(b.x) - a.x) * (static_cast<Real>(c.y) - a.y) -
                      (static_cast<Real>(b.y) - a.y) * (static_cast<Real>(c.x) - a.x);
    return turn > 0 ? 1 : turn < 0 ? -1 : 0;
  };
  const std::size_t n = ring.size();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j) {
      const Point a = ring[i], b = ring[(i + 1) % n], c = ring[j], d = ring[(j + 1) % n];
      if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0) return true;
    }
  return false;
}

double area_of(const Region& region, double low, double high) {
  double sum = 0;
  for (const Polygon& part : region.parts) {
    sum += area_between(part.outer, low, high);
    for (const Ring& hole : part.holes) sum += area_between(hole, low, high);
  }
  return sum;
}
std::vector<Ring> rings_of(const Region& region) {
  std::vector<Ring> rings;
  for (const Polygon& part : region.parts) {
    rings.push_back(part.outer);
    rings.insert(rings.end(), part.holes.begin(), part.holes.end());
  }
  return rings;
}

}  // namespace

BOOST_AUTO_TEST_CASE(a_gable_with_a_window_by_hand) {
  // Twelve wide, eaves at 2, ridge at 8 (one in one); a window from 4 to 8 wide, 1 to 5 high. Bands of 3:
  // band 0, 0 to 3: left of the window the rake leaves x = y - 2, so that at 3 it is at 1.
  const Ring outline = {{0, 0}, {12, 0}, {12, 2}, {6, 8}, {0, 2}};
  const Ring window = {{4, 1}, {4, 5}, {8, 5}, {8, 1}};  // clockwise
  const std::vector<Face> faces = cut({outline, window}, {0, 3, 6, 9});
  BOOST_REQUIRE_EQUAL(faces.size(), 3u);
  // 12 x 3 less both rakes' triangles of 1/2 less the window's 4 x 2.
  check_face(faces[0], 0, 36 - 1 - 8,
             {{0, 0}, {12, 0}, {12, 2}, {11, 3}, {8, 3}, {8, 1}, {4, 1}, {4, 3}, {1, 3}, {0, 2}});
  // 3 to 6: from 10 wide to 4 wide, 7 x 3, less 4 x 2 of the window.
  check_face(faces[1], 1, 21 - 8, {{1, 3}, {4, 3}, {4, 5}, {8, 5}, {8, 3}, {11, 3}, {8, 6}, {4, 6}});
  check_face(faces[2], 2, 4, {{4, 6}, {8, 6}, {6, 8}});
}

BOOST_AUTO_TEST_CASE(a_window_inside_a_band_is_a_hole_and_one_on_its_lines_parts_it) {
  const Ring outline = {{0, 0}, {10, 0}, {10, 6}, {0, 6}};
  const std::vector<Face> inside = cut({outline, {{4, 1}, {4, 2}, {6, 2}, {6, 1}}}, {0, 3, 6});
  BOOST_REQUIRE_EQUAL(inside.size(), 3u);
  check_face(inside[0], 0, 30, {{0, 0}, {10, 0}, {10, 3}, {0, 3}});
  check_face(inside[1], 0, -2, {{4, 1}, {4, 2}, {6, 2}, {6, 1}});
  check_face(inside[2], 1, 30, {{0, 3}, {10, 3}, {10, 6}, {0, 6}});
  // Sill and head exactly on lines; within the tolerance of them is on them.
  for (double off : {0.0, 4e-7, -4e-7}) {
    const std::vector<Face> parted =
        cut({outline, {{4, 0 + off}, {4, 3 - off}, {6, 3 - off}, {6, 0 + off}}}, {0, 3, 6});
    BOOST_REQUIRE_EQUAL(parted.size(), 3u);
    check_face(parted[0], 0, 12, {{0, 0}, {4, 0}, {4, 3}, {0, 3}});
    check_face(parted[1], 0, 12, {{6, 0}, {10, 0}, {10, 3}, {6, 3}});
    check_face(parted[2], 1, 30, {{0, 3}, {10, 3}, {10, 6}, {0, 6}});
  }
}

BOOST_AUTO_TEST_CASE(openings_that_touch_leave_rings_that_do_not_touch_themselves) {
  // Two windows that meet in a corner at (5, 2), inside a band: each a hole of its own.
  const Ring outline = {{0, 0}, {10, 0}, {10, 4}, {0, 4}};
  const std::vector<Face> holes =
      cut({outline, {{3, 1}, {3, 2}, {5, 2}, {5, 1}}, {{5, 2}, {5, 3}, {7, 3}, {7, 2}}}, {0, 4});
  BOOST_REQUIRE_EQUAL(holes.size(), 3u);
  BOOST_TEST(holes[0].area == 40);
  BOOST_TEST(holes[1].area == -2);
  BOOST_TEST(holes[2].area == -2);
  // One that touches the wall's edge with a corner: the same.
  const std::vector<Face> diamond = cut({outline, {{0, 2}, {1, 3}, {2, 2}, {1, 1}}}, {0, 4});
  BOOST_REQUIRE_EQUAL(diamond.size(), 2u);
  BOOST_TEST(std::min(diamond[0].area, diamond[1].area) == -2);
  BOOST_TEST(std::max(diamond[0].area, diamond[1].area) == 40);
}

BOOST_AUTO_TEST_CASE(nothing_where_nothing_is) {
  CourseBands bands;
  bands.cut({0, 7, 14});
  BOOST_TEST(bands.rings().empty());
  const Ring box = {{0, 0}, {10, 0}, {10, 7}, {0, 7}};
  bands.add_ring(box.data(), box.size());
  bands.add_ring(box.data(), 2);  // no ring
  bands.cut({0});
  BOOST_TEST(bands.rings().empty());
  bands.cut({7, 14, 21});  // it ends where they begin
  BOOST_TEST(bands.rings().empty());
  bands.cut({-14, -7, 0});
  BOOST_TEST(bands.rings().empty());
  bands.cut({-7, 0, 7});
  BOOST_TEST(bands.rings().size() == 1u);
  bands.load(Region{});
  bands.cut({-7, 0, 7});
  BOOST_TEST(bands.rings().empty());
  BOOST_TEST(bands.point_count() == 0u);
}

#ifndef LAPW_SANITIZED
BOOST_AUTO_TEST_CASE(nothing_allocates_once_warm) {
  CourseBands bands;
  Rules rules;
  rules.board.lengths = {144};
  std::vector<Region> regions;
  std::vector<double> lines;
  for (int k = 0; k < 100; ++k) lines.push_back(-350 + 7 * k);
  for (std::uint64_t seed = 0; seed < 200; ++seed)
    regions.push_back(siding_region(lapwright_test::random_wall(seed).wall, rules));
  // Every wall, touching openings and all, twice over; then lines that are dragged.
  for (int turn = 0; turn < 3; ++turn) {
    const std::size_t before = lapwright_test::allocations;
    for (const Region& region : regions) {
      bands.load(region);
      bands.cut(lines);
    }
    if (turn > 0) BOOST_TEST(lapwright_test::allocations == before);
  }
  const std::size_t before = lapwright_test::allocations;
  for (int i = 0; i < 16; ++i) {
    lines[60] += 1 / 16.0;
    bands.cut(lines);
  }
  BOOST_TEST(lapwright_test::allocations == before);
}
#endif

BOOST_AUTO_TEST_CASE(laws_over_random_walls) {
  CourseBands warm;
  std::size_t seen = 0, corners_on_lines = 0, unshared = 0;
  const auto count = static_cast<std::uint64_t>(lapwright_test::cases(1500));
  for (std::uint64_t seed = 0; seed < count; ++seed) {
    const lapwright_test::RandomWall random = lapwright_test::random_wall(seed);
    Rules rules;
    rules.board.lengths = {144};
    const Region region = siding_region(random.wall, rules);
    if (region.parts.empty()) continue;
    double top = -1e9;
    for (const Boundary& b : region.boundary) top = std::max(top, b.a.y);
    // Every third wall in uneven courses, from below it or from amid it, to past it or not.
    lapwright_test::Random r(seed + 77);
    std::vector<double> lines = {random.first_line + (r.once_in(4) ? 7 * r.whole(1, 5) : 0)};
    const double end = r.once_in(4) ? top - 20 : top + 1;
    while (lines.back() < end) lines.push_back(lines.back() + (seed % 3 == 0 ? r.whole(1, 160) / 16.0 : 7));
    if (lines.size() < 2) continue;
    warm.load(region);
    warm.cut(lines);
    const std::vector<Face> faces = faces_of(warm);

    // A new one that gets the rings one by one gives the same bits.
    const std::vector<Face> again = cut(rings_of(region), lines);
    BOOST_REQUIRE_EQUAL(again.size(), faces.size());
    for (std::size_t i = 0; i < faces.size(); ++i)
      BOOST_TEST((again[i].points == faces[i].points && again[i].area == faces[i].area &&
                  again[i].band == faces[i].band));

    std::set<std::pair<double, double>> corners;
    for (const Ring& ring : rings_of(region))
      for (Point p : ring) corners.insert({p.x, p.y});
    std::vector<double> area(lines.size() - 1, 0);
    std::vector<std::set<double>> below(lines.size()), above(lines.size());
    std::size_t before = 0;
    for (const Face& face : faces) {
      ++seen;
      BOOST_TEST(face.band >= before);
      before = face.band;
      BOOST_REQUIRE_LT(face.band, area.size());
      area[face.band] += face.area;
      BOOST_TEST(face.area != 0);
      const double measured = detail::signed_area(face.points);
      BOOST_TEST((measured > 0) == (face.area > 0));
      BOOST_TEST(std::abs(measured - face.area) <= 1e-9 * std::max(1.0, std::abs(measured)));
      BOOST_TEST(face.points.size() >= 3u);
      BOOST_CHECK_MESSAGE(!crosses_itself(face.points), "seed " << seed << ": " << text(face.points));
      std::set<std::pair<double, double>> met;
      for (Point p : face.points) {
        BOOST_TEST(met.insert({p.x, p.y}).second);  // no corner twice
        BOOST_TEST((p.y > face.points[0].y || (p.y == face.points[0].y && p.x >= face.points[0].x)));
        BOOST_TEST(p.y >= lines[face.band]);
        BOOST_TEST(p.y <= lines[face.band + 1]);
        if (p.y == lines[face.band + 1]) below[face.band + 1].insert(p.x);
        if (p.y == lines[face.band]) above[face.band].insert(p.x);
      }
    }
    for (std::size_t k = 0; k < area.size(); ++k) {
      const double expected = area_of(region, lines[k], lines[k + 1]);
      BOOST_CHECK_MESSAGE(std::abs(area[k] - expected) <= 1e-9 * std::max(10.0, expected),
                          "seed " << seed << " band " << k << ": " << area[k] << " is not " << expected);
    }
    // Neighbours share their corners bit for bit, but where an edge begins or ends on the line, and but for
    // the tip of a spike thinner than 1e-9, which is nothing in one band and a corner in the next.
    for (std::size_t k = 1; k + 1 < lines.size(); ++k) {
      std::vector<double> differ;
      std::set_symmetric_difference(below[k].begin(), below[k].end(), above[k].begin(), above[k].end(),
                                    std::back_inserter(differ));
      for (double x : differ) {
        const auto near = corners.lower_bound({x - 1e-6, -1e9});
        bool corner = false;
        for (auto c = near; c != corners.end() && c->first <= x + 1e-6; ++c)
          corner = corner || std::abs(c->second - lines[k]) <= 2e-6;
        if (!corner) ++unshared;
        ++corners_on_lines;
      }
    }
  }
  BOOST_CHECK_GT(seen, count);
  BOOST_CHECK_LE(unshared, 1 + count / 300);
  BOOST_TEST_MESSAGE(seen << " rings, " << corners_on_lines << " corners on lines");
}

BOOST_AUTO_TEST_CASE(a_wall_far_from_the_datum_has_the_same_faces) {
  // Moved by whole inches, snapped coordinates stay what they are, and so do all differences. At the greatest
  // lengths a double has steps of 1.5e-11 in, and edges that all but coincide may do so or not.
  struct Far {
    double dx, dy, error;
  };
  std::size_t specks = 0;  // rings of 1e-10 in
  const auto count = static_cast<std::uint64_t>(lapwright_test::cases(200));
  for (const Far far : {Far{4096, -1024, 1e-9}, Far{98304, -65536, 1e-6}}) {
    const auto move = [&](Ring& ring) {
      for (Point& p : ring) p = {p.x + far.dx, p.y + far.dy};
    };
    for (std::uint64_t seed = 0; seed < count; ++seed) {
      const lapwright_test::RandomWall random = lapwright_test::random_wall(seed);
      Rules rules;
      rules.board.lengths = {144};
      const Region here = siding_region(random.wall, rules);
      Wall moved = random.wall;
      move(moved.outline);
      for (Opening& o : moved.openings) move(o.outline);
      const Region there = siding_region(moved, rules);
      if (here.parts.size() != there.parts.size() || rings_of(here).size() != rings_of(there).size())
        ++specks;
      std::vector<double> lines, far_lines;
      for (int k = 0; k < 60; ++k) {
        lines.push_back(random.first_line + 7 * k);
        far_lines.push_back(lines.back() + far.dy);
      }
      std::vector<double> area(lines.size(), 0), far_area(lines.size(), 0);
      CourseBands bands;
      bands.load(here);
      bands.cut(lines);
      for (const BandRing& ring : bands.rings()) area[ring.band] += ring.area;
      bands.load(there);
      bands.cut(far_lines);
      for (const BandRing& ring : bands.rings()) far_area[ring.band] += ring.area;
      for (std::size_t k = 0; k < lines.size(); ++k)
        BOOST_CHECK_MESSAGE(std::abs(area[k] - far_area[k]) <= far.error * std::max(10.0, area[k]),
                            "seed " << seed << " band " << k << ": " << area[k] - far_area[k]);
    }
  }
  BOOST_CHECK_LE(specks, 1 + count / 1000);
}
