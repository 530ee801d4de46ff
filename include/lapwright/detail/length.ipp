#pragma once
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>
#include <lapwright/length.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Reads a length from left to right. No locale, no strtod: the same double on every machine.
class LengthReader {
public:
  explicit LengthReader(std::string_view text) : all_(text), rest_(text) {}

  double read() {
    skip_spaces();
    if (rest_.empty()) fail("is empty");
    const bool below_zero = take_any({"-", "\xE2\x88\x92"});
    if (!below_zero) take("+");
    double inches = 0;
    Number number;
    if (!take_number(number)) fail("does not begin with a number");
    skip_spaces();
    if (take_feet_mark()) {
      if (number.fraction) fail("has a fraction of a foot: write inches for it");
      inches = 12 * number.value();
      read_inches_after_feet(number, inches);
    } else if (take_word({"mm"})) {
      if (number.fraction) fail("has a fraction of a millimetre: write it as a decimal");
      inches = number.value() / 25.4;
    } else {
      take_inch_mark();
      inches = number.value();
    }
    skip_spaces();
    if (!rest_.empty()) fail(detail::format("cannot be read from \"{}\" on", clipped(rest_)));
    if (!(inches <= greatest_length)) fail(detail::format("is beyond {:.0f} in", greatest_length));
    return below_zero && inches > 0 ? -inches : inches;
  }

private:
  /// whole + numerator / denominator; decimals stand in `whole`, with no fraction beside them.
  struct Number {
    double whole = 0;
    bool decimals = false;
    bool fraction = false;
    double numerator = 0, denominator = 1;
    /// Rounded once: the products are whole numbers far below 2^53.
    double value(double more = 0) const {
      return fraction ? ((whole + more) * denominator + numerator) / denominator : whole + more;
    }
  };

  [[noreturn]] void fail(const std::string& why) const {
    throw Refused("", detail::format("length \"{}\" {}; write it like 63-7/16, 63 7/16\", 63.4375in, "
                                     "5' 3 7/16\", 5 ft 3 7/16 in or 1611 mm",
                                     clipped(all_), why));
  }
  /// A message stays a sentence, whatever was read; no character is cut through.
  static std::string clipped(std::string_view text) {
    std::size_t end = 60;
    if (text.size() <= end) return std::string(text);
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;
    return std::string(text.substr(0, end)) + "...";
  }

  bool take(std::string_view what) {
    if (rest_.substr(0, what.size()) != what) return false;
    rest_.remove_prefix(what.size());
    return true;
  }
  bool take_any(std::initializer_list<std::string_view> list) {
    for (std::string_view what : list)
      if (take(what)) return true;
    return false;
  }
  /// A unit's name in either case, not followed by a further letter.
  bool take_word(std::initializer_list<std::string_view> list) {
    for (std::string_view word : list) {
      if (rest_.size() < word.size()) continue;
      bool same = true;
      for (std::size_t i = 0; i < word.size(); ++i) same = same && lower(rest_[i]) == word[i];
      if (!same) continue;
      if (rest_.size() > word.size() && is_letter(rest_[word.size()])) continue;
      rest_.remove_prefix(word.size());
      return true;
    }
    return false;
  }
  static char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
  static bool is_letter(char c) { return lower(c) >= 'a' && lower(c) <= 'z'; }
  static bool is_digit(char c) { return c >= '0' && c <= '9'; }
  bool digit_next() const { return !rest_.empty() && is_digit(rest_.front()); }

  bool skip_spaces() {  // blank, tab, no-break spaces
    bool any = false;
    while (take_any({" ", "\t", "\xC2\xA0", "\xE2\x80\xAF"})) any = true;
    return any;
  }
  bool take_hyphen() { return take_any({"-", "\xE2\x80\x90", "\xE2\x80\x91", "\xE2\x80\x93"}); }
  bool take_feet_mark() {
    if (rest_.substr(0, 2) == "''") return false;  // two primes are inches
    return take_any({"'", "\xE2\x80\xB2", "\xE2\x80\x99"}) || take_word({"ft", "feet", "foot"});
  }
  bool take_inch_mark() {
    return take_any({"\"", "\xE2\x80\xB3", "\xE2\x80\x9D", "''"}) || take_word({"in", "inch", "inches"});
  }

  /// Digits that do not fit a double's whole numbers say nothing at any length allowed; they are passed over.
  double take_digits(double begin, int* places) {
    double value = begin;
    while (digit_next()) {
      const double next = value * 10 + (rest_.front() - '0');
      rest_.remove_prefix(1);
      if (places != nullptr && next > 9007199254740992.0) {
        while (digit_next()) rest_.remove_prefix(1);
        break;
      }
      value = next;
      if (places != nullptr && ++*places == 22) {  // 10^22 is the last exact power of ten
        while (digit_next()) rest_.remove_prefix(1);
        break;
      }
    }
    return value;
  }

