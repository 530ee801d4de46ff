#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/plan.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Plan plan_house(const Job&, const PlanOptions&) {
  throw std::logic_error("plan_house: not built yet");
}
LAPW_INLINE std::vector<std::string> usual_cautions() {
  throw std::logic_error("usual_cautions: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
