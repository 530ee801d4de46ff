#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/fasteners.hpp>

#include "cases.hpp"
#include "hung_wall.hpp"

using namespace lapwright;

namespace {

const auto close_to = boost::test_tools::tolerance(1e-9);

using Bench = lapwright_test::HungWall;

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

BOOST_AUTO_TEST_CASE(studs_doubled_at_corners_and_openings_take_one_nail) {
  // The grid's stud at 96.75 overlaps the one flush with the wall's end; a pair of 3 in stands at each side
  // of the opening, over the grid's at 48.75.
  Bench b(97.5);
  Opening window;
  window.rectangle = true;
  window.outline = {{50, 7}, {66, 7}, {66, 21}, {50, 21}};
  b.wall.openings = {window};
  b.board(1, 3.625, 46.375, Meets::corner, Meets::opening);
  b.board(1, 69.625, 93.875, Meets::opening, Meets::corner);
  b.cover(3.625, 93.875);
  const Fastening f = b.nail();
  // Above and below the opening: one nail for the pair at 48.5 and the stud at 48.75, 16 in from the stud
  // before and the stud after, one for the pair at 67.5.
  BOOST_TEST(same(across(f.pieces[0]), {4.375, 16.75, 32.75, 48.75, 64.75, 67.5, 80.75, 93.125}));
  for (const Nail& n : f.pieces[0])
    if (n.at.x > 10 && n.at.x < 90) BOOST_TEST((n.into == NailBase::stud));
  BOOST_TEST(same(across(f.pieces[1]), {4.375, 16.75, 32.75, 45.625}));
  BOOST_TEST(same(across(f.pieces[2]), {70.375, 80.75, 93.125}));
}

BOOST_AUTO_TEST_CASE(a_joint_on_two_studs_that_overlap_is_nailed_in_the_one_it_stands_on) {
  // A stud at 80.75 and the pair beside an opening, 80.78 +- 1.5: the right end begins 1/32 in nearer to the
  // pair's centre, and its nail stands in both all the same.
  Bench b(144);
  Opening window;
  window.rectangle = true;
  window.outline = {{82.28125, 100}, {110, 100}, {110, 120}, {82.28125, 120}};
  b.wall.openings = {window};
  b.rules.joints.gap = 0.0625;
  b.board(1, 3.625, 80.75 - 0.03125, Meets::corner, Meets::joint);
  b.board(1, 80.75 + 0.03125, 140.375, Meets::joint, Meets::corner);
  b.cover(3.625, 140.375);
  const Fastening f = b.nail();
  BOOST_TEST(std::fabs(f.pieces[1].back().at.x - 80.75) <= 0.75);
  BOOST_TEST(std::fabs(f.pieces[2].front().at.x - 80.75) <= 0.75);
}

BOOST_AUTO_TEST_CASE(the_span_too_wide_and_the_blocking_that_mends_it) {
  Bench b(96);
  b.rules.sheathing.holds_nails = false;
  b.rules.fasteners.max_spacing = 8;
  b.wall.framing.members = {{0, 0, 6, 40}, {90, 0, 96, 40}};
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  // Nails at 4.375, each stud and 91.625: six spans, none within 8 in.
  int named = 0;
  for (const Finding& x : f.findings) {
    if (x.code != "nail_spacing" || x.piece != b.pieces[1].id) continue;
    ++named;
    BOOST_TEST(x.limit.value() == 8);
    BOOST_TEST((x.measured.value() == 16 || x.measured.value() == 12.375 || x.measured.value() == 10.875));
    BOOST_TEST(x.message.find("add blocking at x ") != std::string::npos);
    BOOST_TEST(x.message.find("behind y 7 to 15 1/4") != std::string::npos);
  }
  BOOST_TEST(named == 6);
  const auto first = std::find_if(f.findings.begin(), f.findings.end(), [&](const Finding& x) {
    return x.code == "nail_spacing" && x.piece == b.pieces[1].id;
  });
  BOOST_REQUIRE(first != f.findings.end());
  BOOST_TEST(first->message.find("from x 4 3/8 to 16 3/4") != std::string::npos);
  BOOST_TEST(first->message.find("add blocking at x 10 9/16") != std::string::npos);
  // Blocking in each bay mends it.
  for (double x : {10.5625, 24.75, 40.75, 56.75, 72.75, 86.1875})
    b.wall.framing.members.push_back({x - 0.75, 0, x + 0.75, 40});
  const Fastening g = b.nail();
  BOOST_TEST(count(g, "nail_spacing") == 0);
  BOOST_TEST(g.pieces[1].size() == 13u);
  for (const Nail& n : g.pieces[1]) BOOST_TEST((n.into != NailBase::sheathing));
  // Sheathing that holds nails takes the ones between, and the share yields with a finding.
  b.wall.framing.members.clear();
  b.rules.sheathing.holds_nails = true;
  const Fastening h = b.nail();
  BOOST_TEST(h.pieces[1].size() == 13u);
  BOOST_TEST(count(h, "nail_spacing") == 0);
  BOOST_TEST(count(h, "nail_share") == 1);
}

BOOST_AUTO_TEST_CASE(low_pieces_are_reached_to_their_ends_and_nailed_across_their_notches) {
  // 1 3/8 in high, slanted ends: a nail at the middle of its height, 3/8 in off the slant.
  Bench b(240, 4, 7);
  b.courses.last_rip = 1.375;
  b.wall.framing.first = 5.25;
  b.add(3, {{20, 21}, {232, 21}, {230.25, 22.375}, {21.75, 22.375}});
  b.cover(20, 232);
  const Fastening f = b.nail();
  const std::vector<Nail>& nails = f.pieces.back();
  // The right tip: 1.375 up in 1.75. At s from it the middle is 1.375 / 3.5 s up, this far off the slant:
  const double slant = std::sqrt(1.75 * 1.75 + 1.375 * 1.375);
  const double first = 232 - 0.375 * slant / 1.375 * 2;
  double nearest = 1e9;
  for (const Nail& n : nails) nearest = std::min(nearest, std::fabs(n.at.x - first));
  BOOST_TEST(nearest <= b.rules.fasteners.end_reach + 1e-6);

  // A notch 1/2 in deep from below leaves no place just right of its end; all else counts as spacing.
  Bench c(240, 4, 7);
  c.courses.last_rip = 1.375;
  c.rules.fasteners.max_spacing = 8;
  c.add(3, {{3.625, 21},
            {12, 21},
            {12, 21.5},
            {98.0625, 21.5},
            {98.0625, 21},
            {236, 21},
            {236, 22.375},
            {3.625, 22.375}});
  c.cover(3.625, 236);
  const Fastening g = c.nail();
  const std::vector<Nail>& row = g.pieces.back();
  const double bare = std::sqrt(0.375 * 0.375 - 0.1875 * 0.1875);
  for (std::size_t i = 0; i + 1 < row.size(); ++i) {
    double length = row[i + 1].at.x - row[i].at.x;
    for (double x : {12 - bare, 98.0625})  // just left of the notch, and right of it
      length -= std::max(0.0, std::min(row[i + 1].at.x, x + bare) - std::max(row[i].at.x, x));
    BOOST_TEST(length <= 8 + 1e-5);
  }
}

BOOST_AUTO_TEST_CASE(no_nail_where_the_distances_of_two_edges_only_seem_to_meet) {
  // A rake end that lies at 80.75 just where the lower edge's distance ends.
  Bench b(96);
  b.add(1, {{3.625, 7}, {81.75, 7}, {72.083333333333333, 14.25}, {3.625, 14.25}});
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  for (const Nail& n : f.pieces[1]) {
    const Ring& ring = b.pieces[1].outline;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point p = ring[i], q = ring[(i + 1) % ring.size()];
      const double dx = q.x - p.x, dy = q.y - p.y;
      const double off = std::fabs((n.at.x - p.x) * dy - (n.at.y - p.y) * dx) / std::sqrt(dx * dx + dy * dy);
      BOOST_TEST(off >= (dy == 0 ? 0.75 : 0.375) - 1e-6);
    }
  }
}

