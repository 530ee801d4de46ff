#pragma once
// Whether pieces cover the region once, and nothing else. Included by audit.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

namespace cover {
// Layers: the ground, what must be laid, what is.
inline constexpr int outline = 0, taken = 1, due = 2, due_filler = 3, piece = 4, filler = 5, gap = 6,
                     infill = 7;
/// Square inches in one course under which a difference is noise: a board's height times a few tolerances
/// over its length.
inline constexpr double noise = 2e-3;
}  // namespace cover

inline void add_piece(Overlay& overlay, const Piece& piece, int layer, int tag) {
  overlay.add(piece.outline, layer, tag);
  for (const Ring& hole : piece.holes) {  // whatever its direction, a hole takes away
    Ring turned = hole;
    if (ring_area(turned) > 0) std::reverse(turned.begin(), turned.end());
    overlay.add(turned, layer, tag, false);
  }
}

inline std::string piece_around(const AuditWall& w, const std::vector<std::size_t>& pieces, Point p) {
  for (std::size_t i : pieces)
    if (in_piece(w.plan->pieces[i], p)) return w.plan->pieces[i].id;
  return {};
}

inline void audit_course_cover(const House& house, Report& report, const AuditWall& w,
                               const ExpectedCourse& course) {
  const Rules& rules = *house.rules;
  const PlanWall& plan = *w.plan;
  double low = course.low, high = std::max(course.high, course.shown);
  std::vector<std::size_t> mine;
  for (std::size_t i = 0; i < plan.pieces.size(); ++i)
    if (plan.pieces[i].course == course.course) {
      mine.push_back(i);
      const Box box = ring_box(plan.pieces[i].outline);
      low = std::min(low, box.y_min);
      high = std::max(high, box.y_max);
    }
  Overlay overlay(low - 1, high + 1);
  overlay.add(w.outline, cover::outline);
  for (const Ring& r : w.strips) overlay.add(r, cover::taken);
  for (const Ring& r : w.openings) overlay.add(r, cover::taken);
  for (const Slice& s : course.slices) {
    const Expected& item = course.items[static_cast<std::size_t>(s.item)];
    overlay.add({{s.x0, s.low0}, {s.x1, s.low1}, {s.x1, s.high1}, {s.x0, s.high0}},
                item.infill   ? cover::infill
                : item.filler ? cover::due_filler
                              : cover::due);
  }
  for (std::size_t i : mine)
    add_piece(overlay, plan.pieces[i], plan.pieces[i].filler ? cover::filler : cover::piece,
              static_cast<int>(i));
  if (rules.joints.gap > 0)
    for (const Joint& j : plan.joints)
      if (j.course == course.course) {
        const double x0 = j.x - rules.joints.gap / 2, x1 = j.x + rules.joints.gap / 2;
        overlay.add({{x0, course.low}, {x1, course.low}, {x1, course.high}, {x0, course.high}}, cover::gap);
      }
  overlay.cut_at(course.low);
  overlay.cut_at(course.high);
  overlay.cut_at(course.shown);

  struct Sum {
    double area = 0;
    Point at;
    double most = 0;
    void add(const Cell& cell) {
      const double a = cell.area();
      area += a;
      if (a > most) most = a, at = cell.middle();
    }
  };
  Sum uncovered, missing, twice, outside, hidden, infilled, strays, kind;
  for (const Cell& cell : overlay.cells()) {
    const int pieces = cell.in[cover::piece], fillers = cell.in[cover::filler];
    const bool is_due = cell.in[cover::due] != 0 || cell.in[cover::due_filler] != 0;
    const double y = cell.middle().y;
    const bool region = cell.in[cover::outline] != 0 && cell.in[cover::taken] == 0;
    if (pieces + fillers >= 2) twice.add(cell);
    if (is_due && pieces + fillers <= 0 && cell.in[cover::gap] == 0) {
      if (y < course.shown)
        uncovered.add(cell);
      else
        missing.add(cell);
    }
    if (is_due && cell.in[cover::due_filler] != 0 && pieces > 0) kind.add(cell);
    if (is_due && cell.in[cover::due_filler] == 0 && fillers > 0) kind.add(cell);
    if (!is_due && pieces + fillers > 0) {
      if (!region)
        outside.add(cell);
      else if (y < course.low || y > course.high)
        strays.add(cell);
      else if (cell.in[cover::infill] != 0)
        infilled.add(cell);
      else
        hidden.add(cell);
    }
  }
  const auto say = [&](const char* code, const Sum& sum, const char* what) {
    if (sum.area <= cover::noise) return;
    report.add(code, {w.wall->name, course.course, piece_around(w, mine, sum.at)}, sum.area, 0,
               detail::format("{:.4g} square inches {} near x = {:.3f}, y = {:.3f}", sum.area, what, sum.at.x,
                              sum.at.y));
  };
  say("uncovered", uncovered, "of the wall lie bare");
  say("run_shape", missing, "of board are missing under the next course");
  say("overlap", twice, "are covered twice");
  say("outside", outside, "of board lie where no board may be");
  say("hidden_sliver", hidden, "of board lie wholly hidden over an opening or a level edge");
  say("course_index", strays, "of board lie outside the course that they are said to be in");
  say("infill", infilled, "of board are laid where they are too narrow for nails");
  say("filler", kind, "are board where a filler must be, or filler where none is needed");

  for (double x : course.thin_legs)
    report.add(
        "thin_leg", {w.wall->name, course.course, {}}, {}, rules.cutting.min_leg,
        detail::format("an upright leg near x = {:.3f} is narrower than the least leg, and the plan says "
                       "nothing of it",
                       x));
  for (const Expected& item : course.items) {
    if (item.infill)
      report.add(
          "infill", {w.wall->name, course.course, {}}, item.x1 - item.x0, 2 * rules.fasteners.end_edge,
          detail::format("from x = {:.3f} to {:.3f} nothing can be nailed, and the plan says nothing of it",
                         item.x0, item.x1));
    else if (item.low)
      report.add(
          "low_last_course", {w.wall->name, course.course, {}}, item.greatest_height, rules.cutting.min_leg,
          detail::format("the board from x = {:.3f} to {:.3f} is lower than the least leg, and the plan "
                         "says nothing of it",
                         item.x0, item.x1));
  }
}

