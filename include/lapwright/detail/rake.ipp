#pragma once
#include <cmath>
#include <stdexcept>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/rake.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE RakeTemplate rake_template(double, double, Hand, const Rules&, double) {
  throw std::logic_error("rake_template: not built yet");
}
LAPW_INLINE RakeTemplate rake_template_from_angle(double, Hand, const Rules&, double) {
  throw std::logic_error("rake_template_from_angle: not built yet");
}
LAPW_INLINE RakeTemplate rake_template_from_points(Point, Point, Hand, const Rules&, double) {
  throw std::logic_error("rake_template_from_points: not built yet");
}
LAPW_INLINE std::vector<RakeTemplate> rake_templates(const std::vector<Piece>&, const Rules&, double) {
  throw std::logic_error("rake_templates: not built yet");
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
