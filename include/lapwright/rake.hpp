#pragma once
/// \file rake.hpp  The template for a slope: angle, long and short point, framing-square settings, size.
#include <string>
#include <vector>

#include <lapwright/geometry.hpp>
#include <lapwright/pieces.hpp>

namespace lapwright {
inline namespace v0 {

/// Slopes that a template serves, rise over run.
inline constexpr double least_template_slope = 1.0 / 12;
inline constexpr double greatest_template_slope = 24.0 / 12;
/// The framing square: blade 24 in, tongue 16 in, both read to a sixteenth (US carpenters' standard size).
inline constexpr double square_blade = 24;
inline constexpr double square_tongue = 16;
inline constexpr double square_mark = 0.0625;
/// Width of the fence, the strip below that lies against the board's edge (a rip of 1-by-2; common practice).
inline constexpr double template_fence = 1.5;
/// A fence shorter than one foot rocks on the board (common practice).
inline constexpr double least_template_fence = 12;
/// Slopes whose cuts come nearer than this over one board share a template.
inline constexpr double same_template = 1.0 / 64;

/// A piece of board or ply with one slanted edge, and a fence that lies against the board's lower edge.
/// Inches but for the angle.
///
///                    (offset, w) ___ top     left hand: lay it on the piece, the fence under the board's
///                       /          |         lower edge, the corner on the long point, and mark along
///                      /           |         the slope. Right hand: the mirror image.
///     origin (0, 0) __/            |
///        (0, -fence) |_____________|
struct RakeTemplate {
  Hand hand = Hand::left;
  double rise = 0;  ///< in 12
  double run = 12;
  double angle = 0;   ///< degrees from level, reported only
  double offset = 0;  ///< long point to short point over the board's width: w run / rise
  double step = 0;    ///< change of length from course to course: e run / rise
  Point square;  ///< settings on the framing square (run on the blade, rise on the tongue), to a sixteenth:
                 ///< the pair that comes closest; of equals 12 on the blade, else whole inches, else the
                 ///< largest
  double error = 0;  ///< along the board from edge to edge, if the template is made to the nearest sixteenth
  Ring outline;      ///< in its own plane, origin at the corner where slope meets fence, counter-clockwise
  double fence = 0;  ///< width of the fence along the board's edge
  double stock_length = 0;  ///< least piece to make it from, along the fence
  double stock_width = 0;   ///< and square to it
  int uses = 0;             ///< rake cuts and slanted notch edges of a plan that it serves
};

/// From rise over run, both above 0, the same unit.
/// \param exposure  the pole's greatest exposure, inches, for `step`
/// \throws Refused outside 1:12 to 24:12 and for values that are not finite and above 0, with the reason.
RakeTemplate rake_template(double rise, double run, Hand hand, const Rules& rules, double exposure);
/// From an angle in degrees from level.
RakeTemplate rake_template_from_angle(double degrees, Hand hand, const Rules& rules, double exposure);
/// From two measured points on the slope, in either order; the hand does not come from them.
RakeTemplate rake_template_from_points(Point a, Point b, Hand hand, const Rules& rules, double exposure);

/// The templates that a wall's pieces ask for: one for each slope and hand, left hands first, each from the
/// flattest, with their uses. A slanted edge is left-handed where the waste lies to its left. Slopes that no
/// template serves are left out. O(n log n) in slanted edges.
/// \param exposure  the pole's greatest exposure, inches, for `step`
std::vector<RakeTemplate> rake_templates(const std::vector<Piece>& pieces, const Rules& rules,
                                         double exposure);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/rake.ipp>
#endif
