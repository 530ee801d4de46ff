#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/layout.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/tape.hpp>
#include <lapwright/pieces.hpp>

#include "cases.hpp"
#include "random_run.hpp"

using namespace lapwright;
using lapwright_test::between;
using lapwright_test::Random;
using lapwright_test::random_run;

namespace {

/// One wall, one course, its run given by hand, the region's boundary all around as told.
struct Bench {
  Wall wall;
  Region region;
  Runs runs;
  Pole pole;
  Rules rules;

  Bench() {
    wall.name = "south";
    pole.lines = {0, 7, 14, 21};
    pole.exposures = {7, 7, 7};
    rules.board.lengths = {144};
    region.parts.push_back({{{0, 0}, {144, 0}, {144, 100}, {0, 100}}, {}});
  }
  void run(int course, Ring outer, std::vector<Ring> holes = {}, bool filler = false) {
    Run r;
    r.course = course;
    r.filler = filler;
    r.x_min = r.x_max = outer[0].x;
    for (Point p : outer) {
      r.x_min = std::min(r.x_min, p.x);
      r.x_max = std::max(r.x_max, p.x);
    }
    r.shape = {std::move(outer), std::move(holes)};
    runs.runs.push_back(std::move(r));
  }
  void side(Point a, Point b, Meets meets) {
    Boundary s;
    s.a = a;
    s.b = b;
    s.meets = meets;
    region.boundary.push_back(s);
  }
  std::vector<Piece> cut(const std::vector<Joint>& joints = {}) const {
    return cut_pieces(wall, region, runs, joints, pole, rules);
  }
};

Joint joint(double x, int course = 0, std::size_t run = 0, bool left = true, bool right = true) {
  Joint j;
  j.course = course;
  j.x = j.stud = x;
  j.run = run;
  j.left_factory = left;
  j.right_factory = right;
  return j;
}

std::vector<std::string> calls(const Piece& piece) {
  std::vector<std::string> all;
  for (const Cut& cut : piece.cuts) all.push_back(cut.callout);
  return all;
}
void check_calls(const Piece& piece, const std::vector<std::string>& expected) {
  const std::vector<std::string> got = calls(piece);
  BOOST_TEST(got == expected, boost::test_tools::per_element());
}

using lapwright_test::cases;

/// A random run with joints wherever chance puts them, through notches and holes too.
Bench random_bench(std::uint64_t seed, std::vector<Joint>& joints) {
  Random r(seed);
  Bench bench;
  bench.pole.lines = {between(r, -20, 20), 0, 0};
  bench.rules.board.width = r.once_in(2) ? 8.25 : between(r, 5, 12);
  bench.pole.lines[1] = bench.pole.lines[0] + bench.rules.board.width * 0.8;
  bench.pole.lines[2] = bench.pole.lines[1] + bench.rules.board.width * 0.8;
  bench.rules.joints.gap = r.once_in(2) ? 0 : 0.125;
  Run run;
  run.shape = random_run(r, bench.pole.lines[0], bench.rules.board.width, true, true);
  const Box box = detail::bounds(run.shape.outer);
  run.x_min = box.x_min;
  run.x_max = box.x_max;
  bench.runs.runs.push_back(run);
  for (int n = r.whole(0, 3); n > 0; --n)
    joints.push_back(joint(between(r, box.x_min, box.x_max), 0, 0, r.once_in(2), r.once_in(2)));
  std::sort(joints.begin(), joints.end(), [](const Joint& a, const Joint& b) { return a.x < b.x; });
  for (std::size_t i = 1; i < joints.size();)
    if (joints[i].x - joints[i - 1].x < 1)
      joints.erase(joints.begin() + static_cast<std::ptrdiff_t>(i));
    else
      ++i;
  return bench;
}

double piece_area(const Piece& piece) {
  double sum = detail::signed_area(piece.outline);
  for (const Ring& hole : piece.holes) sum += detail::signed_area(hole);
  return sum;
}

}  // namespace

