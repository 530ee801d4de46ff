#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/courses.hpp>
#include <lapwright/detail/config.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Courses lay_courses(const std::vector<WallHeights>&, const Rules&) {
  throw std::logic_error("lay_courses: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
