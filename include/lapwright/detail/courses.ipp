#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/courses.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/courses_fitted.ipp>
#include <lapwright/detail/courses_modes.ipp>
#include <lapwright/detail/courses_refusal.ipp>
#include <lapwright/detail/courses_task.ipp>
#include <lapwright/detail/text.hpp>
#include <lapwright/error.hpp>
#include <lapwright/length.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// The pole's lines and what the walls make of it.
inline void count_settings(Pole& pole) {
  pole.settings = pole.lines.empty() || pole.lines.size() == 1 ? 0 : 1;
  for (std::size_t k = 1; k < pole.exposures.size(); ++k)
    pole.settings += std::fabs(pole.exposures[k] - pole.exposures[k - 1]) > tolerance;
}

inline Pole make_pole(const std::vector<double>& built, const std::vector<Divisions>& lines,
                      const Rules& rules) {
  Pole pole;
  pole.built = static_cast<int>(built.size());
  pole.starter = starter_width(rules);
  pole.lines = built;
  for (Divisions i : lines) pole.lines.push_back(static_cast<double>(i) * rules.courses.division);
  for (std::size_t k = 0; k + 1 < pole.lines.size(); ++k) {
    // Between two grid lines the exposure is as whole as they are, whatever their difference rounds to.
    pole.exposures.push_back(
        k < built.size() ? pole.lines[k + 1] - pole.lines[k]
                         : static_cast<double>(lines[k + 1 - built.size()] - lines[k - built.size()]) *
                               rules.courses.division);
  }
  count_settings(pole);
  return pole;
}

inline WallCourses wall_courses(const WallHeights& wall, const Pole& pole, double lowest, double division) {
  WallCourses courses;
  if (!has_region(wall) || pole.lines.empty()) return courses;
  const std::vector<double>& lines = pole.lines;
  std::optional<std::size_t> first;
  if (const std::optional<Interval> start = start_of(wall, lowest, division)) {
    const auto it = std::lower_bound(lines.begin(), lines.end(), start->low);
    if (it != lines.end() && *it <= start->high) first = static_cast<std::size_t>(it - lines.begin());
  }
  if (!first) {
    const auto it = std::upper_bound(lines.begin(), lines.end(), wall.lowest + tolerance);
    first = it == lines.begin() ? 0 : static_cast<std::size_t>(it - lines.begin()) - 1;
    courses.ripped_start = lines[*first] < wall.lowest - tolerance;
  }
  courses.first_course = static_cast<int>(*first);
  const auto end = std::lower_bound(lines.begin(), lines.end(), wall.highest - tolerance);
  const std::ptrdiff_t last = end - lines.begin() - 1;
  if (last < static_cast<std::ptrdiff_t>(*first)) {
    courses.ripped_start = false;
    return courses;
  }
  courses.last_course = static_cast<int>(last);
  courses.last_rip = wall.highest - lines[static_cast<std::size_t>(last)];
  return courses;
}

inline void add_pole_findings(std::vector<Finding>& findings, const Pole& pole, const CourseTask& task,
                              const std::vector<WallHeights>& walls, const Rules& rules) {
  const double d = rules.courses.division;
  const auto add = [&](const char* code, Severity severity, std::optional<int> course, double measured,
                       double limit, std::string message) -> Finding& {
    Finding f;
    f.code = code;
    f.severity = severity;
    f.course = course;
    f.measured = measured;
    f.limit = limit;
    f.message = std::move(message);
    findings.push_back(std::move(f));
    return findings.back();
  };
  const auto say = [&](double inches) { return format_length(inches, d); };
  const std::size_t built = static_cast<std::size_t>(pole.built);
  for (std::size_t k = 0; k + 1 < built; ++k) {
    const double lap = rules.board.width - pole.exposures[k];
    if (lap < rules.board.min_lap - tolerance)
      add("lap", Severity::warning, static_cast<int>(k), lap, rules.board.min_lap,
          detail::format("course {} is nailed with a lap of {} only under the next, less than {}", k,
                         say(lap), say(rules.board.min_lap)));
  }
  // The lowest and the steepest tell enough: one finding each.
  std::optional<std::size_t> lowest, steepest;
  for (std::size_t k = built > 0 ? built - 1 : 0; k < pole.exposures.size(); ++k) {
    if (pole.exposures[k] < task.limits.min_exposure - tolerance &&
        (!lowest || pole.exposures[k] < pole.exposures[*lowest] - tolerance))
      lowest = k;
    if (k > 0 && k >= built &&
        std::fabs(pole.exposures[k] - pole.exposures[k - 1]) > task.limits.max_step + tolerance)
      steepest = steepest.value_or(k);
  }
  if (lowest)
    add("exposure_min", Severity::warning, static_cast<int>(*lowest), pole.exposures[*lowest],
        task.limits.min_exposure,
        detail::format("courses from {} on show {}, less than the least exposure of {}", *lowest,
                       say(pole.exposures[*lowest]), say(task.limits.min_exposure)));
  if (steepest) {
    const double step = std::fabs(pole.exposures[*steepest] - pole.exposures[*steepest - 1]);
    add("step", Severity::warning, static_cast<int>(*steepest), step, task.limits.max_step,
        detail::format("the gauge changes by {} at course {}, more than {}", say(step), *steepest,
                       say(task.limits.max_step)));
  }
  for (std::size_t w : task.waived)
    add("start", Severity::note, std::nullopt, pole.lines.front(), walls[w].lowest,
        detail::format("the lines as built begin at {}, the lowest point of wall \"{}\" is at {}",
                       say(pole.lines.front()), walls[w].wall, say(walls[w].lowest)))
        .wall = walls[w].wall;
}