  bool take_number(Number& number) {
    number = Number{};
    const bool whole = digit_next();
    if (whole) number.whole = take_digits(0, nullptr);
    if (number.whole > greatest_length * 25.4) fail(detail::format("is beyond {:.0f} in", greatest_length));
    if (!rest_.empty() && rest_.front() == '.') {
      rest_.remove_prefix(1);
      if (!digit_next()) fail("has no digit after its point");
      int places = 0;
      const double mantissa = take_digits(number.whole, &places);
      double power = 1;
      for (int i = 0; i < places; ++i) power *= 10;
      number.whole = mantissa / power;
      number.decimals = true;
      return true;
    }
    if (!whole) return false;
    if (take("/")) {  // a fraction alone
      take_denominator(number, number.whole);
      number.whole = 0;
      return true;
    }
    const std::string_view before = rest_;
    if ((skip_spaces() || take_hyphen()) && digit_next()) {  // a fraction behind the whole
      const double numerator = take_digits(0, nullptr);
      if (take("/")) {
        take_denominator(number, numerator);
        if (!(number.numerator < number.denominator))
          fail("has a fraction of 1 or more beside a whole number");
        return true;
      }
    }
    rest_ = before;
    return true;
  }
  void take_denominator(Number& number, double numerator) {
    if (!digit_next()) fail("has a fraction without a denominator");
    number.fraction = true;
    number.numerator = numerator;
    number.denominator = take_digits(0, nullptr);
    if (!(number.denominator >= 1)) fail("has a fraction over 0");
    if (number.denominator > 1e9 || number.numerator > 1e15) fail("has a fraction that no tape shows");
  }

  void read_inches_after_feet(const Number& feet, double& inches) {
    skip_spaces();
    if (rest_.empty()) return;
    const std::string_view before = rest_;
    if (take_hyphen()) skip_spaces();  // 5'-3"
    Number number;
    if (!take_number(number)) {
      rest_ = before;
      return;
    }
    if (feet.decimals) fail("has decimals of a foot and inches beside them");
    skip_spaces();
    take_inch_mark();
    inches = number.value(inches);
  }

  std::string_view all_, rest_;
};

/// The nearest whole number, halves up. Exact: q - floor(q) is.
inline double nearest_half_up(double q) {
  const double below = std::floor(q);
  return q - below >= 0.5 ? below + 1 : below;
}

/// Whole inches and a fraction in lowest terms over 2^n, or decimals.
inline std::string say_inches(double inches, double division) {
  int exponent = 0;
  if (std::frexp(division, &exponent) == 0.5) {
    const double whole = std::floor(inches);
    double numerator = inches - whole, denominator = 1;
    while (numerator != std::floor(numerator)) {
      numerator *= 2;
      denominator *= 2;
    }
    if (numerator == 0) return detail::format("{:.0f}", whole);
    if (whole == 0) return detail::format("{:.0f}/{:.0f}", numerator, denominator);
    return detail::format("{:.0f} {:.0f}/{:.0f}", whole, numerator, denominator);
  }
  // As many places as tell a tenth of a division, and no zeros after the last that says something.
  int places = 0;
  for (double step = 1; step > division / 10 && places < 17; step /= 10) ++places;
  std::string text = detail::format("{:.{}f}", inches, places);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text;
}

}  // namespace detail

LAPW_INLINE double parse_length(std::string_view text) {
  return detail::LengthReader(text).read();
}

LAPW_INLINE std::string format_length(double inches, double division, LengthStyle style) {
  if (!std::isfinite(inches))
    throw Refused("inches", detail::format("a length must be a finite number, got {}", inches));
  if (!(division > 0) || !std::isfinite(division))
    throw Refused("division", detail::format("the division must be more than 0, got {}", division));
  const double steps = detail::nearest_half_up(inches / division);
  if (!std::isfinite(steps))
    throw Refused("division",
                  detail::format("the division is too small for {} in, got {}", inches, division));
  const double rounded = std::fabs(steps * division);
  const char* sign = steps < 0 ? "-" : "";
  if (style == LengthStyle::inches) return sign + detail::say_inches(rounded, division);
  double feet = std::floor(rounded / 12);
  double rest = rounded - 12 * feet;
  std::string said = detail::say_inches(rest, division);
  if (said == "12") {  // decimals that round up to the next foot
    feet += 1;
    said = "0";
  }
  if (feet == 0) return detail::format("{}{}\"", sign, said);
  // A fraction alone would be read as one of a foot.
  if (said.find('/') != std::string::npos && said.find(' ') == std::string::npos) said = "0 " + said;
  return detail::format("{}{:.0f}' {}\"", sign, feet, said);
}

LAPW_INLINE double snap(double inches) {
  return std::nearbyint(inches * snaps_per_inch) / snaps_per_inch;
}

LAPW_INLINE double round_down(double inches, double division) {
  return std::floor((inches + tolerance) / division) * division;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