BOOST_AUTO_TEST_CASE(starters_are_nailed_in_every_stud_they_pass) {
  Bench b(96);
  b.cover(3.625, 92.375);
  b.starters.resize(2);
  b.starters[0].from = {3.625, 0};
  b.starters[0].to = {92.375, 0};
  b.starters[0].width = 1.25;
  b.starters[1].from = {40, 14};  // a slope of 6 in 12 over a roof
  b.starters[1].to = {64, 26};
  b.starters[1].width = 1.25;
  const Fastening f = b.nail();
  BOOST_TEST(same(across(f.starters[0]), {4.375, 16.75, 32.75, 48.75, 64.75, 80.75, 91.625}));
  for (const Nail& n : f.starters[0]) {
    BOOST_TEST(n.at.y == 0.625);
    if (n.into == NailBase::stud) BOOST_TEST(n.penetration == 2.5 - 0.3125 - 0.4375, close_to);
  }
  BOOST_TEST(f.starters[1].size() >= 2u);
  const double slant = std::sqrt(5.0);
  for (const Nail& n : f.starters[1]) {  // along the middle of the strip, square to the slope
    const double off = ((n.at.y - 14) * 2 - (n.at.x - 40)) / slant;
    BOOST_TEST(off == 0.625, close_to);
  }
  for (std::size_t i = 0; i + 1 < f.starters[0].size(); ++i)
    BOOST_TEST(f.starters[0][i + 1].at.x - f.starters[0][i].at.x <= 16 + 1e-9);
  BOOST_TEST(f.starter_tally.stud + f.starter_tally.sheathing ==
             static_cast<int>(f.starters[0].size() + f.starters[1].size()));
}

