#pragma once
// Why no pole can be laid. Included by courses.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/courses_fitted.ipp>
#include <lapwright/detail/courses_modes.ipp>
#include <lapwright/detail/courses_task.ipp>
#include <lapwright/detail/text.hpp>
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
  if (!width) fault("board.width", detail::format("width must be more than 0, got {}", board.width));
  const bool lap = sound(board.min_lap) && board.min_lap >= 0;
  if (!lap) fault("board.min_lap", detail::format("the least lap must be 0 or more, got {}", board.min_lap));
  const bool board_shows = width && lap && board.min_lap < board.width;
  if (width && lap && !board_shows)
    fault("board.min_lap", detail::format("a lap of {} hides all of a board {} wide: it must be less",
                                          board.min_lap, board.width));
  const bool division = sound(c.division) && c.division >= finest_division - tolerance;
  if (!division)
    fault("courses.division",
          detail::format("the division must be 1/1024 in or more, 1/16 is a tape's, got {}", c.division));
  const double greatest = greatest_exposure(rules), least = least_exposure(rules);
  bool exposures = board_shows;
  if (c.max_exposure) {
    if (!(sound(*c.max_exposure) && *c.max_exposure > 0)) {
      fault("courses.max_exposure",
            detail::format("the greatest exposure must be more than 0, got {}", *c.max_exposure));
      exposures = false;
    } else if (board_shows && greatest > board.width - board.min_lap + tolerance) {
      fault("courses.max_exposure",
            detail::format(
                "an exposure of {} leaves a lap of {}, less than {}: a board {} wide may show {} at most",
                greatest, board.width - greatest, board.min_lap, board.width, board.width - board.min_lap));
      exposures = false;
    }
  }
  if (c.min_exposure && !(sound(*c.min_exposure) && *c.min_exposure > 0)) {
    fault("courses.min_exposure",
          detail::format("the least exposure must be more than 0, got {}", *c.min_exposure));
    exposures = false;
  }
  if (exposures && least > greatest + tolerance)
    fault("courses.min_exposure",
          detail::format("the least exposure of {} is more than the greatest, {}{}", least, greatest,
                         c.max_exposure ? "" : " (board.width less board.min_lap)"));
  else if (exposures && division) {
    if (line_at_or_below(greatest, c.division) < std::max<Divisions>(1, line_at_or_above(least, c.division)))
      fault("courses.division",
            detail::format("no whole number of divisions of {} lies between the least exposure of {} "
                           "and the greatest of {}",
                           c.division, least, greatest));
  }
  if (!(sound(c.max_step) && c.max_step >= 0))
    fault("courses.max_step", detail::format("the greatest step must be 0 or more, got {}", c.max_step));
  if (!(sound(c.min_strip) && c.min_strip >= 0))
    fault("courses.min_strip", detail::format("the least strip must be 0 or more, got {}", c.min_strip));
  for (std::size_t k = 0; k < c.lines.size(); ++k) {
    const std::string path = detail::format("courses.lines[{}]", k);
    if (!sound(c.lines[k])) {
      fault(path, detail::format("a line as built must be a height within {:.0f} in, got {}", greatest_length,
                                 c.lines[k]));
    } else if (k > 0 && sound(c.lines[k - 1])) {
      const double shown = c.lines[k] - c.lines[k - 1];
      if (!(shown > tolerance))
        fault(path, detail::format("lines as built are listed from the lowest up, got {} after {}",
                                   c.lines[k], c.lines[k - 1]));
      else if (width && shown > board.width + tolerance)
        fault(path, detail::format(
                        "{} and {} are {} apart, but a board is only {} wide: a line between them is missing",
                        c.lines[k - 1], c.lines[k], shown, board.width));
    }
  }
  for (std::size_t w = 0; w < walls.size(); ++w) {
    const WallHeights& wall = walls[w];
    const std::string path = detail::format("walls[{}]", w);
    if (!sound(wall.lowest) || !sound(wall.highest))
      fault(path,
            detail::format("the lowest and highest point of a wall must lie within {:.0f} in, got {} and {}",
                           greatest_length, wall.lowest, wall.highest));
    if (wall.start &&
        !(sound(wall.start->low) && sound(wall.start->high) && wall.start->low <= wall.start->high))
      fault(path + ".start",
            detail::format("the start must be two heights, the lower one first, got [{}, {}]",
                           wall.start->low, wall.start->high));
    for (const Mark& mark : wall.marks)
      if (!sound(mark.height))
        fault(path, detail::format("the height of the mark \"{}\" must lie within {:.0f} in, got {}",
                                   mark.label, greatest_length, mark.height));
  }
  if (!faults.empty()) return faults;

  double lowest = 0, top = 0;
  if (!course_bounds(walls, lowest, top)) return faults;
  if (!c.lines.empty() && !(c.lines.back() < top - tolerance))
    fault(detail::format("courses.lines[{}]", c.lines.size() - 1),
          detail::format("the line as built at {} is not below the highest top, {}", c.lines.back(), top));
  const PoleLimits limits = course_limits(rules);
  double bottom = lowest;
  for (const WallHeights& wall : walls)
    if (wall.start) bottom = std::min(bottom, wall.start->low);
  const double states =
      (top - bottom) / c.division *
      (c.mode == CourseMode::fitted ? static_cast<double>(limits.greatest - limits.least + 1)
                                    : 1 / static_cast<double>(limits.greatest));
  if (states > most_course_states)
    fault("courses.division",
          detail::format("a division of {} is too fine for {} in of wall and exposures from {} to {}",
                         c.division, top - bottom, least, greatest));
  return faults;
}

