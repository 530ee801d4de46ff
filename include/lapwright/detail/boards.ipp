#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/boards.hpp>
#include <lapwright/detail/config.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Packing pack_boards(const std::vector<Piece>&, const std::vector<Starter>&, const Rules&) {
  throw std::logic_error("pack_boards: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
