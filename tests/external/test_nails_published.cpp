/// Nails held to published tables and solved examples. Each check names its source; `from memory` where the
/// value was not read in it.
#include <cmath>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/fasteners.hpp>
#include <lapwright/loads.hpp>

using namespace lapwright;

namespace {
double rounded(double v) {
  return std::floor(v + 0.5);
}
const auto close_to = boost::test_tools::tolerance(1e-9);
}  // namespace

// NDS 2018 Table L4 (printed p. 182): the default nail is an 8d box nail. Also the penny rule up to 10d,
// length = d/4 + 1/2 (carpentry rule).
BOOST_AUTO_TEST_CASE(default_nail_is_a_table_nail) {
  const FastenerRules nail;
  BOOST_TEST(nail.length == 2.5);
  BOOST_TEST(nail.shank == 0.113);
  BOOST_TEST(nail.head == 0.297);
  BOOST_TEST(nail.length == 8 / 4.0 + 0.5);
}

// NDS 2018 Table 12.2C (p. 79), lb per inch: two cells read in a copy, the rest from memory (each is
// the formula rounded to a whole pound).
BOOST_AUTO_TEST_CASE(withdrawal_cells) {
  BOOST_TEST(rounded(withdrawal_per_inch(0.50, 0.131)) == 32);
  BOOST_TEST(rounded(withdrawal_per_inch(0.42, 0.162)) == 26);
  BOOST_TEST(std::fabs(withdrawal_per_inch(0.42, 0.131) - 20.67) < 0.01);
  const double shanks[] = {0.099, 0.113, 0.128, 0.131, 0.135, 0.148, 0.162};
  const struct {
    double gravity;
    int cells[7];
  } rows[] = {{0.55, {31, 35, 40, 41, 42, 46, 50}},
              {0.50, {24, 28, 31, 32, 33, 36, 40}},
              {0.43, {17, 19, 21, 22, 23, 25, 27}},
              {0.42, {16, 18, 20, 21, 21, 23, 26}}};
  for (const auto& row : rows)
    for (int i = 0; i < 7; ++i)
      BOOST_TEST(rounded(withdrawal_per_inch(row.gravity, shanks[i])) == row.cells[i]);
}

// AWC solved example E2.1a: 0.131 x 2 1/2 nail through a side member of 0.105 in, G 0.42: p 2.395 in, 49.5
// lb.
BOOST_AUTO_TEST_CASE(solved_withdrawal_example) {
  const double held = 2.5 - 0.105;
  BOOST_TEST(held == 2.395, close_to);
  const double capacity = nail_capacity(withdrawal_per_inch(0.42, 0.131), held, 0.131, 1e9, 1.0);
  BOOST_TEST(std::fabs(capacity - 49.5) < 0.05);
}

// 8d common, 1 in held, G 0.50, load duration 1.6, 16 in on centre: 38.4 lb a foot (a published table's
// cell).
BOOST_AUTO_TEST_CASE(withdrawal_per_foot) {
  const double a_nail = nail_capacity(rounded(withdrawal_per_inch(0.50, 0.131)), 1.0, 0.131, 1e9);
  BOOST_TEST(std::fabs(a_nail * 12 / 16 - 38.4) < 0.1);
}

// NDS 2018 Table 12.2F (p. 82) and its equation, lb.
BOOST_AUTO_TEST_CASE(pull_through_cells) {
  BOOST_TEST(rounded(head_pull_through(0.50, 0.234, 5.0 / 16)) == 40);
  BOOST_TEST(rounded(head_pull_through(0.50, 0.312, 0.75)) == 127);
  BOOST_TEST(rounded(head_pull_through(0.50, 0.312, 1.0)) == 132);
  BOOST_TEST(rounded(head_pull_through(0.42, 0.500, 1.5)) == 239);
  BOOST_TEST(std::fabs(head_pull_through(0.50, 0.406, 5.0 / 16) - 68.75) < 0.05);
  // 20d common through 5/16: the head gives before 3.6875 in of shank do (same source).
  const double shank = withdrawal_per_inch(0.50, 0.192) * 3.6875;
  BOOST_TEST(shank > 68.75);
  BOOST_TEST(std::fabs(nail_capacity(withdrawal_per_inch(0.50, 0.192), 3.6875, 0.192,
                                     head_pull_through(0.50, 0.406, 5.0 / 16), 1.0) -
                       68.75) < 0.05);
}

// NDS 2018 12.1.6.4: 6 D, 0.678 in of a 0.113 shank and 0.786 of a 0.131, or it counts nothing.
BOOST_AUTO_TEST_CASE(six_diameters) {
  BOOST_TEST(least_penetration_diameters * 0.113 == 0.678, close_to);
  BOOST_TEST(least_penetration_diameters * 0.131 == 0.786, close_to);
  BOOST_TEST(nail_capacity(20, 0.677, 0.113, 1e9) == 0);
  BOOST_TEST(nail_capacity(20, 0.679, 0.113, 1e9) > 0);
}

