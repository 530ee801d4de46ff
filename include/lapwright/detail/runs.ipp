#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/runs.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Runs find_runs(const Wall&, const Region&, const Pole&, const WallCourses&, const Rules&) {
  throw std::logic_error("find_runs: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
