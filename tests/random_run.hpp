#pragma once
/// \file random_run.hpp  Shapes of runs that a wall might leave, for the tests of what is cut from them.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include <lapwright/geometry.hpp>

#include "random_house.hpp"

namespace lapwright_test {

inline double between(Random& r, double low, double high) {
  return low + (high - low) * (static_cast<double>(r.next() >> 11) / 9007199254740992.0);
}

/// A run with steps, slopes, notches and points, above and below, on a grid or off it.
inline lapwright::Polygon random_run(Random& r, double y0, double w, bool thin_legs, bool slopes) {
  const bool grid = r.once_in(2);
  const auto set = [&](double v) { return grid ? std::round(v * 16) / 16 : v; };
  const int n = r.whole(1, 6);
  std::vector<double> xs{set(between(r, -100, 100))};
  for (int i = 0; i < n; ++i)
    xs.push_back(xs.back() + (thin_legs && r.once_in(8) ? between(r, 0.26, 0.6) : set(between(r, 3, 40))));
  struct Slice {
    double bl, br, tl, tr;
  };
  std::vector<Slice> slices;
  const auto low = [&] { return r.once_in(2) ? 0.0 : set(between(r, 0, w * 0.45)); };
  const auto high = [&] { return r.once_in(2) ? w : std::min(w, set(between(r, w * 0.55, w))); };
  for (int i = 0; i < n; ++i) {
    Slice s{low(), low(), high(), high()};
    if (!slopes || r.once_in(2)) s.br = s.bl;
    if (!slopes || r.once_in(2)) s.tr = s.tl;
    slices.push_back(s);
  }
  if (slopes && r.once_in(4))
    slices.front().bl = slices.front().tl = r.once_in(2) ? 0 : std::min(w, set(between(r, 0, w)));
  if (slopes && r.once_in(4))
    slices.back().br = slices.back().tr = r.once_in(2) ? 0 : std::min(w, set(between(r, 0, w)));
  lapwright::Polygon run;
  for (int i = 0; i < n; ++i) {
    const Slice& s = slices[static_cast<std::size_t>(i)];
    run.outer.push_back({xs[static_cast<std::size_t>(i)], y0 + s.bl});
    run.outer.push_back({xs[static_cast<std::size_t>(i) + 1], y0 + s.br});
  }
  for (int i = n - 1; i >= 0; --i) {
    const Slice& s = slices[static_cast<std::size_t>(i)];
    run.outer.push_back({xs[static_cast<std::size_t>(i) + 1], y0 + s.tr});
    run.outer.push_back({xs[static_cast<std::size_t>(i)], y0 + s.tl});
  }
  if (r.once_in(3) && w > 4) {  // a vent, wholly inside the band
    const int corners = r.whole(3, 11);
    const double radius = w * 0.03 + 0.15;
    const std::size_t i = static_cast<std::size_t>(r.whole(0, n - 1));
    const double cx = (xs[i] + xs[i + 1]) / 2, cy = y0 + w / 2;
    if (xs[i + 1] - xs[i] > 3 * radius && slices[i].bl < w * 0.45 && slices[i].br < w * 0.45 &&
        slices[i].tl > w * 0.55 && slices[i].tr > w * 0.55) {
      lapwright::Ring hole;
      for (int k = 0; k < corners; ++k) {
        const double turn = -6.283185307179586 * k / corners;
        hole.push_back({set(cx + radius * std::cos(turn)), set(cy + radius * std::sin(turn))});
      }
      if (!grid) run.holes.push_back(hole);
    }
  }
  return run;
}

}  // namespace lapwright_test
