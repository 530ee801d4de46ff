// Rake templates against tables that carpenters print and use. Each table names where it was read.
#include <cmath>
#include <string>

#include <boost/test/unit_test.hpp>

#include <lapwright/length.hpp>
#include <lapwright/rake.hpp>
#include <lapwright/runs.hpp>

using namespace lapwright;

namespace {

/// Length of slope for a run, from what the template says: offset along, width up.
double slope_length(const RakeTemplate& t, double width, double run) {
  return run * std::sqrt(t.offset * t.offset + width * width) / t.offset;
}
RakeTemplate made(double rise, double run = 12, double exposure = 7) {
  return rake_template(rise, run, Hand::left, Rules{}, exposure);
}
const double board = Rules{}.board.width;

}  // namespace

// Rafter length for each foot of run, rise 2 to 18 in 12. Read at
// instructables.com/id/How-To-Make-A-Common-Rafter-For-Any-Width-Structur (step 4); 7 -> 13.89 also in
// NAVEDTRA 14044 fig. 2-17, 13 -> 17.69 in US Army EN0069A fig. 2-17.
BOOST_AUTO_TEST_CASE(rafter_length_for_a_foot_of_run) {
  const double table[] = {12.17, 12.37, 12.65, 13.00, 13.42, 13.89, 14.42, 15.00, 15.62,
                          16.28, 16.97, 17.69, 18.44, 19.21, 20.00, 20.81, 21.63};
  for (int rise = 2; rise <= 18; ++rise)
    BOOST_TEST(std::fabs(slope_length(made(rise), board, 12) - table[rise - 2]) <= 0.006, "rise " << rise);
}

// Worked rafters, made with factors of two decimals: NAVEDTRA 14044 fig. 2-17 (7 in 12, 8 ft: 111.12, said
// 111 1/8 or 9 ft 3 1/8); US Army EN0069A fig. 2-17 (13 in 12, 10 ft 4 in: 182.79); Griffith, Carpentry, sec.
// 17 (6 in 12, 12 ft 6 in: 167.75).
BOOST_AUTO_TEST_CASE(worked_rafters) {
  BOOST_TEST(std::fabs(slope_length(made(7), board, 96) - 111.12) <= 0.06);
  BOOST_TEST(std::fabs(slope_length(made(13), board, 124) - 182.79) <= 0.06);
  BOOST_TEST(std::fabs(slope_length(made(6), board, 150) - 167.75) <= 0.06);
  BOOST_TEST(format_length(slope_length(made(7), board, 96)) == "111 1/8");
}

// Slope factors, slope length over run, 1 to 5 in 12: zenkankakufes.com, roof pitch in degrees. 6 to 18: the
// rafter lengths above over 12 (from the definition), to four decimals.
BOOST_AUTO_TEST_CASE(slope_factors) {
  const double table[] = {1.0035, 1.0138, 1.0308, 1.0541, 1.0833, 1.1180, 1.1577, 1.2019, 1.2500,
                          1.3017, 1.3566, 1.4142, 1.4743, 1.5366, 1.6008, 1.6667, 1.7341, 1.8028};
  for (int rise = 1; rise <= 18; ++rise)
    BOOST_TEST(std::fabs(slope_length(made(rise), board, 1) - table[rise - 1]) <= 0.00006, "rise " << rise);
}

// Slope in degrees. 1 to 5 in 12: zenkankakufes.com, roof pitch in degrees; 5 in 12 = 22.619: scribd.com
// 354800494, Roof Framing. 6 to 18 in 12: from the definition, atan(rise / 12) (from memory), to three
// decimals.
BOOST_AUTO_TEST_CASE(rise_to_degrees) {
  const double to_two[] = {4.76, 9.46, 14.04, 18.43, 22.62};
  for (int rise = 1; rise <= 5; ++rise)
    BOOST_TEST(std::fabs(made(rise).angle - to_two[rise - 1]) <= 0.0051, "rise " << rise);
  BOOST_TEST(std::fabs(made(5).angle - 22.619) <= 0.0011);
  const double to_three[] = {26.565, 30.256, 33.690, 36.870, 39.806, 42.510, 45.000,
                             47.291, 49.399, 51.340, 53.130, 54.782, 56.310};
  for (int rise = 6; rise <= 18; ++rise)
    BOOST_TEST(std::fabs(made(rise).angle - to_three[rise - 6]) <= 0.0006, "rise " << rise);
}

// Degrees to rise in 12: roofonline.com, roof slope degrees to roof pitch.
BOOST_AUTO_TEST_CASE(degrees_to_rise) {
  const double table[][2] = {{10, 2.116},  {15, 3.215},  {20, 4.368},  {25, 5.596},  {30, 6.928}, {35, 8.403},
                             {40, 10.069}, {45, 12.000}, {50, 14.301}, {55, 17.138}, {60, 20.785}};
  for (const auto& row : table)
    BOOST_TEST(std::fabs(rake_template_from_angle(row[0], Hand::right, Rules{}, 7).rise - row[1]) <= 0.0006,
               row[0] << " degrees");
  BOOST_TEST(rake_template_from_angle(45, Hand::right, Rules{}, 7).rise == 12);
}

