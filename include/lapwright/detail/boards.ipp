#pragma once
#include <lapwright/boards.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/packing.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Packing pack_boards(const std::vector<Piece>& pieces, const std::vector<Starter>& starters,
                                const Rules& rules) {
  return detail::pack_assigned(pieces, starters, rules, {});
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
