#pragma once
/// \file wall.hpp  Where boards may be: the outline inset edge by edge, the openings grown.
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include <lapwright/finding.hpp>
#include <lapwright/geometry.hpp>
#include <lapwright/job.hpp>

namespace lapwright {
inline namespace v0 {

/// What an edge of a piece lies along.
enum class Meets { base, corner, top, rake, roof, wall, opening, joint, filler };

/// A straight stretch of the region's boundary and where it comes from.
struct Boundary {
  Point a, b;  ///< boards lie on the left of a to b
  Meets meets = Meets::corner;
  std::ptrdiff_t edge = -1;     ///< index of the wall's outline edge, or -1
  std::ptrdiff_t opening = -1;  ///< index of the opening, or -1
  double trim = 0;              ///< in; between wall edge or opening and gap
  double gap = 0;               ///< in; open between trim and board
  bool follows = false;  ///< a base edge (or an opening's edge on it) that follows the first course line
  std::ptrdiff_t opening_edge = -1;  ///< index of the opening's outline edge as given, or -1
};

/// An opening grown by trim + gap, side by side or mitred; it may pass the outline.
struct GrownOpening {
  std::size_t opening = 0;  ///< index into Wall::openings
  Ring outline;             ///< counter-clockwise
};

/// Region = outline - strips along its edges - grown openings.
struct Region {
  std::vector<Polygon> parts;      ///< disjoint; outer rings counter-clockwise; none: nothing to side
  std::vector<Boundary> boundary;  ///< every edge of every part, in the order of the parts' rings
  std::vector<GrownOpening> openings;
  std::vector<Finding> findings;  ///< no_region, long_mitre
};

/// The region of one wall.
/// \param first_line  the wall's first course line, inches, once it is known: a level base edge whose height
/// lies
///   in the wall's start follows it, and so does an opening's edge on such an edge. Absent: before any base
///   follows.
/// \throws Refused for a wall that check_job would refuse.
Region siding_region(const Wall& wall, const Rules& rules, std::optional<double> first_line = std::nullopt);

/// Area of the region at or above y, square inches.
double region_area(const Region& region, double y);

/// The boundary stretch along which the segment a to b lies, by `tolerance`; npos where none does (a joint, a
/// filler's side, a course line).
inline constexpr std::size_t npos = static_cast<std::size_t>(-1);
std::size_t boundary_along(const Region& region, Point a, Point b);

/// A height that the course lines should land on, or keep a strip away from.
struct Mark {
  double height = 0;  ///< in
  bool board_below =
      false;          ///< true: the board next to it is below (a sill, a top); false: above (a head, a step)
  std::string label;  ///< "W1 head", "W1 sill", "top", "roof": in the crew's words
  bool base =
      false;  ///< a level base edge: on the house's lowest wall, which starts by default, it follows the
              ///< first line and is no mark; where a wall has a start, wall_heights leaves it out itself
};

/// What the pole must know of one wall.
struct WallHeights {
  std::string wall;
  double lowest = 0;   ///< in; lowest point of the region, before any base follows
  double highest = 0;  ///< in; highest point of the region
  std::optional<Interval> start;
  std::vector<Mark> marks;  ///< by height; those of edges that may follow the first line are left out
};

/// Heights and marks of a wall from its region before any base follows.
WallHeights wall_heights(const Wall& wall, const Region& region);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/wall.ipp>
#endif