BOOST_AUTO_TEST_CASE(a_joint_parts_a_run_and_its_ends_are_the_boards_own) {
  Bench bench;
  bench.rules.joints.gap = 0.125;
  bench.side({3.625, 100}, {3.625, 0}, Meets::corner);
  bench.side({200.4, 0}, {200.4, 100}, Meets::opening);
  bench.run(0, {{3.625, 0}, {200.4, 0}, {200.4, 8.25}, {3.625, 8.25}});
  const std::vector<Piece> pieces = bench.cut({joint(96.75)});
  BOOST_REQUIRE(pieces.size() == 2);
  const Piece &a = pieces[0], &b = pieces[1];
  BOOST_TEST(a.id == "south-00-1");
  BOOST_TEST(b.id == "south-00-2");
  BOOST_TEST(a.x_max == 96.6875);
  BOOST_TEST(b.x_min == 96.8125);
  BOOST_TEST(a.length == 93.0625);
  BOOST_TEST(a.callout == "93 1/16");
  BOOST_TEST((a.left.meets == Meets::corner && !a.left.factory && a.left.seal));
  BOOST_TEST((a.right.meets == Meets::joint && a.right.factory && !a.right.seal));
  BOOST_TEST((b.left.meets == Meets::joint && b.left.factory && !b.left.seal));
  BOOST_TEST((b.right.meets == Meets::opening && !b.right.factory && b.right.seal));
  BOOST_TEST((a.from == Hand::right));
  BOOST_TEST((b.from == Hand::left));
  BOOST_REQUIRE(a.cuts.size() == 1);
  BOOST_TEST((a.cuts[0].kind == CutKind::crosscut && a.cuts[0].tool == Tool::shears && a.cuts[0].seal));
  BOOST_TEST((a.cuts[0].front == std::vector<Point>{{0, 0}, {0, 8.25}}));
  BOOST_TEST((a.cuts[0].back == std::vector<Point>{{93.0625, 0}, {93.0625, 8.25}}));
  check_calls(a, {"square at 93 1/16, from right"});
  BOOST_TEST(a.cuts[0].back_callout == "square at 93 1/16, from left");
  check_calls(b, {"square at 103 9/16, from left"});
}

BOOST_AUTO_TEST_CASE(a_run_without_joints_has_two_field_ends_even_at_board_length) {
  Bench bench;
  bench.side({0, 100}, {0, 0}, Meets::corner);
  bench.side({144, 0}, {144, 100}, Meets::wall);
  bench.run(0, {{0, 0}, {144, 0}, {144, 8.25}, {0, 8.25}});
  const Piece piece = bench.cut().at(0);
  BOOST_TEST((!piece.left.factory && !piece.right.factory));
  BOOST_TEST((piece.right.meets == Meets::wall));
  check_calls(piece, {"square left end", "square at 144, from left"});
}

BOOST_AUTO_TEST_CASE(notches_rips_rakes_and_holes_are_called_as_they_are_made) {
  Bench bench;
  bench.run(0,
            {{0, 0},
             {100, 0},
             {100, 3},
             {97, 3},
             {97, 6},
             {100, 6},
             {100, 8.25},
             {63.53, 8.25},
             {63.53, 4.53},
             {20.28, 4.53},
             {20.28, 8.25},
             {16.5, 8.25}},
            {{{30, 2}, {30, 3.25}, {33.4, 3.25}, {33.4, 2}}});
  const Piece piece = bench.cut().at(0);
  check_calls(piece, {"square right end", "square right end", "rake left: 100 bottom, 83 1/2 top, from right",
                      "notch right end, at 3, 3 up to 6 up, from right",
                      "notch top, 36 7/16 to 79 3/4, leave 4 1/2, from right",
                      "hole, 66 9/16 to 70, 2 up to 3 1/4 up, from right"});
  BOOST_TEST(*piece.cuts[2].long_point == 100);
  BOOST_TEST(*piece.cuts[2].short_point == 83.5);
}

BOOST_AUTO_TEST_CASE(pieces_give_back_the_run_but_for_the_gaps) {
  for (int i = 0; i < cases(4000); ++i) {
    std::vector<Joint> joints;
    Bench bench = random_bench(static_cast<std::uint64_t>(i), joints);
    double sum = 0;
    for (const Piece& piece : bench.cut(joints)) sum += piece_area(piece);
    // The gaps, as pieces of a run that is cut with no gap on both sides of each.
    const double half = bench.rules.joints.gap / 2;
    Bench fine = bench;
    fine.rules.joints.gap = 0;
    std::vector<Joint> twice;
    for (const Joint& j : joints) {
      twice.push_back(j);
      twice.back().x = j.x - half;
      twice.push_back(j);
      twice.back().x = j.x + half;
    }
    double all = 0, gaps = 0;
    for (const Piece& piece : fine.cut(twice)) {
      all += piece_area(piece);
      const double middle = (piece.x_min + piece.x_max) / 2;
      for (const Joint& j : joints)
        if (std::fabs(middle - j.x) < half) gaps += piece_area(piece);
    }
    const double whole = detail::area(bench.runs.runs[0].shape);
    if (std::fabs(all - whole) > 1e-7 * whole + 1e-6)
      BOOST_ERROR("case " << i << ": " << all << " of " << whole);
    if (std::fabs(sum - (whole - gaps)) > 1e-7 * whole + 1e-6)
      BOOST_ERROR("case " << i << ": " << sum << " with gaps of " << gaps << " of " << whole);
  }
}

