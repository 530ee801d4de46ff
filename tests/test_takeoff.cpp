#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include "cases.hpp"
#include "hung_wall.hpp"
#include "random_house.hpp"

#include <lapwright/lap.hpp>
#include <lapwright/lapwright.hpp>
#include <lapwright/takeoff.hpp>

using namespace lapwright;

namespace {

const auto close_to = boost::test_tools::tolerance(1e-9);

/// Three courses of one board each between two corners.
struct Stand : lapwright_test::HungWall {
  Packing packing;

  Stand() : HungWall(160, 3) {
    rules.board.lengths = {144, 192};
    cover(3.625, 156.375);
    region.boundary = {{{156.375, 0}, {156.375, 21}, Meets::corner, 1, -1, 3.5, 0.125, false},
                       {{156.375, 21}, {3.625, 21}, Meets::top, 2, -1, 0, 0.125, false},
                       {{3.625, 21}, {3.625, 0}, Meets::corner, 3, -1, 3.5, 0.125, false},
                       {{3.625, 0}, {156.375, 0}, Meets::base, 0, -1, 0, 0, true}};
  }
  Takeoff take(const TakeoffOptions& options = {}) const { return HungWall::take(packing, 3, options); }
};

}  // namespace

BOOST_AUTO_TEST_CASE(sums_of_a_plain_wall) {
  Stand s;
  s.joints.resize(2);
  s.starters.push_back({"south-s0", {3.625, 0}, {156.375, 0}, 1.25, StarterPlace::base});
  for (int i = 0; i < 4; ++i) {
    Board b;
    b.id = i + 1;
    b.length = i == 3 ? 144 : 192;
    b.price = i == 3 ? 1 : 1.5;
    if (i == 0) b.on_hand = 0;
    s.packing.boards.push_back(b);
  }
  s.rules.allowance = 0.1;
  const Takeoff t = s.take();
  const Order& o = t.order;
  BOOST_TEST_REQUIRE(o.boards.size() == 2u);
  BOOST_TEST(o.boards[0].length == 144);
  BOOST_TEST(o.boards[0].count == 1);
  BOOST_TEST(o.boards[1].count == 2);  // the one on hand is not bought
  BOOST_TEST(o.cost == 4.0);
  BOOST_TEST(o.proven_minimum == 3);
  BOOST_TEST(o.allowance_boards == 1);  // a tenth of three, rounded up
  BOOST_TEST(o.joint_flashings == 2);
  BOOST_TEST(o.starter_inches == 152.75);
  BOOST_TEST(o.weight_lb == (144 + 2 * 192) * 8.25 / 144 * 2.25, close_to);
  // Two upright ends a course, 7 in of each shown.
  BOOST_TEST(o.sealant_inches == 6 * 7.0, close_to);
  BOOST_TEST(o.cartridges == 1);
  // And the rip of the last course.
  BOOST_TEST(o.prime_inches == 6 * 7.0 + 152.75, close_to);
  BOOST_TEST(o.nails.stud == 3 * 9);
  BOOST_TEST(o.nails.sheathing == 3 * 2);
  BOOST_TEST(o.nails.face == 11);
  BOOST_TEST(t.nails.blind == 22);
  BOOST_TEST(t.nails.starter > 9);
  BOOST_TEST(t.nails.boxes == 1);
  BOOST_TEST_REQUIRE(t.staging.size() == 1u);
  BOOST_TEST(t.staging[0].pieces == 3);
  BOOST_TEST(t.staging[0].last_course == 2);
  BOOST_TEST(t.staging[0].weight_lb == (2 * 8.25 + 7) * 152.75 / 144 * 2.25, close_to);
  BOOST_TEST((t.staging[0].hanging == std::vector<std::size_t>{0, 1, 2}));
  BOOST_TEST_REQUIRE(t.stations.size() == 1u);
  BOOST_TEST(t.stations[0].x == 80);
  BOOST_TEST(t.stations[0].longest_piece == 152.75);
  BOOST_TEST(!t.loads.has_value());
  BOOST_TEST(t.findings.empty());
}

