#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/geometry.hpp>
#include <lapwright/length.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE double parse_length(std::string_view) {
  throw std::logic_error("parse_length: not built yet");
}
LAPW_INLINE std::string format_length(double, double, LengthStyle) {
  throw std::logic_error("format_length: not built yet");
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
