
#include <algorithm>
#include <string>
#include <vector>

#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {

// Section: the wall's face is a plumb line; x is the distance off it, to the right; drawn half size.
std::string draw_lap(const Rules& rules, double exposure) {
  using detail::Anchor;
  constexpr double scale = 36;  // points an inch: 1:2
  constexpr double size = 8;
  const double t = rules.board.thickness, w = rules.board.width;
  const LapProfile lap = lap_profile(w, t, exposure, rules.fasteners.top_edge);
  const double height = exposure + w + 1;
  detail::Sheet sheet(
      6.5 * 72, height * scale + 66, "Lean of a lapped board", "lap",
      "Section through two lapped boards: sheathing, starter, trim, nail, and how far the boards "
      "stand off the wall.");
  const double x0 = 168, y0 = 34 + height * scale;
  const auto at = [&](double off, double up) { return Point{x0 + off * scale, y0 - up * scale}; };
  // A board whose back touches the wall at its upper edge and stands off at its lower edge.
  const auto board = [&](double bottom, double width, double off_low, double off_high) {
    return Ring{at(off_low, bottom), at(off_low + t, bottom), at(off_high + t, bottom + width),
                at(off_high, bottom + width)};
  };
  // Millimetres to the tenth, inches to the sixty-fourth: what a lean is told in.
  Rules fine = rules;
  fine.courses.division = detail::is_metric(rules) ? 0.1 / 25.4 : 1.0 / 64;
  const auto words = [&](double inches) { return detail::length_words(fine, inches); };

  sheet.text({24, 18}, 12, Anchor::start, "The lean of a lapped board, half size");
  const double s = rules.sheathing.thickness;
  if (s > 0) sheet.shape({{at(-s, -0.4), at(0, -0.4), at(0, height), at(-s, height)}}, 0.6, sheet.hatch());
  const double starter = starter_width(rules);
  if (rules.trim)
    sheet.shape(
        {{at(0, -0.4), at(rules.trim->thickness, -0.4), at(rules.trim->thickness, height), at(0, height)}},
        0.4, "none", "stroke-dasharray=\"5 3\"");
  sheet.shape({board(0, starter, 0, 0)}, 0.8, sheet.dots());
  sheet.shape({board(0, w, lap.edge_stand_off, 0)}, 0.9, "white");
  sheet.shape({board(exposure, w, lap.edge_stand_off, 0)}, 0.9, "white");
  const double nail = w - rules.fasteners.top_edge;
  const double head = lap.nail_stand_off + t;
  sheet.line(at(head, nail), at(head - rules.fasteners.length, nail), 1.4, "class=\"nail\"");
  sheet.line(at(head, nail - 0.15), at(head, nail + 0.15), 1.4);

  // Each word on a leader to what it means: from the right, and from the left for what lies behind.
  const double x_words =
      x0 + (rules.trim ? std::max(rules.trim->thickness, lap.face_projection) : lap.face_projection) * scale +
      34;
  const auto right = [&](Point tip, double up, const std::string& text) {
    const Point from{x_words - 4, at(0, up).y};
    sheet.line(from, tip, 0.35);
    sheet.dot(tip, 1.1, true);
    sheet.text({x_words, from.y + 0.28 * size}, size, Anchor::start, text);
  };
  const auto left = [&](Point tip, double up, const std::string& text) {
    const Point from{x0 - std::max(s, 0.2) * scale - 18, at(0, up).y};
    sheet.line(from, tip, 0.35);
    sheet.dot(tip, 1.1, true);
    sheet.text({from.x - 4, from.y + 0.28 * size}, size, Anchor::end, text);
  };
  const double lean = lap.edge_stand_off / w;
  right(at(lap.edge_stand_off - (exposure + 0.6 * w - exposure) * lean + t, exposure + 0.6 * w),
        exposure + 0.68 * w,
        detail::format("board {}, exposure {}", words(w), detail::length_words(rules, exposure)));
  right(at(lap.edge_stand_off + t, exposure), exposure - 0.1 * w,
        detail::format("face of the lower edge {} off the wall", words(lap.face_projection)));
  right(at(lap.edge_stand_off, exposure), exposure - 0.2 * w,
        detail::format("back of the lower edge {} off the wall", words(lap.edge_stand_off)));
  if (rules.trim)
    right(at(rules.trim->thickness, 0.42 * w), 0.42 * w,
          detail::format("trim {}; it must be thicker than {}", words(rules.trim->thickness),
                         words(lap.least_trim)));
  else
    right(at(lap.face_projection, 0), 0.3 * w,
          detail::format("trim must be thicker than {}", words(lap.least_trim)));
  right(at(lap.edge_stand_off + t / 2, 0.06), 0.14 * w, detail::format("lower edge of the first course"));
  right(at(t / 2, starter / 2), -0.02 * w, detail::format("starter {} wide", words(starter)));
  if (s > 0) left(at(-s / 2, exposure + 0.8 * w), exposure + 0.8 * w, "sheathing " + words(s));
  left(at(0, exposure + w / 2), exposure + w / 2, "wall's face");
  const double up_nail = nail + 0.12 * w, x_nail = x0 - std::max(s, 0.2) * scale - 22;
  left(at(-s - 0.3, nail), up_nail, "nail " + words(rules.fasteners.top_edge) + " below");
  sheet.text({x_nail, at(0, up_nail).y + 0.28 * size + 10}, size, Anchor::end, "the upper edge; there the");
  sheet.text({x_nail, at(0, up_nail).y + 0.28 * size + 20}, size, Anchor::end,
             "back stands " + words(lap.nail_stand_off) + " off");
  const double x_lap = x_words - 10;
  sheet.path({{x_lap, at(0, w).y},
              {x_lap + 5, at(0, w).y},
              {x_lap + 5, at(0, exposure).y},
              {x_lap, at(0, exposure).y}},
             0.5);
  sheet.text({x_words, at(0, (w + exposure) / 2).y + 0.28 * size}, size, Anchor::start,
             detail::format("lap {}", detail::length_words(rules, w - exposure)));
  return sheet.document();
}

}  // namespace v0
}  // namespace lapwright