// A factory end is no field end; heads, roofs and edges without a gap take no bead; sides of a notch do.
BOOST_AUTO_TEST_CASE(what_is_sealed_and_primed) {
  Stand s;
  s.pieces[1].right.factory = true;
  BOOST_TEST(s.take().order.sealant_inches == 5 * 7.0, close_to);
  s.pieces[1].right.factory = false;
  s.region.boundary[0].gap = 0;
  BOOST_TEST(s.take().order.sealant_inches == 3 * 7.0, close_to);
  s.region.boundary[0].gap = 0.125;
  s.region.boundary[0].meets = Meets::roof;
  BOOST_TEST(s.take().order.sealant_inches == 3 * 7.0, close_to);
  s.region.boundary[0].meets = Meets::corner;
  // A window's sill at 11 cuts 4 1/4 in from the top of course 1, and its sides run up through course 2.
  Piece& p = s.pieces[1];
  p.outline = {{3.625, 7}, {156.375, 7}, {156.375, 15.25}, {90, 15.25},
               {90, 11},   {60, 11},     {60, 15.25},      {3.625, 15.25}};
  s.region.boundary.push_back({{60, 11}, {60, 21}, Meets::opening, -1, 0, 3.5, 0.125, false});
  s.region.boundary.push_back({{90, 21}, {90, 11}, Meets::opening, -1, 0, 3.5, 0.125, false});
  s.region.boundary.push_back({{90, 11}, {60, 11}, Meets::opening, -1, 0, 3.5, 0.125, false});
  const Takeoff t = s.take();
  BOOST_TEST(t.order.sealant_inches == 6 * 7.0 + 2 * 3, close_to);  // 3 in show, 1 1/4 are hidden
  BOOST_TEST(t.order.prime_inches == 6 * 7.0 + 152.75 + 2 * 3 + 30, close_to);
  double prime = 0, sealant = 0;
  for (const EdgeWork& e : t.edges) {
    prime += e.prime_inches;
    sealant += e.sealant_inches;
  }
  BOOST_TEST(prime == t.order.prime_inches, close_to);
  BOOST_TEST(sealant == t.order.sealant_inches, close_to);
}

BOOST_AUTO_TEST_CASE(trim_must_stand_proud) {
  Stand s;
  s.rules.trim.emplace();
  s.rules.trim->thickness = 0.6875;  // 0.3125 x 8.25 / 7 + 0.3125 = 0.681
  BOOST_TEST(s.take().findings.empty());
  s.rules.trim->thickness = 0.625;
  const Takeoff t = s.take();
  BOOST_TEST_REQUIRE(t.findings.size() == 1u);
  BOOST_TEST(t.findings[0].code == "trim_too_thin");
  BOOST_TEST(*t.findings[0].limit == lap_profile(8.25, 0.3125, 7).least_trim, close_to);
  // The smallest exposure decides.
  s.rules.trim->thickness = 0.6875;
  s.pole.lines[2] = 13;
  s.pole.exposures = {7, 6};
  BOOST_TEST(s.take().least_trim == lap_profile(8.25, 0.3125, 6).least_trim, close_to);
  BOOST_TEST(s.take().findings.size() == 1u);
}

BOOST_AUTO_TEST_CASE(lifts_and_their_loads) {
  Stand s;
  s.rules.staging.lift = 10;
  s.rules.staging.rating = 25;
  Takeoff t = s.take();
  BOOST_TEST_REQUIRE(t.staging.size() == 2u);
  BOOST_TEST(t.staging[0].pieces == 2);
  BOOST_TEST(t.staging[1].lift == 2);
  BOOST_TEST(t.staging[1].first_course == 2);
  BOOST_TEST(t.staging[0].capacity_lb == 25 * 84 * 60 / 144.0, close_to);
  BOOST_TEST(t.staging[0].bays == 1);
  BOOST_TEST(t.findings.empty());
  s.rules.staging.rating = 1;
  t = s.take();
  BOOST_TEST(t.staging[0].bays == 2);
  BOOST_TEST_REQUIRE(t.findings.size() == 1u);
  BOOST_TEST(t.findings[0].code == "staging");
  BOOST_TEST(*t.findings[0].limit == 35.0, close_to);
}