inline void add_wall_findings(std::vector<Finding>& findings, const Pole& pole, const WallHeights& wall,
                              const WallCourses& courses, double division) {
  if (!courses.ripped_start || courses.last_course < 0 || courses.first_course < pole.built) return;
  const double line = pole.lines[static_cast<std::size_t>(courses.first_course)];
  Finding f;
  f.code = "ripped_start";
  f.severity = Severity::note;
  f.wall = wall.wall;
  f.course = courses.first_course;
  f.measured = wall.lowest - line;
  f.limit = 0;
  f.message = detail::format("wall \"{}\" begins at {} in course {}, ripped {} along its lower edge",
                             wall.wall, format_length(wall.lowest, division), courses.first_course,
                             format_length(wall.lowest - line, division));
  findings.push_back(std::move(f));
}

/// The gap that the crew sees when it measures again: one note, with the line that departs most.
inline void add_departure(std::vector<Finding>& findings, const Pole& pole, const Pole& plan,
                          double division) {
  const PoleDeparture departure = pole_departure(pole, plan);
  Finding f;
  f.code = "as_built";
  f.severity = Severity::note;
  f.measured = departure.greatest;
  if (departure.at >= 0) f.course = departure.at;
  const std::string courses = departure.courses == 0
                                  ? std::string("as many courses")
                                  : detail::format("{} {} course{}", std::abs(departure.courses),
                                                   departure.courses > 0 ? "more" : "fewer",
                                                   std::abs(departure.courses) == 1 ? "" : "s");
  if (departure.at < 0)
    f.message = "above the lines as built the pole is as first planned";
  else
    f.message = detail::format(
        "the rest departs from the plan without the lines as built by up to {}, at course {}, "
        "with {}{}",
        format_length(departure.greatest, division / 4), departure.at, courses,
        departure.healed >= 0 ? detail::format(", and is as planned from course {} on", departure.healed)
                              : std::string());
  findings.push_back(std::move(f));
}

}  // namespace detail

LAPW_INLINE Courses lay_courses(const std::vector<WallHeights>& walls, const Rules& rules) {
  std::vector<Fault> faults = detail::check_courses(walls, rules);
  if (!faults.empty()) throw Refused(std::move(faults));

  Courses courses;
  courses.walls.resize(walls.size());
  double lowest = 0, top = 0;
  if (!detail::course_bounds(walls, lowest, top)) {
    courses.pole = detail::make_pole(rules.courses.lines, {}, rules);
    return courses;
  }
  const detail::CourseTask task = detail::course_task(walls, rules);
  const std::optional<std::vector<detail::Divisions>> lines = detail::lay_lines(task, rules.courses.mode);
  if (!lines) throw Refused(detail::contradictions(walls, rules));
  courses.pole = detail::make_pole(task.built, *lines, rules);
  detail::add_pole_findings(courses.findings, courses.pole, task, walls, rules);
  for (std::size_t w = 0; w < walls.size(); ++w) {
    courses.walls[w] = detail::wall_courses(walls[w], courses.pole, lowest, rules.courses.division);
    detail::add_wall_findings(courses.findings, courses.pole, walls[w], courses.walls[w],
                              rules.courses.division);
  }
  if (!task.built.empty()) {
    Rules before = rules;
    before.courses.lines.clear();
    const detail::CourseTask plain = detail::course_task(walls, before);
    if (const auto planned = detail::lay_lines(plain, rules.courses.mode))
      detail::add_departure(courses.findings, courses.pole, detail::make_pole({}, *planned, before),
                            rules.courses.division);
  }
  return courses;
}

