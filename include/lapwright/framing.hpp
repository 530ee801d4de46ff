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

/// All studs of a wall by ascending centre: first + n spacing while they stand in the wall, one with its face
/// flush at each end of the wall, the further ones, and those beside rectangular openings. Studs at one
/// centre are listed once, with the greatest width; studs that overlap stay apart.
std::vector<Stud> lay_studs(const Wall& wall);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/framing.ipp>
#endif
