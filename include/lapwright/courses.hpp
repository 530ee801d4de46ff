#pragma once
/// \file courses.hpp  Every course line and gauge setting of the house: the story pole.
#include <cstddef>
#include <vector>

#include <lapwright/finding.hpp>
#include <lapwright/job.hpp>
#include <lapwright/wall.hpp>

namespace lapwright {
inline namespace v0 {

/// One pole for every wall. Inches from the datum.
struct Pole {
  std::vector<double> lines;      ///< y_0 < y_1 < ..., lower edges of the courses' visible bands
  std::vector<double> exposures;  ///< exposures[k] = lines[k+1] - lines[k]
  int settings = 0;               ///< 1 + changes of exposure; 0 for a single line
  double starter = 0;             ///< in; width of the base starter's rip
  int built = 0;                  ///< lines[0 .. built-1] are nailed already
};

/// One wall on the pole.
struct WallCourses {
  int first_course = 0;       ///< index into Pole::lines
  int last_course = -1;       ///< the highest course with a visible band on this wall; -1: none
  double last_rip = 0;        ///< in; from the last course's line to the region's top
  bool ripped_start = false;  ///< it begins with a course ripped along its lower edge
};

struct Courses {
  Pole pole;
  std::vector<WallCourses> walls;  ///< one for each wall, in order
  std::vector<Finding> findings;   ///< ripped_start, exposure_min, step, lap, start, as_built
};

/// Lays the courses of all walls at once: one pole, so that courses meet around every corner.
///
/// Lines are whole multiples of `courses.division` from the datum, so sums of exposures are exact. A wall
/// with a start has a line in it; the house's lowest wall, where it has none, starts in [b, b + division), b
/// being its region's lowest point; any other wall begins with the course whose visible band holds b, ripped.
/// No wall without a start is left bare by a least exposure or more: the pole reaches down to it. A wall with
/// no region (highest not above lowest) takes no part.
///
/// - `full`: every exposure the greatest that the lap allows; the first line nearest to the lowest base, the
/// lower
///   of two.
/// - `even`: the fewest courses that fit, all visible heights within one division, the wider ones first; the
/// first
///   line nearest to the lowest base.
/// - `fitted`: the least pole in this order, decided by dynamic programming over the grid, so exact and
/// unique:
///     1. bad strips (a mark whose strip is between 0 and `min_strip`; see pole_strips),
///     2. courses,
///     3. gauge settings,
///     4. sum of squared steps between neighbouring exposures,
///     5. distance of the first line from the lowest base,
///     6. exposures lexicographically greatest from the bottom,
///     7. the lower first line.
///   Time O(L E S), memory O(L E): L grid lines from base to top, E exposures from the least to the greatest,
///   S of them within `max_step` both ways. Linear in height. Off the grid (lines as built, the base) places
///   are told apart to 1/16384 of a division in 4 and 5.
///
/// Lines as built come first and are kept where they are. The exposure above the last of them keeps to the
/// limits, or is the greatest that reaches a grid line where none keeps to them. The step to it is free, its
/// square counts; the step from it to the next keeps to `max_step`, or goes to the nearest whole exposure
/// where that cannot be.
///
/// \param walls  heights and marks of each wall, from wall_heights or the host's own.
/// \throws Refused for rules or heights that do not hold, each with its path in the job document, and for
/// demands
///   that contradict each other, with a smallest set of them.
Courses lay_courses(const std::vector<WallHeights>& walls, const Rules& rules);

/// The board beside a mark.
struct MarkStrip {
  std::size_t wall = 0;  ///< index into the walls
  std::size_t mark = 0;  ///< index into that wall's marks
  int course = 0;        ///< of the board next to it
  double height = 0;     ///< in; visible height of that board beside the mark; 0: a line lies on the mark
  bool bad = false;      ///< between 0 and min_strip: it snaps
};

/// The strip at each mark that has a board next to it, wall by wall, in the order of their marks. Below a
/// sill or top: from the line below it; above a head, step or roof edge: to the line above it, or to the
/// region's top where that is lower. Works for any pole. O(marks log lines).
std::vector<MarkStrip> pole_strips(const std::vector<WallHeights>& walls, const Pole& pole,
                                   const Rules& rules);

/// What a pole costs, in the order of `fitted`.
struct PoleCost {
  int bad_strips = 0;
  int courses = 0;           ///< lines, those as built too
  int settings = 0;          ///< as Pole::settings
  double squared_steps = 0;  ///< square divisions; of lines as built, only the step at the seam
  double base_distance = 0;  ///< in; of the first line from the lowest base
};

/// The cost of any pole, from whoever made it: `full`, `even` and `fitted` side by side.
PoleCost pole_cost(const std::vector<WallHeights>& walls, const Pole& pole, const Rules& rules);

/// < 0 where a is better than b, 0 where neither is, > 0 where b is better.
int compare(const PoleCost& a, const PoleCost& b);

/// How far a pole departs from another.
struct PoleDeparture {
  std::vector<double> by_line;  ///< in; each line planned in `pole`, less the nearest line of `plan`
  double greatest = 0;          ///< in; of their absolute values
  int at = -1;                  ///< index into pole.lines of the line that departs most; -1: none departs
  int healed = -1;              ///< index of the line from which on none departs; -1: the last one does
  int courses = 0;              ///< lines more (or fewer) than in `plan`
};

/// How far the lines that are still to be laid (from pole.built on) depart from those of another pole, for
/// instance from the first plan once the crew has measured again half way up. O(lines).
PoleDeparture pole_departure(const Pole& pole, const Pole& plan);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/courses.ipp>
#endif
