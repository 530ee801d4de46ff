#include <cmath>
#include <limits>

#include <boost/test/unit_test.hpp>

#include <lapwright/error.hpp>
#include <lapwright/lap.hpp>

using lapwright::lap_profile;
using lapwright::LapProfile;

BOOST_AUTO_TEST_CASE(usual_board) {
  const LapProfile lap = lap_profile(8.25, 0.3125, 7);
  const auto close = boost::test_tools::tolerance(1e-12);
  BOOST_TEST(lap.slope == 0.3125 / 7, close);
  BOOST_TEST(lap.edge_stand_off == 0.3125 * 8.25 / 7, close);
  BOOST_TEST(lap.face_projection == 0.3125 * 8.25 / 7 + 0.3125, close);
  BOOST_TEST(lap.nail_stand_off == 0.3125 / 7, close);
  BOOST_TEST(lap.least_trim == lap.face_projection);
  BOOST_TEST(lap.starter_width == 1.25);
  BOOST_TEST(lap.starter_thickness == 0.3125);
  BOOST_TEST(lap.angle == 2.55615, boost::test_tools::tolerance(1e-5));
}

// The section drawn out: the board's top touches the wall, its back touches the upper face corner of the
// board below, one exposure down from its own top.
BOOST_AUTO_TEST_CASE(agrees_with_the_drawn_section) {
  for (double width : {5.25, 8.25, 12.0})
    for (double thickness : {0.25, 0.3125, 0.625})
      for (double exposure = 2; exposure < width; exposure += 0.375) {
        const LapProfile lap = lap_profile(width, thickness, exposure, 0.75);
        const auto back = [&](double down) { return lap.slope * down; };
        const auto close = boost::test_tools::tolerance(1e-12);
        BOOST_TEST(back(exposure) == thickness, close);  // it rests on the board below
        BOOST_TEST(back(width) == lap.edge_stand_off, close);
        BOOST_TEST(back(0.75) == lap.nail_stand_off, close);
        // The starter: as thick as the board, its upper edge one exposure below the first board's top.
        BOOST_TEST(lap.starter_width + exposure == width, close);
        BOOST_TEST(back(width - lap.starter_width) == lap.starter_thickness, close);
        BOOST_TEST(std::tan(lap.angle / 57.295779513082321) == lap.slope, close);
      }
}

BOOST_AUTO_TEST_CASE(the_more_it_shows_the_less_it_leans) {
  double before = lap_profile(8.25, 0.3125, 1).least_trim;
  for (double exposure = 1.0625; exposure < 8.25; exposure += 0.0625) {
    const double now = lap_profile(8.25, 0.3125, exposure).least_trim;
    BOOST_TEST(now < before);
    before = now;
  }
}

BOOST_AUTO_TEST_CASE(refuses_each_parameter_that_does_not_hold) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto faults = [](double w, double t, double e, double top) {
    try {
      lap_profile(w, t, e, top);
    } catch (const lapwright::Refused& r) {
      return r.faults;
    }
    return std::vector<lapwright::Fault>{};
  };
  BOOST_TEST(faults(8.25, 0.3125, 7, 1).empty());
  BOOST_TEST(faults(8.25, 0.3125, 7, 0).empty());
  BOOST_TEST(faults(8.25, 0.3125, 8.25, 1).size() == 1u);
  BOOST_TEST(faults(8.25, 0.3125, 8.25, 1)[0].path == "exposure");
  BOOST_TEST(faults(8.25, 0.3125, 7, 8.5)[0].path == "top_edge");
  BOOST_TEST(faults(0, 0, 0, -1).size() == 4u);
  BOOST_TEST(faults(nan, nan, nan, nan).size() == 4u);
  BOOST_TEST(faults(8.25, std::numeric_limits<double>::infinity(), 7, 1)[0].path == "thickness");
}