// Boxes hold so many nails, blind, face and starters' together; the bench holds the longest board that the
// wall's pieces are cut from, and at least the longest piece.
BOOST_AUTO_TEST_CASE(nails_by_the_box_and_the_bench_by_the_board) {
  Stand s;
  s.starters.push_back({"south-s0", {3.625, 0}, {156.375, 0}, 1.25, StarterPlace::base});
  Takeoff t = s.take();
  const int nails = t.nails.blind + t.nails.face + t.nails.starter;
  for (int each : {1, nails - 1, nails, nails + 1}) {
    TakeoffOptions options;
    options.nails_per_box = each;
    const Takeoff u = s.take(options);
    BOOST_TEST(u.nails.boxes * each >= nails);
    BOOST_TEST((u.nails.boxes - 1) * each < nails);
  }
  BOOST_TEST(t.stations[0].bench_inches == 152.75);  // from no board: the piece itself
  Board board;
  board.id = 1;
  board.length = 192;
  Placement cut;
  cut.piece = s.pieces[1].id;
  board.cut.push_back(cut);
  s.packing.boards.push_back(board);
  t = s.take();
  BOOST_TEST(t.stations[0].bench_inches == 192);
  BOOST_TEST(t.stations[0].longest_piece == 152.75);
  // A station a wall: each piece carried once from it.
  double carry = 0;
  for (const Piece& p : s.pieces) carry += std::fabs((p.x_min + p.x_max) / 2 - t.stations[0].x);
  BOOST_TEST(t.stations[0].carry_inches == carry, close_to);
}

// Breakage is printed apart: neither the boards nor their cost or weight grow with it.
BOOST_AUTO_TEST_CASE(the_allowance_stands_apart) {
  Stand s;
  for (int i = 0; i < 7; ++i) {
    Board b;
    b.id = i + 1;
    b.length = 144;
    b.price = 1;
    s.packing.boards.push_back(b);
  }
  const Takeoff none = s.take();
  BOOST_TEST(none.order.allowance_boards == 0);
  const double shares[][2] = {{0.01, 1}, {1 / 7.0, 1}, {0.15, 2}, {1, 7}};
  for (const auto& share : shares) {
    s.rules.allowance = share[0];
    const Takeoff t = s.take();
    BOOST_TEST(t.order.allowance_boards == static_cast<int>(share[1]));
    BOOST_TEST(t.order.cost == none.order.cost);
    BOOST_TEST(t.order.weight_lb == none.order.weight_lb);
    BOOST_TEST(t.order.boards[0].count == 7);
  }
}

// The median carries least, whatever the pieces: against every place along the wall.
BOOST_AUTO_TEST_CASE(the_station_carries_least) {
  lapwright_test::Random dice(5);
  for (int c = 0; c < 200; ++c) {
    std::vector<double> middles;
    for (int i = dice.whole(1, 30); i > 0; --i) middles.push_back(dice.whole(0, 400));
    const auto carry = [&](double x) {
      double sum = 0;
      for (double m : middles) sum += std::fabs(m - x);
      return sum;
    };
    const double best = carry(median_of(middles));
    for (int x = 0; x <= 400; ++x) BOOST_TEST(best <= carry(x) + 1e-9);
  }
}