BOOST_AUTO_TEST_CASE(each_wall_tells_its_share_and_its_counts_by_kind) {
  Bench b(96);
  b.wall.framing.members = {{0, 0, 96, 1.5}, {0, 19, 96, 28}};
  b.cover(3.625, 92.375);
  const Fastening f = b.nail();
  int stud = 0, member = 0, sheathing = 0, face = 0;
  double least = 1e9;
  for (const auto& all : f.pieces)
    for (const Nail& n : all) {
      (n.into == NailBase::stud ? stud : n.into == NailBase::member ? member : sheathing) += 1;
      face += n.face;
      if (n.into != NailBase::sheathing) least = std::min(least, n.penetration);
    }
  BOOST_TEST(member > 0);
  BOOST_TEST(f.tally.stud == stud);
  BOOST_TEST(f.tally.member == member);
  BOOST_TEST(f.tally.sheathing == sheathing);
  BOOST_TEST(f.tally.face == face);
  BOOST_TEST(f.framing_share == static_cast<double>(stud + member) / (stud + member + sheathing), close_to);
  BOOST_TEST(f.least_penetration == least);
}

// --- laws over random pieces, checked by trying places one by one -----------------------------------

namespace {

struct Dice {
  std::uint64_t state;
  std::uint64_t next() {
    std::uint64_t z = (state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
  }
  int whole(int low, int high) {
    return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
  }
  double sixteenths(double low, double high) {  // a multiple of 1/16
    return whole(static_cast<int>(low * 16), static_cast<int>(high * 16)) / 16.0;
  }
  bool once_in(int n) { return whole(1, n) == 1; }
};

double off_segment(Point p, Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y;
  double t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy);
  t = t < 0 ? 0 : t > 1 ? 1 : t;
  return std::sqrt((p.x - a.x - t * dx) * (p.x - a.x - t * dx) + (p.y - a.y - t * dy) * (p.y - a.y - t * dy));
}
bool in_ring(const Ring& ring, Point p) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
    if ((ring[i].y > p.y) != (ring[j].y > p.y) &&
        p.x < (ring[j].x - ring[i].x) * (p.y - ring[i].y) / (ring[j].y - ring[i].y) + ring[i].x)
      in = !in;
  return in;
}
/// Whether a nail may be at p, all distances longer by `extra`.
bool may(const Piece& piece, Point p, const FastenerRules& f, double extra, double edge, double ends) {
  (void)f;
  if (!in_ring(piece.outline, p)) return false;
  const auto clear = [&](const Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], b = ring[(i + 1) % ring.size()];
      if (off_segment(p, a, b) < (a.y == b.y ? edge : ends) + extra) return false;
    }
    return true;
  };
  for (const Ring& hole : piece.holes)
    if (in_ring(hole, p) || !clear(hole)) return false;
  return clear(piece.outline);
}

