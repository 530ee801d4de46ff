#pragma once
// What the pole must keep to, in whole divisions where it lies on the grid. Included by courses.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include <lapwright/courses.hpp>
#include <lapwright/geometry.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

using Divisions = std::int64_t;  ///< a height or an exposure, counted in divisions

/// A division is told apart into this many parts where a place does not lie on the grid: coarse enough that
/// the noise of millimetres in inches makes no difference, fine enough that no tape could.
inline constexpr double course_parts = 16384;

/// Lines by height; `tolerance` decides whether a line lies on a height.
inline Divisions line_at_or_below(double y, double division) {
  return static_cast<Divisions>(std::floor((y + tolerance) / division));
}
inline Divisions line_at_or_above(double y, double division) {
  return static_cast<Divisions>(std::ceil((y - tolerance) / division));
}
inline Divisions line_below(double y, double division) {
  return line_at_or_above(y, division) - 1;
}
inline Divisions line_above(double y, double division) {
  return line_at_or_below(y, division) + 1;
}

struct PoleLimits {
  double division = 0, max_exposure = 0, min_exposure = 0, max_step = 0, min_strip = 0;  // in
  Divisions least = 1, greatest = 1, step = 0;
};

inline PoleLimits course_limits(const Rules& rules) {
  const CourseRules& c = rules.courses;
  PoleLimits limits;
  limits.division = c.division;
  limits.max_exposure = greatest_exposure(rules);
  limits.min_exposure = least_exposure(rules);
  limits.max_step = c.max_step;
  limits.min_strip = c.min_strip;
  limits.greatest = line_at_or_below(limits.max_exposure, c.division);
  limits.least = std::max<Divisions>(1, line_at_or_above(limits.min_exposure, c.division));
  limits.step = line_at_or_below(c.max_step, c.division);
  return limits;
}

/// A mark that can have a strip, and the walls' bounds of it.
struct CourseMark {
  double height = 0;
  bool board_below = false;
  bool tight = false;  ///< above a head: the region ends within min_strip over it, whatever the lines
  std::size_t wall = 0;
  double from = 0;  ///< in; no line below this height belongs to the mark's wall
  double top = 0;   ///< of its wall
};

/// One line must lie in [low, high].
struct StartDemand {
  Divisions low = 0, high = 0;
  double from = 0, to = 0;  ///< in; the same, with `tolerance` to either side, for lines as built
  bool given = false;    ///< by the crew; else the default of the lowest wall, or a wall's that has no start
  std::size_t wall = 0;  ///< the first wall that asks for it
};

struct CourseTask {
  PoleLimits limits;
  double lowest = 0, top = 0;  ///< of the house's regions
  std::vector<StartDemand> demands;
  std::vector<std::size_t> waived;  ///< walls whose default start the lines as built passed by
  std::vector<CourseMark> marks;
  std::vector<double> built;
};

inline bool has_region(const WallHeights& wall) {
  return wall.highest > wall.lowest + tolerance;
}
inline bool starts_lowest(const WallHeights& wall, double lowest) {
  return !wall.start && wall.lowest <= lowest + tolerance;
}

/// The start of a wall in inches, tolerance included; nothing where it has none. The default is open at its
/// top.
inline std::optional<Interval> start_of(const WallHeights& wall, double lowest, double division) {
  if (wall.start) return Interval{wall.start->low - tolerance, wall.start->high + tolerance};
  if (starts_lowest(wall, lowest))
    return Interval{wall.lowest - tolerance, wall.lowest + division - 2 * tolerance};
  return std::nullopt;
}

/// Whether a mark counts at all: a base edge that follows the first line of a wall that starts by default
/// does not, nor one with nothing of the region on its board's side.
inline bool mark_counts(const WallHeights& wall, const Mark& mark, double lowest, double division) {
  if (mark.base && starts_lowest(wall, lowest) && mark.height < wall.lowest + division - tolerance)
    return false;
  return mark.board_below ? mark.height > wall.lowest + tolerance && mark.height <= wall.highest + tolerance
                          : mark.height >= wall.lowest - tolerance && mark.height < wall.highest - tolerance;
}

/// The pole's ends: lowest and highest point of all regions; false where there is none.
inline bool course_bounds(const std::vector<WallHeights>& walls, double& lowest, double& top) {
  bool any = false;
  for (const WallHeights& wall : walls) {
    if (!has_region(wall)) continue;
    lowest = any ? std::min(lowest, wall.lowest) : wall.lowest;
    top = any ? std::max(top, wall.highest) : wall.highest;
    any = true;
  }
  return any;
}

inline void add_demand(std::vector<StartDemand>& demands, const StartDemand& demand) {
  for (StartDemand& d : demands)
    if (d.low == demand.low && d.high == demand.high) {
      if (demand.given && !d.given) d = demand;
      return;
    }
  demands.push_back(demand);
}

