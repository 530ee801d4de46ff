#pragma once
/// \file detail/normal_wall.hpp  Rings as every stage wants them: on the coordinate grid, counter-clockwise,
/// no vertex twice; with the way back to the edges as given.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/job.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// A ring on the coordinate grid, counter-clockwise, no vertex twice in a row (nor the first again at the
/// end). Fewer than three vertices where nothing is left of it.
struct NormalRing {
  Ring points;
  std::vector<std::size_t> edge;  ///< edge[i]: index, as given, of the edge from points[i] to points[i+1]
};

/// The nearest coordinate; never a negative zero.
inline double on_grid(double inches) {
  return std::nearbyint(inches * snaps_per_inch) / snaps_per_inch + 0.0;
}

inline NormalRing normal_ring(const Ring& given) {
  NormalRing normal;
  normal.points.reserve(given.size());
  normal.edge.reserve(given.size());
  for (std::size_t i = 0; i < given.size(); ++i) {
    const Point p{on_grid(given[i].x), on_grid(given[i].y)};
    if (!normal.points.empty() && normal.points.back() == p) {
      normal.edge.back() = i;  // the edge of no length goes, the next one starts here
      continue;
    }
    normal.points.push_back(p);
    normal.edge.push_back(i);
  }
  // Closing vertices: the last one's edge would have no length.
  while (normal.points.size() > 1 && normal.points.back() == normal.points.front()) {
    normal.points.pop_back();
    normal.edge.pop_back();
  }
  if (signed_area(normal.points) < 0) {
    std::reverse(normal.points.begin(), normal.points.end());
    // Point i is now the old n-1-i, and its edge leads to the old n-2-i: the old edge n-2-i.
    std::reverse(normal.edge.begin(), normal.edge.end());
    std::rotate(normal.edge.begin(), normal.edge.begin() + 1, normal.edge.end());
  }
  return normal;
}

/// The outline of a wall as every stage wants it, and for each of its edges the index into Wall::edges.
struct NormalWall {
  Ring outline;
  std::vector<std::size_t> edge;
};

inline NormalWall normal_wall(const Wall& wall) {
  NormalRing ring = normal_ring(wall.outline);
  return {std::move(ring.points), std::move(ring.edge)};
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