LAPW_INLINE void audit_cover(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    const PlanWall& plan = *w.plan;
    double area = 0;
    for (const ExpectedCourse& course : w.courses) {
      area += course.shown_area;
      audit_course_cover(house, report, w, course);
    }
    if (w.has_region && !(std::fabs(plan.region_area - area) <= 1e-6 * std::max(1.0, area) + 1e-3))
      report.add(
          "region_area", {w.wall->name, {}, {}}, plan.region_area, area,
          detail::format("the plan says {:.6g} square inches, the wall has {:.6g}", plan.region_area, area));
    for (const Piece& piece : plan.pieces) {
      const bool planned = w.has_region && piece.course >= w.first_planned && piece.course <= w.last_course;
      if (!planned || !house.has_line(piece.course)) {
        report.add("course_index", {w.wall->name, piece.course, piece.id}, piece.course,
                   static_cast<double>(w.last_course),
                   detail::format("this wall has no course {} to lay", piece.course));
        continue;
      }
      const Box box = ring_box(piece.outline);
      const double low = house.line(piece.course);
      const double top = std::max(low + rules.board.width, piece.course == w.last_course ? w.highest : 0.0);
      if (box.y_min < low - 2 * tolerance || box.y_max > top + 2 * tolerance)
        report.add("course_index", {w.wall->name, piece.course, piece.id}, box.y_min, low,
                   "the piece leaves the band of its course");
    }
    // What lies below the first line is left bare, and must be said so.
    if (w.has_region && w.lowest < house.line(std::max(0, w.first_course)) - tolerance &&
        w.first_course >= static_cast<int>(house.built)) {
      const double line = house.line(w.first_course);
      Overlay overlay(w.lowest - 1, line);
      overlay.add(w.outline, 0);
      for (const Ring& r : w.strips) overlay.add(r, 1);
      for (const Ring& r : w.openings) overlay.add(r, 1);
      overlay.cut_at(line);
      double bare = 0;
      for (const Cell& cell : overlay.cells())
        if (cell.in[0] != 0 && cell.in[1] == 0) bare += cell.area();
      if (bare > cover::noise)
        report.add(
            "bare_below_first_line", {w.wall->name, {}, {}}, bare, 0,
            detail::format("{:.4g} square inches below the first line are left bare, and the plan says "
                           "nothing of it",
                           bare));
    }
  }
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
