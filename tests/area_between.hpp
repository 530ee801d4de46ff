/// What a ring has between two heights.
#pragma once
#include <cstddef>

#include <lapwright/wall.hpp>

namespace lapwright_test {

/// Square inches, signed as the ring is.
inline double area_between(const lapwright::Ring& ring, double low, double high) {
  lapwright::Region one;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    lapwright::Boundary b;
    b.a = ring[i];
    b.b = ring[(i + 1) % ring.size()];
    one.boundary.push_back(b);
  }
  return lapwright::region_area(one, low) - lapwright::region_area(one, high);
}

}  // namespace lapwright_test
