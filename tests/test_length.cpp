#include <cmath>
#include <cstdint>
#include <limits>
#include <string>

#include <boost/test/unit_test.hpp>

#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>
#include <lapwright/length.hpp>

#include "random_house.hpp"

using lapwright::format_length;
using lapwright::LengthStyle;
using lapwright::parse_length;
using lapwright::Refused;

namespace {

struct Random : lapwright_test::Random {
  using lapwright_test::Random::Random;
  int below(int n) { return whole(0, n - 1); }
};

}  // namespace

BOOST_AUTO_TEST_CASE(every_way_of_writing_a_length) {
  struct {
    const char* text;
    double inches;
  } const cases[] = {
      {"63-7/16", 63.4375},
      {"63 7/16\"", 63.4375},
      {"63.4375in", 63.4375},
      {"63.4375 in", 63.4375},
      {"5' 3 7/16\"", 63.4375},
      {"5'3-7/16\"", 63.4375},
      {"5'-3 7/16\"", 63.4375},
      {"5' - 3 7/16\"", 63.4375},
      {"5 ft 3 7/16 in", 63.4375},
      {"5ft3 7/16in", 63.4375},
      {"5 feet 3.4375 inches", 63.4375},
      {"1 foot", 12},
      {"5.5 ft", 66},
      {"5'", 60},
      {"5' 0\"", 60},
      {"5' 7/16\"", 60.4375},
      {"5' 3", 63},
      {"7/16", 0.4375},
      {"7/16\"", 0.4375},
      {"17/16", 1.0625},
      {"63", 63},
      {".5", 0.5},
      {"0.5''", 0.5},
      {"63 7/16\xE2\x80\xB3", 63.4375},               // double prime
      {"63 7/16\xE2\x80\x9D", 63.4375},               // closing quotation mark
      {"5\xE2\x80\xB2 3 7/16\xE2\x80\xB3", 63.4375},  // primes
      {"5\xE2\x80\x99 3 7/16\xE2\x80\x9D", 63.4375},  // quotation marks
      {"5\xC2\xA0"
       "ft\xC2\xA0"
       "3\xC2\xA0"
       "7/16 in",
       63.4375},  // no-break spaces
      {"63\xE2\x80\x93"
       "7/16",
       63.4375},  // en dash
      {"-1/2", -0.5},
      {"-63-7/16", -63.4375},
      {"-5' 3 7/16\"", -63.4375},
      {"+2", 2},
      {"\xE2\x88\x92"
       "2 1/2",
       -2.5},  // minus sign
      {"  2  ", 2},
      {"0", 0},
      {"-0", 0},
      {"1611 mm", 1611 / 25.4},
      {"1611mm", 1611 / 25.4},
      {"25.4 mm", 1},
      {"-12.7 MM", -0.5},
      {"1 mm", 1 / 25.4},
      {"10 1/6", 61.0 / 6},
      {"0.1", 0.1},
      {"33.33333333333333", 33.33333333333333},
      {"0.00000000000000000000000000001", 0},
      {"100000", 100000},
      {"2540000 mm", 100000},
  };
  for (const auto& c : cases) {
    BOOST_TEST_CONTEXT(c.text) {
      double got = std::numeric_limits<double>::quiet_NaN();
      BOOST_CHECK_NO_THROW(got = parse_length(c.text));
      BOOST_TEST(got == c.inches);
      BOOST_TEST(!(got == 0 && std::signbit(got)));
    }
  }
}

BOOST_AUTO_TEST_CASE(what_is_no_length_is_refused_with_a_sentence) {
  for (const char* text : {"",
                           " ",
                           "x",
                           "ten",
                           "in",
                           "\"",
                           "'",
                           "-",
                           "--5",
                           "- 5",
                           "5--3",
                           "63 - 7/16",
                           "1/0",
                           "1/",
                           "/16",
                           "3 7",
                           "3 17/16",
                           "3 7/1",
                           "63.5 7/16",
                           "5.",
                           ".",
                           "1.2.3",
                           "1e3",
                           "0x10",
                           "inf",
                           "nan",
                           "NaN",
                           "5 cm",
                           "5 m",
                           "5 inn",
                           "5 mmm",
                           "5' 3' 2\"",
                           "5\" 3'",
                           "5.5' 3\"",
                           "1/2 ft",
                           "3 1/2 mm",
                           "5 ft -3 in x",
                           "5,5",
                           "1,000",
                           "100001",
                           "2540001 mm",
                           "99999999999999999999999999999999999999",
                           "1/99999999999999999999",
                           "5' x",
                           "\xFF\xFE",
                           "63 7 / 16",
                           "63\n7/16"}) {
    BOOST_TEST_CONTEXT(text) {
      BOOST_CHECK_EXCEPTION(parse_length(text), Refused, [&](const Refused& r) {
        return r.faults.size() == 1 && r.faults[0].path.empty() && r.faults[0].message.size() > 20;
      });
    }
  }
}

