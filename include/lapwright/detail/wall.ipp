#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/wall.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Region siding_region(const Wall&, const Rules&, std::optional<double>) {
  throw std::logic_error("siding_region: not built yet");
}
LAPW_INLINE double region_area(const Region&, double) {
  throw std::logic_error("region_area: not built yet");
}
LAPW_INLINE std::size_t boundary_along(const Region&, Point, Point) {
  throw std::logic_error("boundary_along: not built yet");
}
LAPW_INLINE WallHeights wall_heights(const Wall&, const Region&) {
  throw std::logic_error("wall_heights: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
