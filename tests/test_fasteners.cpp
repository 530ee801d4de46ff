#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/fasteners.hpp>

using namespace lapwright;

namespace {

const auto close_to = boost::test_tools::tolerance(1e-9);

/// A wall with a pole of even courses, to hang pieces on by hand.
struct Bench {
  Wall wall;
  Rules rules;
  Pole pole;
  WallCourses courses;
  Region region;
  std::vector<Piece> pieces;
  std::vector<Starter> starters;

  explicit Bench(double width = 192, int lines = 4, double exposure = 7) {
    wall.name = "south";
    wall.outline = {{0, 0}, {width, 0}, {width, lines * exposure}, {0, lines * exposure}};
    wall.edges.assign(4, default_edge(EdgeKind::corner));
    rules.board.lengths = {144};
    for (int k = 0; k < lines; ++k) pole.lines.push_back(k * exposure);
    pole.exposures.assign(static_cast<std::size_t>(lines) - 1, exposure);
    pole.settings = 1;
    courses.first_course = 0;
    courses.last_course = lines - 1;
    courses.last_rip = exposure;
  }
  Piece& add(int course, Ring outline, Meets left = Meets::corner, Meets right = Meets::corner) {
    Piece p;
    p.course = course;
    p.outline = std::move(outline);
    p.y = pole.lines[static_cast<std::size_t>(course)];
    p.x_min = p.x_max = p.outline[0].x;
    for (Point q : p.outline) {
      p.x_min = std::min(p.x_min, q.x);
      p.x_max = std::max(p.x_max, q.x);
    }
    p.length = p.x_max - p.x_min;
    p.left.meets = left;
    p.right.meets = right;
    p.id = "south-" + std::to_string(course) + "-" + std::to_string(pieces.size());
    pieces.push_back(p);
    return pieces.back();
  }
  Piece& board(int course, double x0, double x1, Meets left = Meets::corner, Meets right = Meets::corner) {
    const double y = pole.lines[static_cast<std::size_t>(course)];
    const double top = course == courses.last_course ? y + courses.last_rip : y + rules.board.width;
    return add(course, {{x0, y}, {x1, y}, {x1, top}, {x0, top}}, left, right);
  }
  void cover(double x0, double x1) {
    for (int k = 0; k <= courses.last_course; ++k) {
      bool there = false;
      for (const Piece& p : pieces) there = there || p.course == k;
      if (!there) board(k, x0, x1);
    }
    std::stable_sort(pieces.begin(), pieces.end(),
                     [](const Piece& a, const Piece& b) { return a.course < b.course; });
  }
  Fastening nail() const { return place_fasteners(wall, region, pole, courses, pieces, starters, rules); }
};

std::vector<double> across(const std::vector<Nail>& nails) {
  std::vector<double> xs;
  for (const Nail& n : nails) xs.push_back(n.at.x);
  return xs;
}
bool same(const std::vector<double>& a, const std::vector<double>& b) {
  bool ok = a.size() == b.size();
  for (std::size_t i = 0; ok && i < a.size(); ++i) ok = std::fabs(a[i] - b[i]) < 1e-9;
  if (!ok) {
    std::string text = "got";
    for (double x : a) text += " " + std::to_string(x);
    BOOST_TEST_MESSAGE(text);
  }
  return ok;
}
int count(const Fastening& f, const std::string& code) {
  return static_cast<int>(
      std::count_if(f.findings.begin(), f.findings.end(), [&](const Finding& x) { return x.code == code; }));
}

}  // namespace

BOOST_AUTO_TEST_CASE(a_board_from_corner_to_corner) {
  Bench b(96);
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  // A stud every 16 in from 3/4; the ends are too far from one, so each has its nail in the sheathing.
  BOOST_TEST(same(across(f.pieces[1]), {4.375, 16.75, 32.75, 48.75, 64.75, 80.75, 91.625}));
  for (const Nail& n : f.pieces[1]) {
    BOOST_TEST(n.at.y == 7 + 8.25 - 1);
    BOOST_TEST(!n.face);
    const bool end = n.at.x < 10 || n.at.x > 90;
    BOOST_TEST((n.into == (end ? NailBase::sheathing : NailBase::stud)));
    BOOST_TEST(n.board + n.board_below + n.stand_off + n.sheathing + n.penetration == 2.5, close_to);
    BOOST_TEST(n.stand_off == 0.3125 / 7, close_to);
    if (!end) {
      BOOST_TEST(n.penetration == 2.5 - 0.3125 - 0.4375 - 0.3125 / 7, close_to);
      BOOST_TEST(n.stud_edge == 0.75);
    } else {
      BOOST_TEST(n.held == 0.4375);
    }
  }
  // The last course has nothing over it: through the face, near its upper edge.
  for (const Nail& n : f.pieces[3]) {
    BOOST_TEST(n.face);
    BOOST_TEST(n.at.y == 28 - 0.75);
  }
  BOOST_TEST(f.framing_share == 5.0 / 7, close_to);
  BOOST_TEST(f.findings.empty());
}

