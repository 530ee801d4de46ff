#pragma once
// The poles of `full` and `even`, and the choice of mode. Included by courses.ipp.
#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

#include <lapwright/detail/courses_fitted.ipp>
#include <lapwright/detail/courses_task.ipp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Every exposure the greatest, from this line on (it is one of them).
inline std::vector<Divisions> greatest_from(const CourseTask& task, Divisions line) {
  std::vector<Divisions> lines{line};
  const double d = task.limits.division;
  while (task.top - static_cast<double>(lines.back()) * d > task.limits.max_exposure + tolerance)
    lines.push_back(lines.back() + task.limits.greatest);
  return lines;
}

inline std::vector<Divisions> nearest_first(const CourseTask& task) {
  std::vector<Divisions> lines = first_lines(task);
  std::stable_sort(lines.begin(), lines.end(), [&](Divisions a, Divisions b) {
    const double pa = base_parts(task, a), pb = base_parts(task, b);
    return pa != pb ? pa < pb : a < b;
  });
  return lines;
}

inline std::optional<std::vector<Divisions>> lay_full(const CourseTask& task) {
  if (task.built.empty()) {
    for (Divisions line : nearest_first(task)) {
      std::vector<Divisions> lines = greatest_from(task, line);
      if (meets_demands(task.demands, lines)) return lines;
    }
    return std::nullopt;
  }
  std::vector<Divisions> lines;
  if (task.top - task.built.back() > task.limits.max_exposure + tolerance)
    lines = greatest_from(task, seam_lines(task).second);
  if (!meets_demands(task.demands, lines)) return std::nullopt;
  return lines;
}

/// n visible heights from the grid line `first` to the top, within one division, the wider ones first: with
/// Q whole divisions and a rest in all, Q mod n of them are one division wider than Q / n, and the last one
/// takes the rest.
inline std::vector<Divisions> even_from(const CourseTask& task, Divisions first) {
  const double d = task.limits.division;
  const Divisions whole = line_at_or_below(task.top, d) - first;
  const bool rest = task.top - static_cast<double>(whole + first) * d > tolerance;
  const Divisions g = task.limits.greatest;
  const Divisions n = (whole + (rest ? 1 : 0) + g - 1) / g;
  std::vector<Divisions> lines{first};
  for (Divisions k = 0; k + 1 < n; ++k) lines.push_back(lines.back() + whole / n + (k < whole % n ? 1 : 0));
  return lines;
}

/// The same above lines as built, where the first of the n heights begins off the grid.
inline std::optional<std::vector<Divisions>> even_from_seam(const CourseTask& task) {
  const double d = task.limits.division, r = task.built.back();
  if (task.top - r <= static_cast<double>(task.limits.greatest) * d + tolerance)
    return std::vector<Divisions>{};
  const Divisions base = line_at_or_below(r, d);  // whole divisions are counted from here
  const double under = std::max(0.0, r / d - static_cast<double>(base));
  const Divisions top = line_at_or_below(task.top, d);
  const double over = std::max(0.0, task.top / d - static_cast<double>(top));
  const Divisions whole = top - base;
  const double near = tolerance / d;
  for (Divisions n = 2; n <= whole + 1; ++n) {
    // The first height is u - under, the last v + over, those between a or a + 1.
    const Divisions a = whole / n, more = whole % n;
    Divisions u = a, wider = 0;
    if (more > 0) {
      u = a + 1;
      wider = more - 1;
    } else if (under + over >= 1 - near) {
      u = a + 1;
    }
    if (u < 1 || (static_cast<double>(u) - under) * d <= tolerance) continue;
    if ((static_cast<double>(u) - under) * d > task.limits.max_exposure + tolerance) continue;
    if (a + (wider > 0 ? 1 : 0) > task.limits.greatest || (n > 2 && a < 1)) continue;
    std::vector<Divisions> lines{base + u};
    for (Divisions k = 0; k + 2 < n; ++k) lines.push_back(lines.back() + a + (k < wider ? 1 : 0));
    const double last = task.top - static_cast<double>(lines.back()) * d;
    if (last <= tolerance || last > task.limits.max_exposure + tolerance) continue;
    return lines;
  }
  return std::nullopt;
}

inline std::optional<std::vector<Divisions>> lay_even(const CourseTask& task) {
  if (task.built.empty()) {
    for (Divisions line : nearest_first(task)) {
      std::vector<Divisions> lines = even_from(task, line);
      if (meets_demands(task.demands, lines)) return lines;
    }
    return std::nullopt;
  }
  std::optional<std::vector<Divisions>> lines = even_from_seam(task);
  if (lines && !meets_demands(task.demands, *lines)) lines.reset();
  return lines;
}

inline std::optional<std::vector<Divisions>> lay_lines(const CourseTask& task, CourseMode mode) {
  switch (mode) {
    case CourseMode::full:
      return lay_full(task);
    case CourseMode::even:
      return lay_even(task);
    case CourseMode::fitted:
      break;
  }
  return lay_fitted(task);
}

/// Whether lay_lines finds a pole.
inline bool can_lay(const CourseTask& task, CourseMode mode) {
  return mode == CourseMode::fitted ? can_lay_fitted(task) : lay_lines(task, mode).has_value();
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