LAPW_INLINE std::vector<MarkStrip> pole_strips(const std::vector<WallHeights>& walls, const Pole& pole,
                                               const Rules& rules) {
  std::vector<MarkStrip> strips;
  const std::vector<double>& lines = pole.lines;
  double lowest = 0, top = 0;
  if (lines.empty() || !detail::course_bounds(walls, lowest, top)) return strips;
  const double division = rules.courses.division;
  for (std::size_t w = 0; w < walls.size(); ++w) {
    const WallHeights& wall = walls[w];
    if (!detail::has_region(wall)) continue;
    const WallCourses courses = detail::wall_courses(wall, pole, lowest, division);
    for (std::size_t m = 0; m < wall.marks.size(); ++m) {
      const Mark& mark = wall.marks[m];
      if (!detail::mark_counts(wall, mark, lowest, division)) continue;
      // The line on the mark, or else the one on its board's side.
      auto it = std::lower_bound(lines.begin(), lines.end(), mark.height - tolerance);
      const bool on_line = it != lines.end() && *it <= mark.height + tolerance;
      if (!on_line && it == lines.begin()) continue;  // nothing is laid below it, or beside it
      std::ptrdiff_t course = it - lines.begin() - (on_line ? 0 : 1);
      MarkStrip strip;
      strip.wall = w;
      strip.mark = m;
      if (!on_line && course < courses.first_course) continue;
      if (!on_line)
        strip.height = mark.board_below
                           ? mark.height - lines[static_cast<std::size_t>(course)]
                           : std::min(it == lines.end() ? wall.highest : *it, wall.highest) - mark.height;
      else if (mark.board_below)
        course -= 1;  // the board below a line on the mark is the one before
      if (course < courses.first_course) continue;
      strip.course = static_cast<int>(course);
      strip.bad = strip.height > tolerance && strip.height < rules.courses.min_strip - tolerance;
      strips.push_back(strip);
    }
  }
  return strips;
}

LAPW_INLINE PoleCost pole_cost(const std::vector<WallHeights>& walls, const Pole& pole, const Rules& rules) {
  PoleCost cost;
  for (const MarkStrip& strip : pole_strips(walls, pole, rules)) cost.bad_strips += strip.bad;
  cost.courses = static_cast<int>(pole.lines.size());
  Pole counted = pole;
  detail::count_settings(counted);
  cost.settings = counted.settings;
  const double division = rules.courses.division;
  for (std::size_t k = pole.built > 1 ? static_cast<std::size_t>(pole.built) - 1 : 1;
       k < pole.exposures.size(); ++k) {
    const double step = (pole.exposures[k] - pole.exposures[k - 1]) / division;
    const double whole = std::round(step);
    const double clean = std::fabs(step - whole) * division <= tolerance ? whole : step;
    cost.squared_steps += clean * clean;
  }
  double lowest = 0, top = 0;
  if (!pole.lines.empty() && detail::course_bounds(walls, lowest, top))
    cost.base_distance = std::fabs(pole.lines.front() - lowest);
  return cost;
}

LAPW_INLINE int compare(const PoleCost& a, const PoleCost& b) {
  if (a.bad_strips != b.bad_strips) return a.bad_strips < b.bad_strips ? -1 : 1;
  if (a.courses != b.courses) return a.courses < b.courses ? -1 : 1;
  if (a.settings != b.settings) return a.settings < b.settings ? -1 : 1;
  if (std::fabs(a.squared_steps - b.squared_steps) > 1e-4) return a.squared_steps < b.squared_steps ? -1 : 1;
  if (std::fabs(a.base_distance - b.base_distance) > 2 * tolerance)
    return a.base_distance < b.base_distance ? -1 : 1;
  return 0;
}

LAPW_INLINE PoleDeparture pole_departure(const Pole& pole, const Pole& plan) {
  PoleDeparture departure;
  departure.courses = static_cast<int>(pole.lines.size()) - static_cast<int>(plan.lines.size());
  if (plan.lines.empty()) return departure;
  for (std::size_t k = static_cast<std::size_t>(pole.built); k < pole.lines.size(); ++k) {
    const double y = pole.lines[k];
    auto it = std::lower_bound(plan.lines.begin(), plan.lines.end(), y);
    if (it == plan.lines.end() || (it != plan.lines.begin() && y - *(it - 1) <= *it - y)) --it;
    const double by = y - *it;
    departure.by_line.push_back(by);
    if (std::fabs(by) > tolerance) {
      departure.healed = -1;
      if (std::fabs(by) > departure.greatest) {
        departure.greatest = std::fabs(by);
        departure.at = static_cast<int>(k);
      }
    } else if (departure.healed < 0) {
      departure.healed = static_cast<int>(k);
    }
  }
  return departure;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
