#include <boost/test/unit_test.hpp>
#include <lapwright/length.hpp>

BOOST_AUTO_TEST_CASE(snap_is_a_multiple_of_two_to_minus_sixteen) {
  BOOST_TEST(lapwright::snap(0.1) * 65536 == 6554);
}