BOOST_AUTO_TEST_CASE(outlines_cuts_and_ends_keep_their_laws) {
  for (int i = 0; i < cases(4000); ++i) {
    std::vector<Joint> joints;
    Bench bench = random_bench(static_cast<std::uint64_t>(i), joints);
    const double width = bench.rules.board.width;
    for (const Piece& piece : bench.cut(joints)) {
      const auto fault = [&](const char* what) {
        BOOST_ERROR("case " << i << ", " << piece.id << ": " << what);
      };
      const Ring& ring = piece.outline;
      const std::size_t n = ring.size();
      if (n < 3 || !(detail::signed_area(ring) > 0)) fault("not counter-clockwise");
      for (const Ring& hole : piece.holes)
        if (!(detail::signed_area(hole) < 0)) fault("a hole is not clockwise");
      for (Point p : ring) {
        if (p.y < ring[0].y || (p.y == ring[0].y && p.x < ring[0].x))
          fault("starts elsewhere than at its lowest");
        if (p.x < piece.x_min || p.x > piece.x_max || p.y < piece.y || p.y > piece.y + width)
          fault("outside its blank");
      }
      if (piece.length != piece.x_max - piece.x_min) fault("length");

      // Each outline edge: is it to be cut, and how often is it?
      struct Segment {
        Point a, b;
        const Cut* cut;
      };
      std::vector<Segment> cut_edges;
      for (const Cut& cut : piece.cuts) {
        for (std::size_t k = 0; k + 1 < cut.front.size(); ++k)
          cut_edges.push_back({cut.front[k], cut.front[k + 1], &cut});
        if (cut.front.size() != cut.back.size()) fault("front and back differ in places");
        for (std::size_t k = 0; k < cut.front.size(); ++k) {
          const Point f = cut.front[k], b = cut.back[k];
          if (b.x != piece.length - f.x || b.y != f.y) fault("back is not the front mirrored");
          if (piece.length - b.x != f.x) fault("back of the back is not the front");
          if (f.x < 0 || f.x > piece.length || f.y < 0 || f.y > width + 1e-9) fault("a cut leaves the blank");
        }
        const bool several = cut.front.size() > 2;
        if ((cut.kind == CutKind::notch) != several || (cut.tool == Tool::saw) != several)
          fault("kind or tool");
        if ((cut.kind == CutKind::rake) != cut.long_point.has_value()) fault("long point");
        if (cut.callout.empty() || cut.back_callout.empty() || cut.print.empty()) fault("no words");
      }
      std::size_t matched = 0;
      const auto count = [&](Point a, Point b) {
        int times = 0;
        for (const Segment& s : cut_edges) {
          const auto near = [&](Point p, Point q) {
            return p.x + piece.x_min == q.x && std::fabs(p.y + piece.y - q.y) < 1e-9;
          };
          if ((near(s.a, a) && near(s.b, b)) || (near(s.a, b) && near(s.b, a))) ++times;
        }
        matched += static_cast<std::size_t>(times);
        return times;
      };
      bool left_upright = false, right_upright = false;
      for (std::size_t k = 0; k < n; ++k) {
        const Point a = ring[k], b = ring[(k + 1) % n];
        const bool long_edge = a.y == b.y && (a.y == piece.y || a.y == piece.y + width);
        const bool left = a.x == b.x && a.x == piece.x_min, right = a.x == b.x && a.x == piece.x_max;
        left_upright = left_upright || left;
        right_upright = right_upright || right;
        const bool own = long_edge || (left && piece.left.factory) || (right && piece.right.factory);
        if (count(a, b) != (own ? 0 : 1))
          fault(own ? "an edge of the board's own is cut" : "an edge is not cut once");
      }
      for (const Ring& hole : piece.holes)
        for (std::size_t k = 0; k < hole.size(); ++k)
          if (count(hole[k], hole[(k + 1) % hole.size()]) != 1) fault("a hole's edge is not cut once");
      if (matched != cut_edges.size()) fault("a cut along no edge");
      if (piece.left.factory && (!left_upright || piece.left.meets != Meets::joint))
        fault("left factory end");
      if (piece.right.factory && (!right_upright || piece.right.meets != Meets::joint))
        fault("right factory end");
      if ((piece.left.factory && piece.left.seal) || (piece.right.factory && piece.right.seal))
        fault("a factory end is sealed");
      if (piece.left.factory != piece.right.factory && (piece.from == Hand::left) != piece.left.factory)
        fault("measured from the other end than the factory's");

      // Inside corners join edges to one cut; outside corners part them.
      for (const Cut& cut : piece.cuts) {
        const bool closed = cut.front.front() == cut.front.back() && cut.front.size() > 2;
        if (closed) continue;
        int turns = 0;
        for (std::size_t k = 1; k + 1 < cut.front.size(); ++k)
          turns += detail::cross(cut.front[k - 1], cut.front[k], cut.front[k + 1]) > 0 ? 1 : -1;
        if (static_cast<std::size_t>(std::abs(turns)) != cut.front.size() - 2)
          fault("a notch turns both ways");
      }
      for (std::size_t k = 0; k < n; ++k) {
        const Point a = ring[(k + n - 1) % n], b = ring[k], c = ring[(k + 1) % n];
        if (detail::cross(a, b, c) >= 0) continue;
        bool inside_a_cut = false;
        for (const Cut& cut : piece.cuts)
          for (std::size_t m = 1; m + 1 < cut.front.size(); ++m)
            inside_a_cut = inside_a_cut || (cut.front[m].x + piece.x_min == b.x &&
                                            std::fabs(cut.front[m].y + piece.y - b.y) < 1e-9);
        if (!inside_a_cut) fault("an inside corner between two cuts");
      }
    }
  }
}

