#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/cutting.hpp>
#include <lapwright/detail/config.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE CutLengths cut_lengths(const std::vector<CutDemand>&, const std::vector<CutStock>&, double,
                                   double) {
  throw std::logic_error("cut_lengths: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
