#pragma once
/// \file courses.hpp  Every course line and gauge setting of the house: the story pole.
#include <optional>
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
  std::vector<Finding> findings;
};

/// Lays the courses of all walls at once.
Courses lay_courses(const std::vector<WallHeights>& walls, const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/courses.ipp>
#endif
