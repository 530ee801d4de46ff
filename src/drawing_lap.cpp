
#include <string>
#include <vector>

#include <lapwright/drawing.hpp>
#include <lapwright/length.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {

// Section: the wall's face is a plumb line; x is the distance off it, to the right; drawn half size.
std::string draw_lap(const Rules& rules, double exposure) {
  using detail::Anchor;
  constexpr double scale = 36;  // points an inch: 1:2
  const double t = rules.board.thickness, w = rules.board.width, division = rules.courses.division;
  const LapProfile lap = lap_profile(w, t, exposure, rules.fasteners.top_edge);
  const double height = exposure + w + 1.5;
  detail::Sheet sheet(6.5 * 72, height * scale + 60, "Lean of a lapped board", "lap");
  const double x0 = 150, y0 = 30 + height * scale;
  const auto at = [&](double off, double up) { return Point{x0 + off * scale, y0 - up * scale}; };
  // A board whose back touches the wall at its upper edge and stands off at its lower edge.
  const auto board = [&](double bottom, double width, double off_low, double off_high) {
    return Ring{at(off_low, bottom), at(off_low + t, bottom), at(off_high + t, bottom + width),
                at(off_high, bottom + width)};
  };
  sheet.text({24, 18}, 12, Anchor::start, "The lean of a lapped board, half size");
  const double s = rules.sheathing.thickness;
  sheet.shape({{at(-s, -0.4), at(0, -0.4), at(0, height), at(-s, height)}}, 0.6, sheet.hatch());
  const double starter = starter_width(rules);
  sheet.shape({board(0, starter, 0, 0)}, 0.8, sheet.dots());
  // Stand-off d below the upper edge: t d / e.
  sheet.shape({board(0, w, lap.edge_stand_off, 0)}, 0.9, "white");
  sheet.shape({board(exposure, w, lap.edge_stand_off, 0)}, 0.9, "white");
  if (rules.trim)
    sheet.shape(
        {{at(0, -0.4), at(rules.trim->thickness, -0.4), at(rules.trim->thickness, height), at(0, height)}},
        0.4, "none", "stroke-dasharray=\"5 3\"");
  const double nail = w - rules.fasteners.top_edge;
  sheet.line(at(lap.nail_stand_off + t + 0.02, nail),
             at(lap.nail_stand_off + t - rules.fasteners.length, nail), 1.4);
  double y = 46;
  const auto say = [&](const std::string& text) {
    sheet.text({x0 + 2.1 * scale, y}, 8, Anchor::start, text);
    y += 13;
  };
  say("exposure " + format_length(exposure, division) + ", lap " + format_length(w - exposure, division));
  say("back of the lower edge off the wall: " + format_length(lap.edge_stand_off, 0.015625));
  say("face of the lower edge off the wall: " + format_length(lap.face_projection, 0.015625));
  say("trim must be thicker than that" +
      std::string(rules.trim ? "; it is " + format_length(rules.trim->thickness, division) : ""));
  say("off the wall at the nail: " + format_length(lap.nail_stand_off, 0.015625));
  say("starter " + format_length(starter, division) + " wide, at the bottom");
  if (rules.trim) say("trim: dashed");
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