BOOST_AUTO_TEST_CASE(a_layout_carried_through_every_turn_and_back_is_the_same_bits) {
  using detail::carry;
  using detail::Lie;
  const Lie lies[] = {{false, false}, {true, false}, {false, true}, {true, true}};
  for (int i = 0; i < cases(1000); ++i) {
    std::vector<Joint> joints;
    Bench bench = random_bench(static_cast<std::uint64_t>(i), joints);
    const double height = detail::snap_layout(bench.rules.board.width);
    for (const Piece& piece : bench.cut(joints))
      for (const Cut& cut : piece.cuts)
        for (std::size_t k = 0; k < cut.front.size(); ++k) {
          const Point p = cut.front[k];
          BOOST_REQUIRE((carry(p, Lie{false, true}, piece.length, height) == cut.back[k]));
          for (const Lie a : lies) {
            const Point once = carry(p, a, piece.length, height);
            BOOST_REQUIRE((carry(once, a, piece.length, height) == p));
            for (const Lie b : lies) {
              const Point twice = carry(once, b, piece.length, height);
              BOOST_REQUIRE((twice == carry(p, then(a, b), piece.length, height)));
              BOOST_REQUIRE((carry(carry(twice, b, piece.length, height), a, piece.length, height) == p));
            }
          }
        }
  }
}

BOOST_AUTO_TEST_CASE(an_end_meets_what_most_of_it_lies_along) {
  Bench bench;
  // Left: 5 in along a window, 3.25 in beside a filler. Right: a rake's tip over a lower roof.
  bench.side({10, 20}, {10, 3.25}, Meets::opening);
  bench.side({0, 40}, {0, 0}, Meets::corner);
  bench.side({108, 4}, {91, 12.5}, Meets::rake);
  bench.side({100, 0}, {108, 4}, Meets::roof);
  bench.run(0, {{10, 0}, {100, 0}, {108, 4}, {99.5, 8.25}, {10, 8.25}});
  bench.run(0, {{0, 0}, {10, 0}, {10, 3.25}, {0, 3.25}}, {}, true);
  const std::vector<Piece> pieces = bench.cut();
  BOOST_REQUIRE(pieces.size() == 2);
  BOOST_TEST((pieces[0].left.meets == Meets::opening));
  BOOST_TEST((pieces[0].right.meets == Meets::rake));
  BOOST_TEST(pieces[1].id == "south-00-f1");
  BOOST_TEST((pieces[1].left.meets == Meets::corner));
  BOOST_TEST((pieces[1].right.meets == Meets::filler));
}

