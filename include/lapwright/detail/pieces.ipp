#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/pieces.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE std::vector<Piece> cut_pieces(const Wall&, const Region&, const Runs&, const std::vector<Joint>&,
                                          const Pole&, const Rules&) {
  throw std::logic_error("cut_pieces: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
