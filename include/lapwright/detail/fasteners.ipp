#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/fasteners.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Fastening place_fasteners(const Wall&, const Region&, const Pole&, const WallCourses&,
                                      const std::vector<Piece>&, const std::vector<Starter>&, const Rules&) {
  throw std::logic_error("place_fasteners: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
