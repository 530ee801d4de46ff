#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/error.hpp>
#include <lapwright/framing.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE std::vector<Stud> lay_studs(const Wall& wall) {
  const Framing& framing = wall.framing;
  std::vector<Stud> studs;
  if (wall.outline.empty()) return studs;
  const Box wide = detail::bounds(wall.outline);
  const auto place = [](std::string path, double x) {
    if (!(std::fabs(x) <= greatest_length))  // false for NaN
      throw Refused(std::move(path), detail::format("must be within {} in, got {}", greatest_length, x));
  };
  place("framing.first", framing.first);
  place("framing.stud_width", framing.stud_width);
  place("framing.opening_stud", framing.opening_stud);
  for (std::size_t i = 0; i < framing.studs.size(); ++i)
    if (!(std::fabs(framing.studs[i]) <= greatest_length))
      place(detail::format("framing.studs[{}]", i), framing.studs[i]);

  if (framing.spacing > 0) {
    if (!((wide.x_max - wide.x_min) / framing.spacing < 1e6))
      throw Refused("framing.spacing",
                    detail::format("spacing must leave room between studs, got {} in", framing.spacing));
    // The first stud may stand far left of the wall: begin with the one before the wall's left end.
    const double before = std::floor((wide.x_min - framing.first) / framing.spacing) - 1;
    for (double n = std::max(before, 0.0);; ++n) {
      const double centre = framing.first + n * framing.spacing;  // never summed up: sums drift
      if (centre > wide.x_max + tolerance) break;
      if (centre >= wide.x_min - tolerance) studs.push_back({centre, framing.stud_width});
    }
    studs.push_back({wide.x_min + framing.stud_width / 2, framing.stud_width});
    studs.push_back({wide.x_max - framing.stud_width / 2, framing.stud_width});
  }
  for (double centre : framing.studs) studs.push_back({centre, framing.stud_width});
  if (framing.around_openings && framing.opening_stud > 0)
    for (const Opening& opening : wall.openings) {
      if (!opening.rectangle || opening.outline.empty()) continue;
      const Box hole = detail::bounds(opening.outline);
      studs.push_back({hole.x_min - framing.opening_stud / 2, framing.opening_stud});
      studs.push_back({hole.x_max + framing.opening_stud / 2, framing.opening_stud});
    }

  std::sort(studs.begin(), studs.end(), [](const Stud& a, const Stud& b) {
    return a.centre != b.centre ? a.centre < b.centre : a.width > b.width;
  });
  std::size_t kept = 0;
  for (const Stud& stud : studs) {
    if (kept > 0 && stud.centre - studs[kept - 1].centre <= tolerance)
      studs[kept - 1].width = std::max(studs[kept - 1].width, stud.width);
    else
      studs[kept++] = stud;
  }
  studs.resize(kept);
  return studs;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