/// A height in words: on the tape where it lies on one, else in decimals.
inline std::string say_height(double inches) {
  const double parts = std::floor(inches * 64 + 0.5);
  if (std::fabs(parts / 64 - inches) <= tolerance) return format_length(inches, 1.0 / 64);
  return format_length(inches, 0.001);
}

inline std::string say_start(const Interval& start) {
  if (start.high - start.low <= tolerance) return "at " + say_height(start.low);
  return detail::format("between {} and {}", say_height(start.low), say_height(start.high));
}

/// Demands that no pole meets together: starts, and the limits that stand in their way.
struct Contradiction {
  std::vector<StartDemand> starts;
  bool least = true, greatest = true, step = true, built = true;
};

/// Finds small sets of demands that contradict each other, and says them.
class CourseRefusal {
public:
  CourseRefusal(const std::vector<WallHeights>& walls, const Rules& rules)
      : walls_(walls), rules_(rules), limits_(course_limits(rules)) {
    course_bounds(walls, lowest_, top_);
  }

  /// One fault for each contradiction, as long as what is left contradicts itself too.
  std::vector<Fault> faults() const {
    std::vector<Fault> faults;
    Contradiction left = everything();
    while (!possible(left)) {
      const Contradiction least = smallest(left);
      faults.push_back(say(least));
      const std::size_t before = left.starts.size();
      left.starts.erase(std::remove_if(left.starts.begin(), left.starts.end(),
                                       [&](const StartDemand& d) {
                                         return std::any_of(
                                             least.starts.begin(), least.starts.end(),
                                             [&](const StartDemand& l) { return l.wall == d.wall; });
                                       }),
                        left.starts.end());
      if (left.starts.size() == before) break;
    }
    return faults;
  }

private:
  Contradiction everything() const {
    Contradiction all;
    all.built = !rules_.courses.lines.empty();
    all.starts = start_demands(walls_, limits_, lowest_, all.built);
    if (all.built) {  // the defaults that they pass by are none of the crew's demands
      const CourseTask task = course_task(walls_, rules_);
      all.starts.erase(std::remove_if(all.starts.begin(), all.starts.end(),
                                      [&](const StartDemand& d) {
                                        return std::find(task.waived.begin(), task.waived.end(), d.wall) !=
                                               task.waived.end();
                                      }),
                       all.starts.end());
    }
    return all;
  }

