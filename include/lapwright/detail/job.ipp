#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/job.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Opening rectangular_opening(std::string name, Point at, double width, double height,
                                        double trim) {
  Opening o;
  o.name = std::move(name);
  o.outline = {at, {at.x + width, at.y}, {at.x + width, at.y + height}, {at.x, at.y + height}};
  o.trim.assign(4, trim);
  o.gap = {default_opening_gap, default_opening_gap, default_opening_head_gap, default_opening_gap};
  o.rectangle = true;
  return o;
}

LAPW_INLINE double greatest_exposure(const Rules& rules) {
  return rules.courses.max_exposure.value_or(rules.board.width - rules.board.min_lap);
}
LAPW_INLINE double least_exposure(const Rules& rules) {
  return rules.courses.min_exposure.value_or(greatest_exposure(rules) - 1);
}
LAPW_INLINE double starter_width(const Rules& rules) {
  return rules.starter.width.value_or(rules.board.min_lap);
}
LAPW_INLINE double nail_spacing(const Rules& rules, const Framing& framing) {
  return rules.fasteners.max_spacing.value_or(framing.spacing > 0 ? framing.spacing : 16.0);
}
LAPW_INLINE std::vector<double> board_prices(const Rules& rules) {
  if (!rules.board.prices.empty()) return rules.board.prices;
  std::vector<double> prices;
  double shortest = 0;
  for (double length : rules.board.lengths) shortest = shortest > 0 && shortest < length ? shortest : length;
  for (double length : rules.board.lengths) prices.push_back(length / shortest);
  return prices;
}

LAPW_INLINE std::vector<Fault> check_job(const Job&) {
  throw std::logic_error("check_job: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
