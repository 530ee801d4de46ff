#pragma once
/// \file rake.hpp  The template for a slope: angle, long and short point, framing-square settings, size.
#include <string>
#include <vector>

#include <lapwright/geometry.hpp>
#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {

/// Hand of a rake cut, face up: left: the slanted end is the piece's left end.
enum class Hand { left, right };

/// Inches but for the angle.
struct RakeTemplate {
  Hand hand = Hand::left;
  double rise = 0;  ///< in 12
  double run = 12;
  double angle = 0;   ///< degrees from level, reported only
  double offset = 0;  ///< long point to short point over the board's width: w run / rise
  double step = 0;    ///< change of length from course to course: e run / rise
  Point square;       ///< settings on a 24 x 16 framing square (run on the blade, rise on the tongue), to a
                      ///< sixteenth
  double error = 0;   ///< over one board if made to the nearest sixteenth
  Ring outline;       ///< in its own plane, origin at the corner where slope meets fence, counter-clockwise
  double fence = 0;   ///< width of the fence along the board's edge
  double stock_length = 0;  ///< least board to make it from
  double stock_width = 0;
  int uses = 0;  ///< rake cuts and slanted notch edges of a plan that it serves
};

/// From rise over run, both above 0, the same unit. \throws Refused outside 1:12 to 24:12, with the reason.
RakeTemplate rake_template(double rise, double run, Hand hand, const Rules& rules, double exposure);
/// From an angle in degrees from level.
RakeTemplate rake_template_from_angle(double degrees, Hand hand, const Rules& rules, double exposure);
/// From two measured points on the slope.
RakeTemplate rake_template_from_points(Point a, Point b, Hand hand, const Rules& rules, double exposure);

/// The templates that a wall's pieces ask for: one for each slope and hand, with their uses.
/// \param exposure  the pole's greatest exposure, inches, for `step`
std::vector<RakeTemplate> rake_templates(const std::vector<Piece>& pieces, const Rules& rules,
                                         double exposure);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/rake.ipp>
#endif