  bool possible(const Contradiction& c) const {
    if (c.starts.empty()) return true;
    CourseTask task;
    task.limits = limits_;
    task.lowest = lowest_;
    task.top = top_;
    if (!c.greatest) {
      task.limits.max_exposure = rules_.board.width - rules_.board.min_lap;
      task.limits.greatest = line_at_or_below(task.limits.max_exposure, limits_.division);
    }
    if (!c.least) {
      task.limits.min_exposure = limits_.division;
      task.limits.least = 1;
    }
    if (!c.step) {
      task.limits.max_step = task.limits.max_exposure;
      task.limits.step = task.limits.greatest;
    }
    if (c.built) task.built = rules_.courses.lines;
    task.demands = c.starts;
    settle_built_starts(task);
    return can_lay(task, rules_.courses.mode);
  }

  /// The fewest starts, then the fewest limits. Beyond a few dozen starts, none that could be left out.
  Contradiction smallest(const Contradiction& all) const {
    std::vector<Contradiction> found;
    for (std::size_t size = 1;
         size <= all.starts.size() && found.empty() && all.starts.size() <= 40 && size <= 3; ++size)
      choose(all, size, 0, {}, found);
    if (found.empty()) {
      Contradiction rest = all;
      for (std::size_t i = rest.starts.size(); i-- > 0;) {
        Contradiction without = rest;
        without.starts.erase(without.starts.begin() + static_cast<std::ptrdiff_t>(i));
        if (!possible(without)) rest = without;
      }
      found.push_back(rest);
    }
    Contradiction best;
    int fewest = 5;
    for (const Contradiction& c : found)
      for (int limits = 0; limits < 16; ++limits) {
        Contradiction some = c;
        some.least = (limits & 1) != 0;
        some.greatest = (limits & 2) != 0;
        some.step = (limits & 4) != 0;
        some.built = (limits & 8) != 0;
        if (some.built && !c.built) continue;
        // Full and even know no steps, and no least exposure.
        if (rules_.courses.mode != CourseMode::fitted && (some.step || some.least)) continue;
        const int count = some.least + some.greatest + some.step + some.built;
        if (count >= fewest || possible(some)) continue;
        best = some;
        fewest = count;
      }
    if (fewest == 5) best = found.front();
    return best;
  }
  void choose(const Contradiction& all, std::size_t size, std::size_t from,
              const std::vector<StartDemand>& chosen, std::vector<Contradiction>& found) const {
    if (chosen.size() == size) {
      Contradiction c = all;
      c.starts = chosen;
      if (!possible(c)) found.push_back(c);
      return;
    }
    for (std::size_t i = from; i < all.starts.size(); ++i) {
      std::vector<StartDemand> more = chosen;
      more.push_back(all.starts[i]);
      choose(all, size, i + 1, more, found);
    }
  }

  Fault say(const Contradiction& c) const {
    const double d = limits_.division;
    std::vector<std::string> demands;
    for (const StartDemand& start : c.starts) {
      const WallHeights& wall = walls_[start.wall];
      if (wall.start)
        demands.push_back(detail::format("wall \"{}\" starts {} (walls[{}].start)", wall.wall,
                                         say_start(*wall.start), start.wall));
      else if (starts_lowest(wall, lowest_))
        demands.push_back(detail::format("wall \"{}\", the lowest, starts at {} (default of walls[{}].start)",
                                         wall.wall, say_height(static_cast<double>(start.low) * d),
                                         start.wall));
      else
        demands.push_back(
            detail::format("wall \"{}\" has no start (walls[{}].start) and its boards begin at {}", wall.wall,
                           start.wall, say_height(wall.lowest)));
    }
    const std::string path = detail::format("walls[{}].start", c.starts.front().wall);
    const StartDemand& first = c.starts.front();
    if (c.starts.size() == 1 && first.low > first.high)
      return {path, detail::format("{}, but lines are multiples of {} and none lies there: widen the start",
                                   demands.front(), say_height(d))};
    if (c.starts.size() == 1 && static_cast<double>(first.low) * d > top_ - tolerance)
      return {path, detail::format("{}, but the highest top is at {}: start below it", demands.front(),
                                   say_height(top_))};
    if (c.built) demands.push_back(built_demand(c));
    if (rules_.courses.mode == CourseMode::full)
      demands.push_back(detail::format("every exposure is {} (courses.mode full)",
                                       say_height(static_cast<double>(limits_.greatest) * d)));
    if (rules_.courses.mode == CourseMode::even)
      demands.push_back("all courses show the same within one division (courses.mode even)");
    if (c.least)
      demands.push_back(detail::format("no exposure is less than {} ({}courses.min_exposure)",
                                       say_height(limits_.min_exposure),
                                       rules_.courses.min_exposure ? "" : "default of "));
    if (c.greatest && rules_.courses.mode != CourseMode::full)
      demands.push_back(detail::format("none is more than {} ({}courses.max_exposure)",
                                       say_height(limits_.max_exposure),
                                       rules_.courses.max_exposure ? "" : "default of "));
    if (c.step)
      demands.push_back(
          detail::format("the gauge changes by {} at most from course to course (courses.max_step)",
                         say_height(limits_.max_step)));
    std::string all = "no pole does all of this: " + demands.front();
    for (std::size_t i = 1; i < demands.size(); ++i)
      all += (i + 1 == demands.size() ? "; and " : "; ") + demands[i];
    return {path, all + rises(c) + advice(c)};
  }