// Every figure of a whole house is the sum of what its plan shows, added up by other means.
BOOST_AUTO_TEST_CASE(sums_of_random_houses) {
  const int cases = lapwright_test::cases(12);
  std::map<std::string, int> seen;
  for (int c = 0; c < cases; ++c) {
    Job job = lapwright_test::random_house(static_cast<std::uint64_t>(c));
    job.rules.search.effort = 0;
    Plan plan;
    try {
      plan = plan_house(job);
    } catch (const Refused&) {
      continue;
    }
    BOOST_TEST_CONTEXT("house " << c) {
      int stud = 0, member = 0, sheathing = 0, face = 0, joints = 0;
      double starters = 0, sealed_most = 0, hung = 0, staged = 0;
      for (const PlanWall& w : plan.walls) {
        joints += static_cast<int>(w.joints.size());
        for (const Starter& s : w.starters) starters += std::hypot(s.to.x - s.from.x, s.to.y - s.from.y);
        BOOST_TEST_REQUIRE(w.nails.size() == w.pieces.size());
        for (const std::vector<Nail>& nails : w.nails)
          for (const Nail& n : nails) {
            stud += n.into == NailBase::stud;
            member += n.into == NailBase::member;
            sheathing += n.into == NailBase::sheathing;
            face += n.face;
          }
        for (const Piece& p : w.pieces) {
          double area = 0;
          const auto add = [&](const Ring& r) {
            for (std::size_t i = 0; i < r.size(); ++i) {
              const Point a = r[i], b = r[(i + 1) % r.size()];
              area += (a.x * b.y - b.x * a.y) / 2;
              if (a.y != b.y) sealed_most += std::hypot(b.x - a.x, b.y - a.y);
            }
          };
          add(p.outline);
          for (const Ring& h : p.holes) add(h);
          hung += area / 144 * job.rules.board.weight;
        }
      }
      const Order& o = plan.order;
      BOOST_TEST(o.nails.stud == stud);
      BOOST_TEST(o.nails.member == member);
      BOOST_TEST(o.nails.sheathing == sheathing);
      BOOST_TEST(o.nails.face == face);
      BOOST_TEST(o.joint_flashings == joints);
      BOOST_TEST(o.starter_inches == starters, boost::test_tools::tolerance(1e-6));
      BOOST_TEST(o.sealant_inches <= sealed_most);
      BOOST_TEST(o.sealant_inches <= o.prime_inches + 1e-6);
      BOOST_TEST(o.cartridges ==
                 static_cast<int>(std::ceil(o.sealant_inches * job.rules.seal.width * job.rules.seal.depth /
                                                job.rules.seal.cartridge -
                                            1e-9)));
      int pieces = 0;
      for (const Lift& l : plan.staging) {
        staged += l.weight_lb;
        pieces += l.pieces;
        BOOST_TEST(static_cast<int>(l.hanging.size()) == l.pieces);
      }
      BOOST_TEST(staged == hung, boost::test_tools::tolerance(1e-6));
      std::size_t all = 0;
      for (const PlanWall& w : plan.walls) all += w.pieces.size();
      BOOST_TEST(pieces == static_cast<int>(all));
      for (const Finding& f : audit(job, plan)) {
        const bool ours = f.code.rfind("nail", 0) == 0 || f.code.rfind("order_", 0) == 0 ||
                          f.code == "staging" || f.code == "trim_too_thin" || f.code == "no_framing_at_end";
        if (!ours) continue;
        ++seen[f.code];
        BOOST_TEST(false, f.code << " " << f.wall << " " << f.piece << ": " << f.message);
      }
    }
  }
  for (const auto& [code, n] : seen) BOOST_TEST_MESSAGE(code << ": " << n);
}

// As many boards as it takes for a sum of their prices, one by one, to end in noise below 48 times 1.1.
BOOST_AUTO_TEST_CASE(a_cost_is_boards_times_price) {
  Stand s;
  for (int i = 0; i < 50; ++i) {
    Board b;
    b.id = i + 1;
    b.length = i < 48 ? 144 : 192;
    b.price = i < 48 ? 1.1 : 1.5;
    s.packing.boards.push_back(b);
  }
  BOOST_TEST(s.take().order.cost == 48 * 1.1 + 2 * 1.5);
  s.packing.boards.resize(48);
  BOOST_TEST(s.take().order.cost == 48 * 1.1);
}
