#pragma once
/// \file runs.hpp  Each course's band in the region: what can be laid without a joint, and the strips under
/// it.
#include <string>
#include <vector>

#include <lapwright/courses.hpp>
#include <lapwright/finding.hpp>
#include <lapwright/geometry.hpp>
#include <lapwright/job.hpp>
#include <lapwright/wall.hpp>

namespace lapwright {
inline namespace v0 {

/// A connected stretch of one course (or a filler beside it), before joints.
struct Run {
  int course = 0;
  bool filler = false;  ///< a leg that would snap, split off
  Polygon shape;        ///< on the wall, inside the course band; holes where an opening lies inside the band
  double x_min = 0;     ///< in; the blank's ends
  double x_max = 0;
};

enum class StarterPlace { base, head, roof };

/// A strip wherever a lower edge of the region has no course below it to lean on.
struct Starter {
  std::string id;  ///< "south-s0"
  Point from;  ///< on the wall; lower edge of the strip, left end; may differ in height from `to` (a slope)
  Point to;
  double width = 0;  ///< in; square to from-to
  StarterPlace where = StarterPlace::base;
};

struct Runs {
  std::vector<Run> runs;          ///< by course, then left to right, fillers after the runs of their course
  std::vector<Starter> starters;  ///< from the bottom, left to right
  std::vector<Finding> findings;
};

/// The runs, fillers and starters of one wall, from its first planned line (first_course, or the first line
/// that is not as built, whichever is higher) up.
Runs find_runs(const Wall& wall, const Region& region, const Pole& pole, const WallCourses& courses,
               const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/runs.ipp>
#endif