  std::string built_demand(const Contradiction& c) const {
    // The lines on either side of the first start that they pass.
    const std::vector<double>& lines = rules_.courses.lines;
    for (const StartDemand& d : c.starts)
      for (std::size_t k = 0; k + 1 < lines.size(); ++k)
        if (lines[k] < d.from && lines[k + 1] > d.to)
          return detail::format("the lines as built go from {} to {} there (courses.lines)",
                                say_height(lines[k]), say_height(lines[k + 1]));
    if (c.starts.front().to < lines.front())
      return detail::format("the lines as built begin at {} (courses.lines)", say_height(lines.front()));
    return detail::format("the lines as built end at {} (courses.lines)", say_height(lines.back()));
  }

  /// What so many courses can rise between two starts.
  std::string rises(const Contradiction& c) const {
    if (c.starts.size() != 2 || c.built || c.step || rules_.courses.mode != CourseMode::fitted) return {};
    StartDemand a = c.starts[0], b = c.starts[1];
    if (b.low < a.low) std::swap(a, b);
    const Divisions low = b.low - a.high, high = b.high - a.low;  // asked for
    const Divisions fewer = high < 0 ? 0 : high / limits_.least;  // so many can rise no more than `high`
    const auto say_rise = [&](Divisions rise) {
      return say_height(static_cast<double>(rise) * limits_.division);
    };
    const auto courses = [&](Divisions n) {
      return n == 1 ? detail::format("1 course rises {} to {}", say_rise(limits_.least),
                                     say_rise(limits_.greatest))
                    : detail::format("{} courses rise {} to {}", n, say_rise(n * limits_.least),
                                     say_rise(n * limits_.greatest));
    };
    return detail::format(". Between the two starts are {} to {}, but {}{}",
                          say_rise(std::max<Divisions>(low, 0)), say_rise(high),
                          fewer > 0 ? courses(fewer) + ", " : std::string(), courses(fewer + 1));
  }

  std::string advice(const Contradiction& c) const {
    if (rules_.courses.mode != CourseMode::fitted) {
      Rules fitted = rules_;
      fitted.courses.mode = CourseMode::fitted;
      if (CourseRefusal(walls_, fitted).possible(everything()))
        return ". Let courses.mode be fitted, or widen a start";
    }
    if (c.built) return ". Measure the lines again, or widen the start";
    return c.starts.size() > 1 ? ". Widen a start, or give the exposures more room" : ". Widen the start";
  }

  const std::vector<WallHeights>& walls_;
  const Rules& rules_;
  PoleLimits limits_;
  double lowest_ = 0, top_ = 0;
};

inline std::vector<Fault> contradictions(const std::vector<WallHeights>& walls, const Rules& rules) {
  return CourseRefusal(walls, rules).faults();
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
