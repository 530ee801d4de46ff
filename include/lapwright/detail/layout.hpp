#pragma once
/// \file detail/layout.hpp  A piece's layout on its blank, turned half round or over on its back.
#include <cmath>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Blanks are laid out on multiples of 2^-32 in: finer than the grid of the coordinates that come in, and
/// coarse enough that any difference of two lengths up to 2 greatest_length is exact. So each turn below,
/// done twice, gives back the same bits.
inline constexpr double layouts_per_inch = 4294967296.0;

inline double snap_layout(double inches) {
  return std::nearbyint(inches * layouts_per_inch) / layouts_per_inch;
}

/// How a blank lies on the bench: face up, as on the wall, unless turned.
struct Lie {
  bool turned = false;  ///< half a turn in its plane: left is right and the lower edge is up
  bool back = false;    ///< back up, turned over about its upright middle: left is right
};

/// Two ways of lying, one after the other; the order does not matter.
constexpr Lie then(Lie a, Lie b) {
  return {a.turned != b.turned, a.back != b.back};
}

/// A place in the blank, from its lower left corner as it lies. Its own inverse for each lie; exact for
/// lengths, heights and places that snap_layout gives.
inline Point carry(Point p, Lie lie, double length, double height) {
  if (lie.turned != lie.back) p.x = length - p.x;
  if (lie.turned) p.y = height - p.y;
  return p;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