BOOST_AUTO_TEST_CASE(each_end_at_a_joint_has_its_own_nail_in_the_shared_stud) {
  Bench b(192);
  b.board(1, 3.625, 96.75, Meets::corner, Meets::joint);
  b.board(1, 96.75, 188.375, Meets::joint, Meets::corner);
  b.cover(3.625, 188.375);
  const Fastening f = b.nail();
  // 2.5 shank diameters from the stud's face leave 0.4675 in from the end: 7/16 on the tape.
  BOOST_TEST(same(across(f.pieces[1]), {4.375, 16.75, 32.75, 48.75, 64.75, 80.75, 96.3125}));
  BOOST_TEST(same(across(f.pieces[2]), {97.1875, 112.75, 128.75, 144.75, 160.75, 176.75, 187.625}));
  BOOST_TEST((f.pieces[1].back().into == NailBase::stud));
  BOOST_TEST((f.pieces[2].front().into == NailBase::stud));
  BOOST_TEST(count(f, "nail_stud") == 0);

  // A gap and a joint off the stud's centre: the end that has less room keeps its own distance.
  b.pieces[1].outline[1].x = b.pieces[1].outline[2].x = b.pieces[1].x_max = 96.75 + 0.0625 - 0.0625;
  b.pieces[2].outline[0].x = b.pieces[2].outline[3].x = b.pieces[2].x_min = 96.75 + 0.0625 + 0.0625;
  const Fastening g = b.nail();
  BOOST_TEST(g.pieces[1].back().at.x == 96.75 - 0.4375);
  BOOST_TEST(g.pieces[2].front().at.x == 96.875 + 0.375);
  BOOST_TEST(g.pieces[2].front().stud_edge == 0.25);
  BOOST_TEST(count(g, "nail_stud") == 1);
}

BOOST_AUTO_TEST_CASE(a_sill_takes_the_nail_line) {
  // Exposures of 6: 2 1/4 in are hidden. A sill takes 1/2 in of the upper edge from 40 to 56: the nail at
  // 48.75 goes lower, hidden still.
  Bench b(96, 4, 6);
  b.add(1, {{3.625, 6},
            {92.375, 6},
            {92.375, 14.25},
            {56, 14.25},
            {56, 13.75},
            {40, 13.75},
            {40, 14.25},
            {3.625, 14.25}});
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  BOOST_TEST(same(across(f.pieces[1]), {4.375, 16.75, 32.75, 48.75, 64.75, 80.75, 91.625}));
  BOOST_TEST(f.pieces[1][3].at.y == 13.0, boost::test_tools::tolerance(1e-6));
  BOOST_TEST(!f.pieces[1][3].face);
  // A deeper one leaves nothing hidden: through the face, and the head stays clear of the next course's edge.
  for (Point& p : b.pieces[1].outline)
    if (p.y == 13.75) p.y = 12.75;
  const Fastening g = b.nail();
  BOOST_TEST(g.pieces[1][3].face);
  BOOST_TEST(g.pieces[1][3].at.x == 48.75);
  BOOST_TEST(g.pieces[1][3].at.y == 12 - 0.297 / 2, close_to);
}

BOOST_AUTO_TEST_CASE(a_filler_is_nailed_at_its_middle) {
  Bench b(96);
  b.board(1, 3.625, 30);
  b.board(1, 56, 92.375);
  Piece& filler = b.add(1, {{30, 7}, {56, 7}, {56, 8.6}, {30, 8.6}}, Meets::filler, Meets::filler);
  filler.filler = true;
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  BOOST_TEST(same(across(f.pieces[3]), {32.75, 48.75, 55.25}));
  for (const Nail& n : f.pieces[3]) {
    BOOST_TEST(n.at.y == 7.8, close_to);
    BOOST_TEST(n.face);
    // Down on the course below: its board is part of the stand-off.
    BOOST_TEST(n.board_below == 0.3125, close_to);
    BOOST_TEST(n.stand_off == 0.3125 * (15.25 - 7.8) / 7 - 0.3125, close_to);
  }
}

BOOST_AUTO_TEST_CASE(ends_without_framing_are_named_where_the_sheathing_holds_nothing) {
  Bench b(96);
  b.rules.sheathing.holds_nails = false;
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  BOOST_TEST(same(across(f.pieces[1]), {16.75, 32.75, 48.75, 64.75, 80.75}));
  BOOST_TEST(count(f, "no_framing_at_end") == 8);
  // Backing at both corners mends it.
  b.wall.framing.members = {{0, 0, 6, 40}, {90, 0, 96, 40}};
  const Fastening g = b.nail();
  BOOST_TEST(count(g, "no_framing_at_end") == 0);
  BOOST_TEST(g.pieces[1].size() == 7u);
  BOOST_TEST((g.pieces[1].front().into == NailBase::member));
}