// Gable studs: what a stud at a spacing gains over its neighbour. Read backwards, with the gain as exposure,
// it is the step of a rake from course to course. 24 in at 6 in 12 -> 12: NAVEDTRA 14044 fig. 2-29; 16 in at
// 16 in 12 -> 21.3: learn8.cc g3S4yo02kI; the rest of both tables from spacing x rise / 12 (common practice).
BOOST_AUTO_TEST_CASE(the_step_is_the_common_difference_read_backwards) {
  BOOST_TEST(made(6, 12, 12).step == 24);
  BOOST_TEST(made(6, 12, 8).step == 16);
  BOOST_TEST(std::fabs(made(16, 12, 21.3).step - 16) <= 0.03);
  const double at_16[] = {2.667,  4.000,  5.333,  6.667,  8.000,  9.333,  10.667, 12.000, 13.333,
                          14.667, 16.000, 17.333, 18.667, 20.000, 21.333, 22.667, 24.000};
  const double at_24[] = {4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 34, 36};
  for (int rise = 2; rise <= 18; ++rise) {
    BOOST_TEST(std::fabs(made(rise, 12, at_16[rise - 2]).step - 16) <= 0.0006 * 12 / rise, "rise " << rise);
    BOOST_TEST(made(rise, 12, at_24[rise - 2]).step == 24, boost::test_tools::tolerance(1e-12));
  }
}

// The same on walls: a gable's courses, exposure e, are each shorter than the one below by e x 12 / rise an
// end, as the studs of a gable end are by spacing x rise / 12 (NAVEDTRA 14044 fig. 2-29, read backwards).
BOOST_AUTO_TEST_CASE(each_course_of_a_gable_steps_by_the_common_difference) {
  for (int rise = 2; rise <= 18; ++rise)
    for (const double exposure : {7.0, 6.9375, 4.0}) {
      Wall wall;
      wall.name = "gable";
      wall.outline = {{0, 0}, {240, 0}, {240, 14}, {120, 14 + 10.0 * rise}, {0, 14}};
      wall.edges = {{EdgeKind::base, 0, 0},
                    {EdgeKind::corner, 0, 0},
                    {EdgeKind::rake, 0, 0},
                    {EdgeKind::rake, 0, 0},
                    {EdgeKind::corner, 0, 0}};
      Rules rules;
      rules.board.lengths = {144};
      const Region region = siding_region(wall, rules, 0.0);
      Pole pole;
      for (int k = 0; k * exposure < 14 + 10.0 * rise - 1e-6; ++k) pole.lines.push_back(k * exposure);
      pole.exposures.assign(pole.lines.size() - 1, exposure);
      WallCourses courses;
      courses.last_course = static_cast<int>(pole.lines.size()) - 1;
      const double step = made(rise, 12, exposure).step;
      const Run* below = nullptr;
      const Runs runs = find_runs(wall, region, pole, courses, rules);
      for (const Run& run : runs.runs) {
        if (pole.lines[static_cast<std::size_t>(run.course)] <= 14) continue;
        if (below != nullptr) {
          BOOST_TEST(run.x_min - below->x_min == step, boost::test_tools::tolerance(1e-9));
          BOOST_TEST(below->x_max - run.x_max == step, boost::test_tools::tolerance(1e-9));
        }
        below = &run;
      }
      BOOST_TEST((below != nullptr));
    }
}

// Metric unit rise and run: 150 in 250, studs at 600 -> 360; 1200 from the wall -> 720.
// basiccarpentrytechniques.com, Framing Gable Roofs 11 and 12.
BOOST_AUTO_TEST_CASE(metric_unit_rise_and_run) {
  const double mm = 1 / 25.4;
  BOOST_TEST(made(150, 250, 360 * mm).step / mm == 600, boost::test_tools::tolerance(1e-12));
  BOOST_TEST(made(150, 250, 720 * mm).step / mm == 1200, boost::test_tools::tolerance(1e-12));
  BOOST_TEST(made(150, 250).rise == 7.2, boost::test_tools::tolerance(1e-12));
}

// Named roof pitches as rise over twice the run: 1/6, 1/4, 1/3, 5/12, 1/2, 5/8, 3/4 are 4, 6, 8, 10, 12, 15,
// 18 in
// 12. US Army EN5156, fig. 3-13.
BOOST_AUTO_TEST_CASE(named_pitches) {
  const double pitches[][3] = {{1, 6, 4},  {1, 4, 6},  {1, 3, 8}, {5, 12, 10},
                               {1, 2, 12}, {5, 8, 15}, {3, 4, 18}};
  for (const auto& p : pitches)
    BOOST_TEST(made(p[0] * 2, p[1]).rise == p[2], boost::test_tools::tolerance(1e-12));
}

// Framing-square settings: 12 on the blade and the rise on the tongue is how every square's table is meant
// (NAVEDTRA 14044; common practice). A rise above the tongue's 16 in is set smaller, in whole inches where
// they say it exactly: 18 in 12 as 15 over 10.
BOOST_AUTO_TEST_CASE(framing_square_pairs) {
  for (int rise = 1; rise <= 16; ++rise)
    BOOST_TEST((made(rise).square == Point{12, static_cast<double>(rise)}), "rise " << rise);
  for (int rise = 17; rise <= 24; ++rise) {
    const Point pair = made(rise).square;
    BOOST_TEST(std::fabs(pair.y * 12 - pair.x * rise) < 1e-9, "rise " << rise);
  }
  BOOST_TEST((made(18).square == Point{10, 15}));
  BOOST_TEST((made(24).square == Point{8, 16}));
}

// Run for a course of 7 in: 7 x 12 / rise (from the definition), as printed to three decimals.
BOOST_AUTO_TEST_CASE(run_for_a_seven_inch_course) {
  const double table[] = {42.000, 28.000, 21.000, 16.800, 14.000, 12.000, 10.500, 9.333, 8.400,
                          7.636,  7.000,  6.462,  6.000,  5.600,  5.250,  4.941,  4.667};
  for (int rise = 2; rise <= 18; ++rise)
    BOOST_TEST(std::fabs(made(rise).step - table[rise - 2]) <= 0.0006, "rise " << rise);
}
