#pragma once
// Why no pole can be laid. Included by courses.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include <lapwright/detail/courses_fitted.ipp>
#include <lapwright/detail/courses_task.ipp>
#include <lapwright/error.hpp>
#include <lapwright/length.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// A finer division makes no difference that a tape shows, and more lines than are worth a search.
inline constexpr double finest_division = 1.0 / 1024;
/// States of the search: some 250 MB. 40 ft on a 1/32 in grid need half a million.
inline constexpr double most_course_states = 16777216;

inline std::vector<Fault> check_courses(const std::vector<WallHeights>& walls, const Rules& rules) {
  std::vector<Fault> faults;
  const auto fault = [&](std::string path, std::string message) {
    faults.push_back({std::move(path), std::move(message)});
  };
  const auto sound = [](double v) { return std::isfinite(v) && std::fabs(v) <= greatest_length; };
  const CourseRules& c = rules.courses;
  const BoardRules& board = rules.board;
  const bool width = sound(board.width) && board.width > 0;
  if (!width) fault("board.width", fmt::format("width must be more than 0, got {}", board.width));
  const bool lap = sound(board.min_lap) && board.min_lap >= 0;
  if (!lap) fault("board.min_lap", fmt::format("the least lap must be 0 or more, got {}", board.min_lap));
  const bool board_shows = width && lap && board.min_lap < board.width;
  if (width && lap && !board_shows)
    fault("board.min_lap", fmt::format("a lap of {} hides all of a board {} wide: it must be less",
                                       board.min_lap, board.width));
  const bool division = sound(c.division) && c.division >= finest_division - tolerance;
  if (!division)
    fault("courses.division",
          fmt::format("the division must be 1/1024 in or more, 1/16 is a tape's, got {}", c.division));
  const double greatest = greatest_exposure(rules), least = least_exposure(rules);
  bool exposures = board_shows;
  if (c.max_exposure) {
    if (!(sound(*c.max_exposure) && *c.max_exposure > 0)) {
      fault("courses.max_exposure",
            fmt::format("the greatest exposure must be more than 0, got {}", *c.max_exposure));
      exposures = false;
    } else if (board_shows && greatest > board.width - board.min_lap + tolerance) {
      fault("courses.max_exposure",
            fmt::format(
                "an exposure of {} leaves a lap of {}, less than {}: a board {} wide may show {} at most",
                greatest, board.width - greatest, board.min_lap, board.width, board.width - board.min_lap));
      exposures = false;
    }
  }
  if (c.min_exposure && !(sound(*c.min_exposure) && *c.min_exposure > 0)) {
    fault("courses.min_exposure",
          fmt::format("the least exposure must be more than 0, got {}", *c.min_exposure));
    exposures = false;
  }
  if (exposures && least > greatest + tolerance)
    fault("courses.min_exposure",
          fmt::format("the least exposure of {} is more than the greatest, {}{}", least, greatest,
                      c.max_exposure ? "" : " (board.width less board.min_lap)"));
  else if (exposures && division) {
    const CourseLimits limits = course_limits(rules);
    if (limits.greatest < limits.least)
      fault("courses.division",
            fmt::format("no whole number of divisions of {} lies between the least exposure of {} "
                        "and the greatest of {}",
                        c.division, least, greatest));
  }
  if (!(sound(c.max_step) && c.max_step >= 0))
    fault("courses.max_step", fmt::format("the greatest step must be 0 or more, got {}", c.max_step));
  if (!(sound(c.min_strip) && c.min_strip >= 0))
    fault("courses.min_strip", fmt::format("the least strip must be 0 or more, got {}", c.min_strip));
  for (std::size_t k = 0; k < c.lines.size(); ++k) {
    const std::string path = fmt::format("courses.lines[{}]", k);
    if (!sound(c.lines[k])) {
      fault(path, fmt::format("a line as built must be a height within {:.0f} in, got {}", greatest_length,
                              c.lines[k]));
    } else if (k > 0 && sound(c.lines[k - 1])) {
      const double shown = c.lines[k] - c.lines[k - 1];
      if (!(shown > tolerance))
        fault(path, fmt::format("lines as built are listed from the lowest up, got {} after {}", c.lines[k],
                                c.lines[k - 1]));
      else if (width && shown > board.width + tolerance)
        fault(path, fmt::format(
                        "{} and {} are {} apart, but a board is only {} wide: a line between them is missing",
                        c.lines[k - 1], c.lines[k], shown, board.width));
    }
  }
  for (std::size_t w = 0; w < walls.size(); ++w) {
    const WallHeights& wall = walls[w];
    const std::string path = fmt::format("walls[{}]", w);
    if (!sound(wall.lowest) || !sound(wall.highest))
      fault(path,
            fmt::format("the lowest and highest point of a wall must lie within {:.0f} in, got {} and {}",
                        greatest_length, wall.lowest, wall.highest));
    if (wall.start &&
        !(sound(wall.start->low) && sound(wall.start->high) && wall.start->low <= wall.start->high))
      fault(path + ".start", fmt::format("the start must be two heights, the lower one first, got [{}, {}]",
                                         wall.start->low, wall.start->high));
    for (const Mark& mark : wall.marks)
      if (!sound(mark.height))
        fault(path, fmt::format("the height of the mark \"{}\" must lie within {:.0f} in, got {}", mark.label,
                                greatest_length, mark.height));
  }
  if (!faults.empty()) return faults;

  double lowest = 0, top = 0;
  if (!course_bounds(walls, lowest, top)) return faults;
  if (!c.lines.empty() && !(c.lines.back() < top - tolerance))
    fault(fmt::format("courses.lines[{}]", c.lines.size() - 1),
          fmt::format("the line as built at {} is not below the highest top, {}", c.lines.back(), top));
  const CourseLimits limits = course_limits(rules);
  const double states =
      (top - lowest) / c.division *
      (c.mode == CourseMode::fitted ? static_cast<double>(limits.greatest - limits.least + 1)
                                    : 1 / static_cast<double>(limits.greatest));
  if (states > most_course_states)
    fault("courses.division",
          fmt::format("a division of {} is too fine for {} in of wall and exposures from {} to {}",
                      c.division, top - lowest, least, greatest));
  return faults;
}

inline std::vector<Fault> contradictions(const std::vector<WallHeights>& walls, const Rules& rules) {
  const CourseTask task = course_task(walls, rules);
  std::string names;
  for (const StartDemand& d : task.demands) names += fmt::format(" \"{}\"", walls[d.wall].wall);
  return {{fmt::format("walls[{}].start", task.demands.empty() ? 0 : task.demands.front().wall),
           fmt::format("no pole of these exposures has a line in the start of each wall:{}", names)}};
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