/// The start of each wall that has one, and of the pole where it must reach down to a wall that has none.
/// Equal starts are listed once unless lines as built may tell them apart.
inline std::vector<StartDemand> start_demands(const std::vector<WallHeights>& walls, const PoleLimits& limits,
                                              double lowest, bool built) {
  std::vector<StartDemand> demands;
  std::optional<std::size_t> without;  // the lowest of the walls that begin with a ripped course
  for (std::size_t w = 0; w < walls.size(); ++w) {
    const WallHeights& wall = walls[w];
    if (!has_region(wall)) continue;
    const std::optional<Interval> start = start_of(wall, lowest, limits.division);
    if (!start) {
      if (!without || wall.lowest < walls[*without].lowest) without = w;
      continue;
    }
    StartDemand demand;
    demand.given = wall.start.has_value();
    demand.low = line_at_or_above(demand.given ? wall.start->low : wall.lowest, limits.division);
    demand.high = demand.given ? line_at_or_below(wall.start->high, limits.division) : demand.low;
    demand.from = start->low;
    demand.to = start->high;
    demand.wall = w;
    if (built)
      demands.push_back(demand);
    else
      add_demand(demands, demand);
  }
  if (built || !without || demands.empty()) return demands;
  // A wall with no start is not left bare by a whole course.
  Divisions first = demands.front().high;
  for (const StartDemand& d : demands) first = std::min(first, d.high);
  const double b = walls[*without].lowest;
  if (first < line_at_or_above(b, limits.division) + limits.least) return demands;
  StartDemand demand;
  demand.high = line_at_or_below(b, limits.division);
  demand.low = demand.high - limits.greatest + 1;
  demand.wall = *without;
  add_demand(demands, demand);
  return demands;
}

/// Starts that lines as built meet are done; of the others only what lies above the last of them is left. A
/// default start that they have passed by is no demand any more.
inline void settle_built_starts(CourseTask& task) {
  if (task.built.empty()) return;
  std::vector<StartDemand> left;
  for (StartDemand demand : task.demands) {
    bool met = false;
    for (double y : task.built) met = met || (demand.from <= y && y <= demand.to);
    if (met) continue;
    demand.low = std::max(demand.low, line_above(task.built.back(), task.limits.division));
    if (demand.low > demand.high && !demand.given)
      task.waived.push_back(demand.wall);
    else
      left.push_back(demand);
  }
  task.demands = std::move(left);
}

/// All walls have been checked, and one has a region.
inline CourseTask course_task(const std::vector<WallHeights>& walls, const Rules& rules) {
  CourseTask task;
  task.limits = course_limits(rules);
  task.built = rules.courses.lines;
  course_bounds(walls, task.lowest, task.top);
  task.demands = start_demands(walls, task.limits, task.lowest, !task.built.empty());
  settle_built_starts(task);
  for (std::size_t w = 0; w < walls.size(); ++w) {
    const WallHeights& wall = walls[w];
    if (!has_region(wall)) continue;
    const std::optional<Interval> start = start_of(wall, task.lowest, task.limits.division);
    // A wall whose start is waived begins with the course that holds its lowest point, as one without does.
    const bool waived = std::find(task.waived.begin(), task.waived.end(), w) != task.waived.end();
    for (const Mark& mark : wall.marks) {
      if (!mark_counts(wall, mark, task.lowest, task.limits.division)) continue;
      CourseMark m;
      m.height = mark.height;
      m.board_below = mark.board_below;
      m.tight = !mark.board_below && wall.highest - mark.height < task.limits.min_strip - tolerance;
      m.from = start && !waived ? start->low : -2 * greatest_length;
      m.top = wall.highest;
      task.marks.push_back(m);
    }
  }
  return task;
}

/// Bad strips that the board from `below` to `above` leaves, both inches.
inline int bad_strips_between(const CourseTask& task, double below, double above) {
  int bad = 0;
  for (const CourseMark& m : task.marks) {
    if (below < m.from) continue;
    if (m.board_below) {
      const double strip = m.height - below;
      bad += strip > tolerance && strip < task.limits.min_strip - tolerance && above > m.height + tolerance;
    } else {
      const double strip = std::min(above, m.top) - m.height;
      bad += strip > tolerance && strip < task.limits.min_strip - tolerance && below < m.height - tolerance;
    }
  }
  return bad;
}

/// True where a line of the ascending `lines` lies in each start that is to be met.
inline bool meets_demands(const std::vector<StartDemand>& demands, const std::vector<Divisions>& lines) {
  for (const StartDemand& d : demands) {
    const auto it = std::lower_bound(lines.begin(), lines.end(), d.low);
    if (it == lines.end() || *it > d.high) return false;
  }
  return true;
}

/// The grid lines that the pole may begin with where nothing is built, nearest to the lowest base first, the
/// lower of two: in some start, above none, below the top.
inline std::vector<Divisions> first_lines(const CourseTask& task) {
  Divisions highest = line_below(task.top, task.limits.division);
  for (const StartDemand& d : task.demands) highest = std::min(highest, d.high);
  std::vector<Divisions> lines;
  for (const StartDemand& d : task.demands)
    for (Divisions i = d.low; i <= highest; ++i) lines.push_back(i);
  std::sort(lines.begin(), lines.end());
  lines.erase(std::unique(lines.begin(), lines.end()), lines.end());
  return lines;
}

/// Distance of a grid line from the lowest base, in parts of a division.
inline double base_parts(const CourseTask& task, Divisions line) {
  const double base = std::floor(task.lowest / task.limits.division * course_parts + 0.5);
  return std::fabs(static_cast<double>(line) * course_parts - base);
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
