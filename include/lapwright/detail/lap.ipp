#pragma once
#include <cmath>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/error.hpp>
#include <lapwright/lap.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE LapProfile lap_profile(double width, double thickness, double exposure, double top_edge) {
  std::vector<Fault> faults;
  const bool wide = std::isfinite(width) && width > 0;
  if (!wide) faults.push_back({"width", detail::format("width must be more than 0, got {}", width)});
  if (!(std::isfinite(thickness) && thickness > 0))
    faults.push_back({"thickness", detail::format("thickness must be more than 0, got {}", thickness)});
  if (!(std::isfinite(exposure) && exposure > 0))
    faults.push_back({"exposure", detail::format("exposure must be more than 0, got {}", exposure)});
  else if (wide && !(exposure < width))
    faults.push_back({"exposure", detail::format("exposure must be less than the board's width of {} in, or "
                                                 "nothing laps, got {}",
                                                 width, exposure)});
  if (!(std::isfinite(top_edge) && top_edge >= 0))
    faults.push_back({"top_edge", detail::format("top_edge must be 0 or more, got {}", top_edge)});
  else if (wide && !(top_edge <= width))
    faults.push_back(
        {"top_edge",
         detail::format("the nail line must lie on the board, {} in wide at most, got {}", width, top_edge)});
  if (!faults.empty()) throw Refused(std::move(faults));

  LapProfile lap;
  lap.slope = thickness / exposure;
  lap.angle = std::atan(lap.slope) * (180.0 / 3.14159265358979323846);
  lap.edge_stand_off = thickness * width / exposure;
  lap.face_projection = lap.edge_stand_off + thickness;
  lap.nail_stand_off = thickness * top_edge / exposure;
  lap.least_trim = lap.face_projection;
  lap.starter_width = width - exposure;
  lap.starter_thickness = thickness;
  return lap;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
