#pragma once
/// \file lap.hpp  How a lapped board leans, and what that asks of nails, trim and starter.

namespace lapwright {
inline namespace v0 {

/// A lapped board in section. All inches.
struct LapProfile {
  double slope = 0;            ///< lean, rise over run: thickness / exposure
  double angle = 0;            ///< degrees, reported only
  double edge_stand_off = 0;   ///< of the back of the lower edge from the wall: t w / e
  double face_projection = 0;  ///< of the face of the lower edge from the wall: edge_stand_off + t
  double nail_stand_off = 0;   ///< of the back at the nail line: t top_edge / e; it comes off the penetration
  double least_trim = 0;       ///< thinner trim is not proud of the siding: face_projection
  double starter_width = 0;    ///< of the strip under the first course that gives it the same lean: w - e
  double starter_thickness = 0;  ///< of that strip: t
};

/// \param width, thickness, exposure, top_edge  inches; 0 < exposure < width, 0 < thickness, 0 <= top_edge <=
/// width. \throws Refused naming each parameter that does not hold.
LapProfile lap_profile(double width, double thickness, double exposure, double top_edge = 1.0);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/lap.ipp>
#endif
