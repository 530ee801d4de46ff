#pragma once
/// \file joints.hpp  Where butt joints go: on studs, staggered, with factory ends.
#include <cstddef>
#include <vector>

#include <lapwright/framing.hpp>
#include <lapwright/runs.hpp>

namespace lapwright {
inline namespace v0 {

/// One butt joint. Inches.
struct Joint {
  int course = 0;
  double x = 0;               ///< middle of the gap
  double stud = 0;            ///< centre of the stud that carries it
  std::size_t run = 0;        ///< index into Runs::runs
  bool left_factory = true;   ///< the right end of the piece on its left is a factory end
  bool right_factory = true;  ///< the left end of the piece on its right is a factory end
};

struct Joints {
  std::vector<Joint> joints;  ///< by run, then left to right
  std::vector<Finding> findings;
};

/// Joints of one wall on their own: fewest pieces, then best stagger, without knowing the boards.
/// \throws Refused where a rule that is never relaxed cannot hold (a run longer than the stock with no stud
/// to
///   carry a joint).
Joints place_joints(const Wall& wall, const Region& region, const Runs& runs, const Pole& pole,
                    const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/joints.ipp>
#endif
