#include <boost/test/unit_test.hpp>
#include <lapwright/length.hpp>

BOOST_AUTO_TEST_CASE(snap_is_a_multiple_of_the_grid) {
  BOOST_TEST(lapwright::snap(0.1) * 16777216 == 1677722);
}