BOOST_AUTO_TEST_CASE(says_a_length_as_a_carpenter_does) {
  BOOST_TEST(format_length(62.375) == "62 3/8");
  BOOST_TEST(format_length(62.375, 0.0625, LengthStyle::feet_inches) == "5' 2 3/8\"");
  BOOST_TEST(format_length(0) == "0");
  BOOST_TEST(format_length(-0.01) == "0");
  BOOST_TEST(format_length(0.0625) == "1/16");
  BOOST_TEST(format_length(-0.5) == "-1/2");
  BOOST_TEST(format_length(-62.375, 0.0625, LengthStyle::feet_inches) == "-5' 2 3/8\"");
  BOOST_TEST(format_length(60, 0.0625, LengthStyle::feet_inches) == "5' 0\"");
  BOOST_TEST(format_length(60.8125, 0.0625, LengthStyle::feet_inches) == "5' 0 13/16\"");
  BOOST_TEST(format_length(7.5, 0.0625, LengthStyle::feet_inches) == "7 1/2\"");
  BOOST_TEST(format_length(0.03125) == "1/16");  // halves up
  BOOST_TEST(format_length(0.031249) == "0");
  BOOST_TEST(format_length(-0.03125) == "0");  // up, also below 0
  BOOST_TEST(format_length(11.99, 0.0625, LengthStyle::feet_inches) == "1' 0\"");
  BOOST_TEST(format_length(63.5, 1) == "64");
  BOOST_TEST(format_length(63.03125, 0.03125) == "63 1/32");
  BOOST_TEST(format_length(100000.5, 0.5) == "100000 1/2");
}

BOOST_AUTO_TEST_CASE(a_metric_division_prints_decimals) {
  const double mm = 1 / 25.4;
  BOOST_TEST(format_length(1584 * mm, mm) == "62.362");
  BOOST_TEST(format_length(1584.4 * mm, mm) == "62.362");
  BOOST_TEST(format_length(254 * mm, mm) == "10");
  BOOST_TEST(format_length(62.4, 0.1) == "62.4");
  BOOST_TEST(format_length(1584 * mm, mm, LengthStyle::feet_inches) == "5' 2.362\"");
  BOOST_TEST(format_length(304.8 * 2, 0.3, LengthStyle::feet_inches) == "50' 9.6\"");
}

BOOST_AUTO_TEST_CASE(a_length_that_cannot_be_said_is_refused) {
  BOOST_CHECK_THROW(format_length(std::numeric_limits<double>::quiet_NaN()), Refused);
  BOOST_CHECK_THROW(format_length(std::numeric_limits<double>::infinity()), Refused);
  BOOST_CHECK_THROW(format_length(1, 0), Refused);
  BOOST_CHECK_THROW(format_length(1, -0.0625), Refused);
  BOOST_CHECK_THROW(format_length(1, std::numeric_limits<double>::quiet_NaN()), Refused);
  BOOST_CHECK_THROW(format_length(1e300, 1e-300), Refused);
}

BOOST_AUTO_TEST_CASE(what_is_said_reads_back) {
  Random random{1};
  for (int i = 0; i < 20000; ++i) {
    const double division = 1.0 / (1 << random.below(9));
    const double inches = (random.below(2000001) - 1000000) * division / 64;
    const double nearest = std::floor(inches / division + 0.5) * division;
    for (LengthStyle style : {LengthStyle::inches, LengthStyle::feet_inches})
      BOOST_TEST(parse_length(format_length(inches, division, style)) == nearest);
  }
  const double mm = 1 / 25.4;
  for (int i = 0; i < 5000; ++i) {
    const int k = random.below(20000) - 10000;
    BOOST_TEST(std::fabs(parse_length(format_length(k * mm, mm)) - k * mm) < mm / 20);
  }
}

BOOST_AUTO_TEST_CASE(snap_is_a_multiple_of_the_grid) {
  BOOST_TEST(lapwright::snap(0.1) * 16777216 == 1677722);
  BOOST_TEST(lapwright::snap(-63.4375) == -63.4375);
  Random random{2};
  for (int i = 0; i < 1000; ++i) {
    const double inches = random.below(2000000) / 25.4;
    const double snapped = lapwright::snap(inches);
    BOOST_TEST(std::fabs(snapped - inches) <= 0.5 / lapwright::snaps_per_inch);
    BOOST_TEST(lapwright::snap(snapped) == snapped);
  }
}

BOOST_AUTO_TEST_CASE(round_down_never_rounds_up_beyond_the_tolerance) {
  BOOST_TEST(lapwright::round_down(62.4, 0.0625) == 62.375);
  BOOST_TEST(lapwright::round_down(62.375, 0.0625) == 62.375);
  BOOST_TEST(lapwright::round_down(62.375 - 1e-9, 0.0625) == 62.375);
  BOOST_TEST(lapwright::round_down(62.375 - 1e-5, 0.0625) == 62.3125);
  BOOST_TEST(lapwright::round_down(-0.01, 0.0625) == -0.0625);
  const double mm = 1 / 25.4;
  for (int k = 0; k < 20000; ++k) {  // snapped millimetres keep their count
    BOOST_TEST(lapwright::round_down(lapwright::snap(k / 25.4), mm) == k * mm);
    BOOST_TEST(lapwright::round_down((k + 0.99) / 25.4, mm) == k * mm);
  }
}
