#pragma once
/// \file length.hpp  Feet, inches and fractions, in and out.
#include <string>
#include <string_view>

namespace lapwright {
inline namespace v0 {

enum class Unit { inch, millimetre };
enum class LengthStyle {
  inches,      ///< 62 3/8
  feet_inches  ///< 5' 2 3/8"
};

/// Reads a length that may carry its own unit: `63-7/16`, `63 7/16"`, `63.4375in`, `5' 3 7/16"`,
/// `5 ft 3 7/16 in`, `1611 mm`; straight and typographic primes. A sign stands in front of the whole; the
/// hyphen between whole and fraction is none. Without a unit the number is inches.
/// \return inches, not snapped.
/// \throws Refused (path empty) for anything else, for values that are not finite, and beyond
/// greatest_length.
double parse_length(std::string_view text);

/// Writes inches as a carpenter says them, rounded to the nearest whole multiple of `division` (in), halves
/// up. A division that is not a power of two parts of an inch (a metric grid) prints decimals: `62.362`.
/// \throws Refused for a value that is not finite or a division that is not above 0.
std::string format_length(double inches, double division = 0.0625, LengthStyle style = LengthStyle::inches);

/// The nearest multiple of 1 / snaps_per_inch: for coordinates (see geometry.hpp), not for rules.
double snap(double inches);

/// The greatest multiple of `division` not above `inches`, `tolerance` forgiven: a callout is never rounded
/// up.
double round_down(double inches, double division);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/length.ipp>
#endif
