#define BOOST_TEST_MODULE lapwright
#include <boost/test/unit_test.hpp>