// Nails into panels: equivalent G 0.40 plain, 0.70 ring (Herzog and Yeh, APA). In the smooth formula a ring
// 0.113 in 7/16: 63.9 lb/in, 28.0 lb (derived).
BOOST_AUTO_TEST_CASE(panels) {
  BOOST_TEST(std::fabs(withdrawal_per_inch(panel_gravity_ring, 0.113) - 63.9) < 0.1);
  BOOST_TEST(std::fabs(withdrawal_per_inch(panel_gravity_ring, 0.113) * 0.4375 - 28.0) < 0.05);
  BOOST_TEST(std::fabs(withdrawal_per_inch(panel_gravity_plain, 0.113) * 0.4375 - 6.9) < 0.05);
}

// NAVEDTRA 14044: 3/8 siding over 3/4 sheathing, 7d (2 1/4): 1 1/8 in in the stud, 1 7/8 in effective in all.
// That board lies flat: nothing leans, so nothing stands off.
BOOST_AUTO_TEST_CASE(penetration_example) {
  Wall wall;
  wall.name = "w";
  wall.outline = {{0, 0}, {96, 0}, {96, 16}, {0, 16}};
  wall.edges.assign(4, default_edge(EdgeKind::corner));
  Rules rules;
  rules.board.thickness = 0.375;
  rules.sheathing.thickness = 0.75;
  rules.fasteners.length = 2.25;
  Pole pole;
  pole.lines = {0, 7};
  pole.exposures = {7};
  WallCourses courses;
  courses.last_course = 1;
  Piece piece;
  piece.id = "w-00-1";
  piece.outline = {{4, 0}, {92, 0}, {92, 8.25}, {4, 8.25}};
  piece.x_min = 4;
  piece.x_max = 92;
  piece.length = 88;
  const Fastening f = place_fasteners(wall, {}, pole, courses, {piece}, {}, rules);
  int in_studs = 0;
  for (const Nail& n : f.pieces[0]) {
    if (n.into != NailBase::stud) continue;
    ++in_studs;
    BOOST_TEST(n.penetration + n.stand_off == 1.125, close_to);
    BOOST_TEST(n.penetration + n.stand_off + n.sheathing == 1.875, close_to);
  }
  BOOST_TEST(in_studs == 5);
}

// Joint at a stud's centre, 1 1/2 in stud, nails 3/8 in from each end, 1/8 in gap: 0.3125 in from the stud's
// face; 2.5 D asks 0.2825 of a 0.113 shank and 0.3275 of a 0.131 (NDS Commentary Table C12.1.6.6).
BOOST_AUTO_TEST_CASE(stud_edge_at_a_joint) {
  const double left = 1.5 / 2 - 0.125 / 2 - 0.375;
  BOOST_TEST(left == 0.3125);
  BOOST_TEST(left >= stud_edge_diameters * 0.113);
  BOOST_TEST(left < stud_edge_diameters * 0.131);
  for (double shank : {0.113, 0.131}) {
    Wall wall;
    wall.name = "w";
    wall.outline = {{0, 0}, {96, 0}, {96, 16}, {0, 16}};
    wall.edges.assign(4, default_edge(EdgeKind::corner));
    Rules rules;
    rules.fasteners.shank = shank;
    Pole pole;
    pole.lines = {0, 7};
    pole.exposures = {7};
    WallCourses courses;
    courses.last_course = 1;
    Piece piece;
    piece.id = "w-00-1";
    piece.outline = {{4, 0}, {48.6875, 0}, {48.6875, 8.25}, {4, 8.25}};
    piece.x_min = 4;
    piece.x_max = 48.6875;
    piece.right.meets = Meets::joint;
    const Fastening f = place_fasteners(wall, {}, pole, courses, {piece}, {}, rules);
    BOOST_TEST(f.pieces[0].back().at.x == 48.6875 - 0.375);
    BOOST_TEST(f.pieces[0].back().stud_edge == 0.3125);
    BOOST_TEST((f.findings.size() == (shank > 0.12 ? 1u : 0u)));
  }
}

// IRC Table R301.2(2) (2018), roof over 7 to 27 degrees, zone 1, 10 sq ft, inward, 30 ft, exposure B,
// allowable stress: the row proves q (GC_p 0.5, GC_pi 0.18).
BOOST_AUTO_TEST_CASE(roof_row_proves_q) {
  const double rows[][2] = {{130, 10.5}, {140, 12.2}, {150, 14.0}, {160, 15.9}};
  for (const auto& row : rows) {
    const double q = velocity_pressure(row[0], exposure_coefficient('B', 30));
    BOOST_TEST(std::fabs(ultimate_to_allowable * q * (0.5 + internal_coefficient) - row[1]) < 0.05);
  }
}