BOOST_AUTO_TEST_CASE(a_pointed_end_at_a_joint_is_no_factory_end_and_a_notched_one_is) {
  Bench bench;
  bench.run(0, {{0, 0}, {200, 0}, {200, 8.25}, {100, 8.25}, {100, 4}, {96, 4}, {96, 8.25}, {0, 8.25}});
  const std::vector<Piece> pieces = bench.cut({joint(98)});
  BOOST_REQUIRE(pieces.size() == 2);
  BOOST_TEST((pieces[0].right.factory && pieces[1].left.factory));
  check_calls(pieces[1], {"square at 102, from left", "notch top left corner at 2, leave 4, from left"});
  check_calls(pieces[0], {"square at 98, from right", "notch top right corner at 2, leave 4, from right"});
}

BOOST_AUTO_TEST_CASE(only_what_shows_is_sealed_and_all_of_the_last_course_shows) {
  Bench bench;
  bench.rules.joints.gap = 0;
  bench.run(0, {{0, 0}, {50, 0}, {50, 8.25}, {30, 8.25}, {30, 7.5}, {20, 7.5}, {20, 8.25}, {0, 8.25}});
  bench.run(3,
            {{0, 21}, {50, 21}, {50, 29.25}, {30, 29.25}, {30, 28.5}, {20, 28.5}, {20, 29.25}, {0, 29.25}});
  const std::vector<Piece> pieces = bench.cut();
  BOOST_REQUIRE(pieces[0].cuts.size() == 3);
  BOOST_TEST((pieces[0].cuts[0].seal && pieces[0].cuts[1].seal));
  BOOST_TEST(!pieces[0].cuts[2].seal);  // the notch lies in the lap
  BOOST_TEST(pieces[1].cuts[2].seal);
}

BOOST_AUTO_TEST_CASE(the_tape_says_what_format_length_says) {
  for (const double division : {1.0, 0.5, 0.0625, 0.03125, 0.05}) {
    const detail::Tape tape(division);
    for (std::int64_t n = 0; n < 2000; ++n) {
      std::string said;
      tape.say(said, n);
      BOOST_REQUIRE(said == format_length(static_cast<double>(n) * division, division));
    }
  }
  BOOST_TEST(detail::Tape(1 / 25.4).say_length(1611) == "1611 mm");
  BOOST_TEST(detail::Tape(0.5 / 25.4).say_length(3) == "1.5 mm");
  BOOST_TEST(parse_length(detail::Tape(1 / 25.4).say_length(1611)) == 1611 / 25.4);
  BOOST_TEST(detail::Tape(1 / 25.4).down(1611 / 25.4) == 1611);
}

BOOST_AUTO_TEST_CASE(a_metric_crew_hears_millimetres) {
  Bench bench;
  bench.rules.courses.division = 1 / 25.4;
  bench.rules.board.width = 180 / 25.4;
  const double w = bench.rules.board.width, mm = 1 / 25.4;
  bench.run(0, {{0, 0},
                {1611.7 * mm, 0},
                {1611.7 * mm, w},
                {900.4 * mm, w},
                {900.4 * mm, 60.6 * mm},
                {500.6 * mm, 60.6 * mm},
                {500.6 * mm, w},
                {0, w}});
  const Piece piece = bench.cut().at(0);
  BOOST_TEST(piece.callout == "1611 mm");
  check_calls(piece, {"square left end", "square at 1611 mm, from left",
                      "notch top, 500 to 901 mm, leave 60 mm, from left"});
}

BOOST_AUTO_TEST_CASE(what_cannot_be_cut_is_refused_all_at_once) {
  Bench bench;
  bench.run(0, {{0, 0}, {50, 0}, {50, 8.25}, {0, 8.25}});
  bench.run(9, {{0, 0}, {50, 0}, {50, 8.25}, {0, 8.25}});
  bench.rules.courses.division = 0;
  try {
    bench.cut({joint(20, 0, 7)});
    BOOST_ERROR("not refused");
  } catch (const Refused& e) {
    BOOST_REQUIRE(e.faults.size() == 3);
    BOOST_TEST(e.faults[0].path == "courses.division");
    BOOST_TEST(e.faults[1].path == "runs[1].course");
    BOOST_TEST(e.faults[2].path == "joints[0].run");
  }
}
