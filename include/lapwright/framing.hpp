#pragma once
/// \file framing.hpp  Where the studs of a wall stand.
#include <vector>

#include <lapwright/job.hpp>

namespace lapwright {
inline namespace v0 {

/// A stud over the full height of the wall. Inches.
struct Stud {
  double centre = 0;
  double width = 0;
};

/// All studs of a wall by ascending centre: first + n spacing (n from 0) while the centre stands in the
/// wall's width, one with its face flush at each end of the wall's width, the further ones, and those beside
/// rectangular openings. Where the spacing is 0 the further ones are all there are, but for those beside
/// openings. Studs at one centre (by `tolerance`) are listed once, with the greatest width; studs that
/// overlap stay apart. O(n log n). \throws Refused for a spacing so small that a wall would hold over a
/// million.
std::vector<Stud> lay_studs(const Wall& wall);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/framing.ipp>
#endif
