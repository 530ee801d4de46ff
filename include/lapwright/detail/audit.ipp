#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/audit.hpp>
#include <lapwright/detail/config.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE std::vector<Finding> audit(const Job&, const Plan&) {
  throw std::logic_error("audit: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
