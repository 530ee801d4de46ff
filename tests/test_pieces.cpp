#include <boost/test/unit_test.hpp>

#include <lapwright/detail/layout.hpp>
#include <lapwright/pieces.hpp>

using namespace lapwright;

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
