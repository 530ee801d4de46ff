#pragma once
/// \file detail/tape.hpp  Whole divisions as the crew's tape reads them.
#include <cmath>
#include <cstdint>
#include <string>

#include <lapwright/geometry.hpp>
#include <lapwright/length.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Reads a division once, then says counts of it: sixteenths as format_length does, millimetres (a division
/// of whole tenths of them) as a metric tape does, anything else as decimals of an inch.
class Tape {
public:
  explicit Tape(double division) : division_(division) {
    int exponent = 0;
    if (std::frexp(division, &exponent) == 0.5) {
      if (exponent <= 1 && exponent > -20) parts_ = std::int64_t{1} << (1 - exponent);
      return;
    }
    const double tenths = division * 254;
    const double whole = std::floor(tenths + 0.5);
    if (whole >= 1 && whole <= 1000 && std::fabs(tenths - whole) <= 1e-9 * whole)
      tenths_ = static_cast<std::int64_t>(whole);
  }

  double division() const { return division_; }
  bool metric() const { return tenths_ > 0; }
  /// Whole divisions not above a length, `tolerance` forgiven.
  std::int64_t down(double inches) const {
    return static_cast<std::int64_t>(std::floor((inches + tolerance) / division_));
  }

  /// The number alone.
  void say(std::string& to, std::int64_t count) const {
    if (parts_ > 0) {
      if (count < 0) {
        to += '-';
        count = -count;
      }
      const std::int64_t whole = count / parts_;
      std::int64_t numerator = count % parts_, denominator = parts_;
      if (whole != 0 || numerator == 0) digits(to, whole);
      if (numerator == 0) return;
      while (numerator % 2 == 0) {
        numerator /= 2;
        denominator /= 2;
      }
      if (whole != 0) to += ' ';
      digits(to, numerator);
      to += '/';
      digits(to, denominator);
    } else if (tenths_ > 0) {
      std::int64_t tenths = count * tenths_;
      if (tenths < 0) {
        to += '-';
        tenths = -tenths;
      }
      digits(to, tenths / 10);
      if (tenths % 10 != 0) {
        to += '.';
        digits(to, tenths % 10);
      }
    } else {
      to += format_length(static_cast<double>(count) * division_, division_);
    }
  }

  /// The number with its unit where it is not inches: a length that a job may carry.
  std::string say_length(std::int64_t count) const {
    std::string text;
    say(text, count);
    if (metric()) text += " mm";
    return text;
  }

  /// A whole number, 0 or more.
  static void digits(std::string& to, std::int64_t number, std::size_t least = 1) {
    char text[20];
    char* const end = text + sizeof text;
    char* begin = end;
    do {
      *--begin = static_cast<char>('0' + number % 10);
      number /= 10;
    } while (number > 0 || static_cast<std::size_t>(end - begin) < least);
    to.append(begin, end);
  }

private:
  double division_ = 0;
  std::int64_t parts_ = 0;   ///< divisions in an inch, a power of two; 0: none of those
  std::int64_t tenths_ = 0;  ///< tenths of a millimetre in a division; 0: none of those
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