// Hand calculation in a public test file: V 175, exposure C, 20 ft: q 59.9; +70.7, zone 4 -76.7, zone 5 -94.6
// (rounded on the way: tolerance 0.2).
BOOST_AUTO_TEST_CASE(worked_wall_pressures) {
  const double q = velocity_pressure(175, exposure_coefficient('C', 20));
  BOOST_TEST(std::fabs(q - 59.9) < 0.1);
  BOOST_TEST(std::fabs(q * (wall_inward_coefficient + internal_coefficient) - 70.7) < 0.2);
  BOOST_TEST(std::fabs(q * (wall_zone_4_coefficient + internal_coefficient) - 76.7) < 0.2);
  BOOST_TEST(std::fabs(q * (wall_zone_5_coefficient + internal_coefficient) - 94.6) < 0.2);
}

// IRC Table R301.2(2), walls, 10 sq ft (from memory).
BOOST_AUTO_TEST_CASE(wall_rows) {
  const double rows[][4] = {{110, 13.1, 14.2, 17.5},
                            {115, 14.3, 15.5, 19.1},
                            {120, 15.5, 16.9, 20.8},
                            {130, 18.2, 19.8, 24.4},
                            {140, 21.2, 22.9, 28.3}};
  for (const auto& row : rows) {
    LoadRules loads;
    loads.wind_speed = row[0];
    loads.mean_roof_height = 360;
    const WallPressures p = wall_pressures(loads);
    BOOST_TEST(std::fabs(p.inward - row[1]) < 0.1);
    BOOST_TEST(std::fabs(p.zone_4 - row[2]) < 0.1);
    BOOST_TEST(std::fabs(p.zone_5 - row[3]) < 0.1);
  }
}

// The rows of K_z against the table's own formula, 2.01 (z / z_g)^(2 / alpha): alpha 7, 9.5, 11.5 and z_g
// 1200, 900, 700 ft for B, C, D (ASCE 7-10 Table 26.9-1, from memory); B below 30 ft takes 0.70.
BOOST_AUTO_TEST_CASE(exposure_rows_follow_their_formula) {
  for (double z : {15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0}) {
    BOOST_TEST(std::fabs(exposure_coefficient('B', z) - std::max(0.70, 2.01 * std::pow(z / 1200, 2 / 7.0))) <
               0.006);
    BOOST_TEST(std::fabs(exposure_coefficient('C', z) - 2.01 * std::pow(z / 900, 2 / 9.5)) < 0.0075);
    BOOST_TEST(std::fabs(exposure_coefficient('D', z) - 2.01 * std::pow(z / 700, 2 / 11.5)) < 0.006);
  }
  BOOST_TEST(exposure_coefficient('C', 17.5) == 0.875, close_to);
  BOOST_TEST(exposure_coefficient('C', 5) == 0.85);
  BOOST_TEST(exposure_coefficient('D', 200) == 1.31);
}

// ASCE 7-02 Fig. 6-3 note 5: 28 x 40 ft, 12 ft high: 3.0 ft. 40 x 60, 20 ft: 4.0 ft.
BOOST_AUTO_TEST_CASE(edge_zones) {
  BOOST_TEST(edge_zone_width(28 * 12, 40 * 12, 12 * 12) == 3.0 * 12, close_to);
  BOOST_TEST(edge_zone_width(40, 60, 20, 3) == 4.0, close_to);
  BOOST_TEST(edge_zone_width(200, 300, 10, 3) == 8.0, close_to);  // 4 percent of a wide, low building
}

// IRC Table R703.3.2 (2018), feet of mean roof height.
BOOST_AUTO_TEST_CASE(attachment_heights) {
  BOOST_TEST(!attachment_height(115, 'B').limited);
  BOOST_TEST(attachment_height(115, 'C').feet == 50);
  BOOST_TEST(attachment_height(115, 'D').feet == 20);
  BOOST_TEST(attachment_height(120, 'C').feet == 30);
  BOOST_TEST(attachment_height(120, 'D').design_required);
  BOOST_TEST(attachment_height(130, 'B').feet == 60);
  BOOST_TEST(attachment_height(130, 'C').feet == 15);
  BOOST_TEST(attachment_height(130, 'D').design_required);
  BOOST_TEST(attachment_height(140, 'B').feet == 35);
  BOOST_TEST(attachment_height(140, 'C').design_required);
  BOOST_TEST(attachment_height(150, 'B').design_required);
  BOOST_TEST(attachment_height(116, 'C').feet == 30);  // the next row up
}

// 115 mph, zone 5, 16 in studs, 7 in shown: 19.1 x 0.778 = 14.86 lb a nail; 0.113 smooth in G 0.42 holds 28.5
// lb an inch under wind (derived from the two tables above).
BOOST_AUTO_TEST_CASE(demand_of_one_nail) {
  BOOST_TEST(std::fabs(19.1 * (16 * 7 / 144.0) - 14.86) < 0.01);
  BOOST_TEST(std::fabs(withdrawal_per_inch(0.42, 0.113) * wind_load_duration - 28.5) < 0.1);
}
