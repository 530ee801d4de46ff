#include <boost/test/unit_test.hpp>

#include <lapwright/rake.hpp>

using namespace lapwright;

BOOST_AUTO_TEST_CASE(six_in_twelve) {
  const RakeTemplate t = rake_template(6, 12, Hand::left, Rules{}, 7);
  BOOST_TEST(t.offset == 16.5);
  BOOST_TEST(t.step == 14);
  BOOST_TEST((t.square == Point{12, 6}));
  BOOST_TEST(t.error == 0);
  BOOST_TEST(t.angle == 26.56505117707799, boost::test_tools::tolerance(1e-14));
}