/// A course's piece from left to right: ends square or raked, notches above and below, perhaps a hole. Its
/// profile is a lower and an upper chain that never cross.
Ring random_outline(Dice& dice, double y, double width, double x0, double x1) {
  Ring low, high;
  low.push_back({x0, y});
  high.push_back({x0, y + width});
  const int raked = dice.whole(0, 5);
  double left = x0, right = x1;
  if (raked == 1) {  // waste falls off at the left, above: low, shallow or steep
    const double run = dice.sixteenths(4, std::min(24.0, (x1 - x0) / 3));
    high[0] = {x0 + run, y + width};
    left = x0 + run;
  }
  if (raked == 2) {
    const double run = dice.sixteenths(4, std::min(24.0, (x1 - x0) / 3));
    low[0] = {x0 + run, y};
    left = x0 + run;
  }
  double end_low = x1, end_high = x1;
  if (dice.once_in(3)) {
    const double run = dice.sixteenths(4, std::min(24.0, (x1 - x0) / 3));
    (dice.once_in(2) ? end_low : end_high) = x1 - run;
    right = x1 - run;
  }
  double at = left + 6;
  while (at + 14 < right) {
    at += dice.sixteenths(2, 40);
    const double w = dice.sixteenths(6, 40);
    if (at + w + 4 > right) break;
    const double depth = dice.sixteenths(0.5, width - 1.75);
    if (dice.once_in(2)) {
      high.push_back({at, y + width});
      high.push_back({at, y + width - depth});
      high.push_back({at + w, y + width - depth});
      high.push_back({at + w, y + width});
    } else {
      low.push_back({at, y});
      low.push_back({at, y + depth});
      low.push_back({at + w, y + depth});
      low.push_back({at + w, y});
    }
    at += w + 3;
  }
  low.push_back({end_low, y});
  high.push_back({end_high, y + width});
  Ring ring = low;
  ring.insert(ring.end(), high.rbegin(), high.rend());
  return ring;
}

}  // namespace

