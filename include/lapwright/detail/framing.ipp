#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/framing.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE std::vector<Stud> lay_studs(const Wall&) {
  throw std::logic_error("lay_studs: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
