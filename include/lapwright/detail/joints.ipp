#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/joints.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Joints place_joints(const Wall&, const Region&, const Runs&, const Pole&, const Rules&) {
  throw std::logic_error("place_joints: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