BOOST_AUTO_TEST_CASE(random_pieces_keep_every_rule) {
  const int cases = lapwright_test::cases(150);
  int nails_seen = 0, faces_seen = 0, low_seen = 0;
  for (int c = 0; c < cases; ++c) {
    Dice dice{static_cast<std::uint64_t>(c) + 77};
    const double exposure = dice.sixteenths(4.5, 7);
    Bench b(dice.sixteenths(60, 200), 4, exposure);
    const double right = b.wall.outline[1].x - 3.625;
    b.wall.framing.first = dice.sixteenths(0, 16);
    b.wall.framing.spacing = dice.once_in(4) ? 24 : 16;
    if (dice.once_in(3)) b.rules.fasteners.max_spacing = dice.sixteenths(7, 20);
    if (dice.once_in(3))
      for (int i = dice.whole(1, 4); i > 0; --i) b.wall.framing.studs.push_back(dice.sixteenths(5, right));
    b.rules.sheathing.holds_nails = !dice.once_in(3);
    const int course = dice.whole(1, 3);
    if (course == 3) b.courses.last_rip = 8.25;
    b.add(course, random_outline(dice, course * exposure, 8.25, 3.625, right));
    b.cover(3.625, right);
    const Fastening f = b.nail();
    std::size_t index = 0;
    while (b.pieces[index].course != course || b.pieces[index].outline.size() < 4) ++index;
    for (std::size_t i = 0; i < b.pieces.size(); ++i)
      if (b.pieces[i].course == course) index = i;
    const Piece& piece = b.pieces[index];
    const std::vector<Nail>& nails = f.pieces[index];
    const FastenerRules& rules = b.rules.fasteners;
    const double hidden = course == 3 ? 1e9 : (course + 1) * exposure;
    const double blind = std::max(hidden + rules.head / 2, (course - 1) * exposure + 8.25 + rules.shank / 2);
    BOOST_TEST_CONTEXT("case " << c) {
      std::vector<Stud> studs = lay_studs(b.wall);
      const auto in = [](const Stud& s, double x) { return std::fabs(x - s.centre) <= s.width / 2 + 1e-6; };
      // Where a nail may be, along the wall.
      std::vector<char> open;
      const double step = 1 / 32.0;
      for (double x = 3.625; x <= right; x += step) {
        bool any = false;
        for (double y = course * exposure; y <= 8.25 + course * exposure && !any; y += step)
          any = may(piece, {x, y}, rules, 1e-3, rules.edge, rules.end_edge);
        open.push_back(any ? 1 : 0);
      }
      const auto open_at = [&](double x) {
        return open[static_cast<std::size_t>((x - 3.625) / step + 0.5)] != 0;
      };
      double first = right, last = 0;
      for (std::size_t i = 0; i < open.size(); ++i)
        if (open[i]) {
          first = std::min(first, 3.625 + static_cast<double>(i) * step);
          last = 3.625 + static_cast<double>(i) * step;
        }
      for (std::size_t i = 0; i < nails.size(); ++i) {
        const Nail& n = nails[i];
        ++nails_seen;
        BOOST_TEST(may(piece, n.at, rules, -1e-6, rules.edge, rules.end_edge));
        BOOST_TEST(n.face == (n.at.y < blind - 1e-6));
        BOOST_TEST(n.board + n.board_below + n.stand_off + n.sheathing + n.penetration == rules.length,
                   close_to);
        if (i > 0) BOOST_TEST(nails[i - 1].at.x <= n.at.x);
        bool stud = false;
        for (const Stud& s : studs) stud = stud || in(s, n.at.x);
        BOOST_TEST((n.into == (stud ? NailBase::stud : NailBase::sheathing)));
        if (!b.rules.sheathing.holds_nails) BOOST_TEST(stud);
        if (!n.face && n.at.y < 8.25 + course * exposure - 1 - 1e-6) ++low_seen;
        if (n.face && course != 3) {
          ++faces_seen;
          // No hidden place is left: in its stud, or at its x.
          double low = n.at.x, high = n.at.x;
          for (const Stud& s : studs)
            if (in(s, n.at.x))
              low = s.centre - s.width / 2 + rules.shank, high = s.centre + s.width / 2 - rules.shank;
          // The outermost may be needed by its end, out of whose reach a hidden place does not count.
          if (i == 0) high = std::min(high, first + rules.end_reach);
          if (i + 1 == nails.size()) low = std::max(low, last - rules.end_reach);
          for (double y = blind; y <= 8.25 + course * exposure; y += 1 / 32.0)
            for (double x = low; x <= high; x += 1 / 32.0)
              BOOST_TEST(!may(piece, {x, y}, rules, 0.02, rules.edge, rules.end_edge));
        }
      }
      for (const Stud& s : studs) {
        if (s.centre < 3.625 || s.centre > right) continue;
        bool any = false;
        for (double y = course * exposure; y <= 8.25 + course * exposure && !any; y += step)
          any = may(piece, {s.centre, y}, rules, 1e-3, rules.edge, rules.end_edge);
        if (!any) continue;
        bool held = false;
        for (const Stud& t : studs)
          if (std::fabs(s.centre - t.centre) < (s.width + t.width) / 2 - 1e-6)
            for (const Nail& n : nails) held = held || in(t, n.at.x);
        BOOST_TEST(held, "stud at " << s.centre << " has no nail");
      }
      // Ends.
      int bare = 0;
      for (double x : {first, last}) {
        double nearest = 1e9;
        for (const Nail& n : nails) nearest = std::min(nearest, std::fabs(n.at.x - x));
        if (nearest > rules.end_reach + 0.05) ++bare;
      }
      int named = 0;
      for (const Finding& x : f.findings)
        named += x.code == "no_framing_at_end" && x.piece == piece.id ? 1 : 0;
      if (b.rules.sheathing.holds_nails) {
        BOOST_TEST(bare == 0);
      } else {
        BOOST_TEST(bare <= named);
      }
      // Spacing.
      const double most = nail_spacing(b.rules, b.wall.framing);
      bool wide = false;
      for (std::size_t i = 1; i < nails.size(); ++i) {
        double length = 0;
        for (double x = nails[i - 1].at.x + step / 2; x < nails[i].at.x - step / 2; x += step)
          if (open_at(x)) length += step;
        if (length > most + 0.1) wide = true;
      }
      bool said = false;
      for (const Finding& x : f.findings) said = said || (x.code == "nail_spacing" && x.piece == piece.id);
      BOOST_TEST((!wide || said));
      if (b.rules.sheathing.holds_nails) BOOST_TEST(!wide);
    }
  }
  BOOST_TEST_MESSAGE(nails_seen << " nails, " << faces_seen << " through the face, " << low_seen
                                << " lowered");
  BOOST_TEST(faces_seen > 0);
  BOOST_TEST((low_seen > 0 || cases < 100));
}
