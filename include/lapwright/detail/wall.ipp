#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/normal_wall.hpp>
#include <lapwright/detail/offset.hpp>
#include <lapwright/detail/sweep_crossings.hpp>
#include <lapwright/length.hpp>
#include <lapwright/wall.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Corners and crossings of the region nearer than this are one, and an edge that passes a corner nearer goes
/// through it: above the rounding of a crossing, even at greatest_length, and so little that an edge of 200
/// in moved by it does not show in a course's area compared to 1e-9.
inline constexpr double region_near = 1e-10;
/// A vertex this near the line of its neighbours is not one: above what snapping can move it, so that the cut
/// list of a rake measured in several points has one cut.
inline constexpr double region_straight = tolerance / 4;

/// A ring whose edges know what they are: the outline, or an opening.
struct TrimmedRing {
  Ring points;
  std::vector<std::size_t> edge;  ///< index as given
  std::vector<double> depth;      ///< trim + gap
  std::vector<char> follows;      ///< it follows the first line
};

/// The heights at which a level base edge follows the first course line. High end included.
inline bool within(double y, const Interval& start) {
  return y >= start.low - tolerance && y <= start.high + tolerance;
}

/// A level base edge follows where the line that boards begin at, trim and gap above the edge, lies in the
/// start; or else the edge itself does.
inline bool base_follows(const TrimmedRing& ring, std::size_t i, const Wall& wall, const Interval& start) {
  const Point a = ring.points[i], b = ring.points[(i + 1) % ring.points.size()];
  if (wall.edges[ring.edge[i]].kind != EdgeKind::base || a.y != b.y || !(b.x > a.x)) return false;
  return within(a.y + ring.depth[i], start) || within(a.y, start);
}

inline TrimmedRing trimmed_outline(const Wall& wall) {
  NormalWall normal = normal_wall(wall);
  TrimmedRing ring{std::move(normal.outline), std::move(normal.edge), {}, {}};
  for (std::size_t e : ring.edge) ring.depth.push_back(wall.edges[e].trim + wall.edges[e].gap);
  ring.follows.assign(ring.edge.size(), false);
  return ring;
}

inline TrimmedRing trimmed_opening(const Opening& opening) {
  NormalRing normal = normal_ring(opening.outline);
  TrimmedRing ring{std::move(normal.points), std::move(normal.edge), {}, {}};
  for (std::size_t e : ring.edge) ring.depth.push_back(opening.trim[e] + opening.gap[e]);
  ring.follows.assign(ring.edge.size(), false);
  return ring;
}

/// Moves the level edges that follow to their heights; their ends slide along the neighbours' lines, and
/// stand over each other where a neighbour in one line stays.
inline TrimmedRing move_followers(const TrimmedRing& ring, const std::vector<double>& height) {
  TrimmedRing moved;
  const std::size_t n = ring.points.size();
  const auto put = [&](Point p, std::size_t edge, double depth, char follows) {
    moved.points.push_back(p);
    moved.edge.push_back(edge);
    moved.depth.push_back(depth);
    moved.follows.push_back(follows);
  };
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t h = (i + n - 1) % n;
    const Point at = ring.points[i];
    const bool before = ring.follows[h] != 0, after = ring.follows[i] != 0;
    // The corner on the line of the edge that stays.
    const auto slide = [&](Point other, double y) {
      const double dx = other.x - at.x, dy = other.y - at.y;
      return Point{dx == 0 ? at.x : at.x + dx * ((y - at.y) / dy), y};
    };
    const double y = after ? height[i] : before ? height[h] : at.y;
    if (before && after && height[h] != height[i]) {
      put({at.x, height[h]}, ring.edge[i], 0, true);  // a riser between two bases that part
      put({at.x, y}, ring.edge[i], ring.depth[i], ring.follows[i]);
    } else if (before == after) {
      put({at.x, y}, ring.edge[i], ring.depth[i], ring.follows[i]);
    } else {
      const Point other = after ? ring.points[h] : ring.points[(i + 1) % n];
      if (other.y != at.y) {
        put(slide(other, y), ring.edge[i], ring.depth[i], ring.follows[i]);
      } else {
        const Point first{at.x, after ? at.y : y}, second{at.x, after ? y : at.y};
        put(first, after ? ring.edge[i] : ring.edge[h], 0, true);
        put(second, ring.edge[i], ring.depth[i], ring.follows[i]);
      }
    }
  }
  return moved;
}

/// A straight stretch that may bound the region, and what it is.
struct Candidate {
  Point a, b;  ///< boards on the left
  Boundary label;
};

inline Boundary outline_label(const Wall& wall, const TrimmedRing& ring, std::size_t i) {
  static constexpr Meets meets[] = {Meets::base, Meets::corner, Meets::top,
                                    Meets::rake, Meets::roof,   Meets::wall};
  const Edge& edge = wall.edges[ring.edge[i]];
  Boundary label;
  label.meets = meets[static_cast<std::size_t>(edge.kind)];
  label.edge = static_cast<std::ptrdiff_t>(ring.edge[i]);
  label.trim = edge.trim;
  label.gap = edge.gap;
  label.follows = ring.follows[i] != 0;
  return label;
}

inline Boundary opening_label(const Opening& opening, std::size_t index, const TrimmedRing& ring,
                              std::size_t i) {
  Boundary label;
  label.meets = Meets::opening;
  label.opening = static_cast<std::ptrdiff_t>(index);
  label.opening_edge = static_cast<std::ptrdiff_t>(ring.edge[i]);
  label.trim = opening.trim[ring.edge[i]];
  label.gap = opening.gap[ring.edge[i]];
  label.follows = ring.follows[i] != 0;
  return label;
}

inline bool same_label(const Boundary& a, const Boundary& b) {
  return a.edge == b.edge && a.opening == b.opening && a.opening_edge == b.opening_edge;
}

/// What is built while a region is.
struct RegionWork {
  CrossingCutter cutter;
  ColumnSweep sweep;
  std::vector<Candidate> candidates;
  std::vector<double> breaks;
};

/// The share [t0, t1] of a to b along which the candidate lies, same way round.
inline bool lies_along(const Candidate& c, Point a, Point b, double& t0, double& t1) {
  const double dx = b.x - a.x, dy = b.y - a.y;
  const double low_x = std::min(a.x, b.x) - tolerance, high_x = std::max(a.x, b.x) + tolerance;
  const double low_y = std::min(a.y, b.y) - tolerance, high_y = std::max(a.y, b.y) + tolerance;
  if ((c.a.x < low_x && c.b.x < low_x) || (c.a.x > high_x && c.b.x > high_x) ||
      (c.a.y < low_y && c.b.y < low_y) || (c.a.y > high_y && c.b.y > high_y))
    return false;
  const double ex = c.b.x - c.a.x, ey = c.b.y - c.a.y;
  if (ex * dx + ey * dy <= 0) return false;
  const double length2 = dx * dx + dy * dy;
  const auto share = [&](Point p) { return ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2; };
  t0 = std::max(0.0, share(c.a));
  t1 = std::min(1.0, share(c.b));
  if (!(t1 > t0)) return false;
  // The common stretch's ends, seen from the candidate's line.
  const double reach = tolerance * std::sqrt(ex * ex + ey * ey);
  return std::abs(cross(c.a, c.b, {a.x + t0 * dx, a.y + t0 * dy})) <= reach &&
         std::abs(cross(c.a, c.b, {a.x + t1 * dx, a.y + t1 * dy})) <= reach;
}

/// Appends the stretches of one ring edge, split where what lies along it changes.
inline void label_edge(Point a, Point b, RegionWork& work, std::vector<Boundary>& boundary) {
  const auto put = [&](Point from, Point to, const Boundary& label) {
    Boundary stretch = label;
    stretch.a = from;
    stretch.b = to;
    boundary.push_back(stretch);
  };
  const double length = distance(a, b);
  const double slack = length > 0 ? tolerance / length : 1;
  work.breaks.clear();
  std::vector<std::pair<Interval, const Candidate*>> along;
  for (const Candidate& c : work.candidates) {
    double t0 = 0, t1 = 0;
    if (!lies_along(c, a, b, t0, t1)) continue;
    if (along.empty() && t0 <= slack && t1 >= 1 - slack) return put(a, b, c.label);
    along.push_back({{t0, t1}, &c});
    work.breaks.push_back(t0);
    work.breaks.push_back(t1);
  }
  work.breaks.push_back(0);
  work.breaks.push_back(1);
  std::sort(work.breaks.begin(), work.breaks.end());
  const auto nearest = [&](Point p) {
    const Candidate* best = nullptr;
    double least = 0;
    for (const Candidate& c : work.candidates) {
      const double d = distance_to_segment(p, c.a, c.b);
      if (best == nullptr || d < least) {
        best = &c;
        least = d;
      }
    }
    return best;
  };
  double from = 0;
  const Candidate* current = nullptr;
  for (std::size_t i = 0; i + 1 < work.breaks.size(); ++i) {
    const double t0 = work.breaks[i], t1 = work.breaks[i + 1];
    if (t1 - t0 <= slack) continue;
    const double middle = (t0 + t1) / 2;
    const Candidate* here = nullptr;
    for (const auto& [span, candidate] : along)
      if (span.low <= middle && middle <= span.high) {
        here = candidate;
        break;
      }
    // A mitre's side, where an edge vanishes: the nearest says whose it is.
    if (here == nullptr) here = nearest({a.x + middle * (b.x - a.x), a.y + middle * (b.y - a.y)});
    if (here == nullptr) continue;
    if (current != nullptr && !same_label(current->label, here->label)) {
      const Point p{a.x + t0 * (b.x - a.x), a.y + t0 * (b.y - a.y)};
      put(from > 0 ? boundary.back().b : a, p, current->label);
      from = t0;
    }
    current = here;
  }
  if (current != nullptr) put(from > 0 ? boundary.back().b : a, b, current->label);
}

inline std::string in_inches(double inches) {
  return format_length(inches) + " in";
}

/// A mitre that reaches far into the wall, told with its place.
inline void report_long_mitre(std::vector<Finding>& findings, const Wall& wall, const std::string& whose,
                              Point at, Point moved, double depth) {
  const double reach = distance(at, moved);
  if (depth <= 0 || reach <= 4 * depth) return;
  Finding f;
  f.code = "long_mitre";
  f.wall = wall.name;
  f.measured = reach;
  f.limit = 4 * depth;
  f.message = whose + " has a corner so sharp that its trim reaches " + in_inches(reach) +
              " from it; cut the mitre square and side up to it, or change the trim there";
  findings.push_back(std::move(f));
}

/// The outline less its strips: as one ring where it can be told at once, else for the sweep.
inline void take_strips(const Wall& wall, const TrimmedRing& ring, RegionWork& work, Region& region) {
  const std::size_t n = ring.points.size();
  const std::vector<MovedCorner> corners = move_edges(ring.points, ring.depth);
  bool plain = convex(ring.points);
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = ring.points[i], b = ring.points[(i + 1) % n];
    const Point moved_a = corners[i].after, moved_b = corners[(i + 1) % n].before;
    const double along = (moved_b.x - moved_a.x) * (b.x - a.x) + (moved_b.y - moved_a.y) * (b.y - a.y);
    if (!(along > 0) || corners[i].before != corners[i].after) plain = false;
    const Boundary label = outline_label(wall, ring, i);
    if (along > 0) work.candidates.push_back({moved_a, moved_b, label});
    const Point to_before = corners[i].before;
    const Point from = ring.points[(i + n - 1) % n], to = b;
    if (!corners[i].in_line && cross(from, a, to) < 0)
      report_long_mitre(region.findings, wall, "the outline", a, to_before,
                        std::max(ring.depth[i], ring.depth[(i + n - 1) % n]));
  }
  if (plain) {
    Ring inset;
    for (const MovedCorner& corner : corners) inset.push_back(corner.before);
    work.cutter.add_ring(inset, 0);
    return;
  }
  work.cutter.add_ring(ring.points, 0);
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t next = (i + 1) % n;
    if (ring.depth[i] <= 0) continue;
    const Strip strip = strip_of(ring.points[i], ring.points[next], corners[i].after, corners[next].before);
    work.cutter.add_ring(strip.first, 1);
    if (!strip.second.empty()) work.cutter.add_ring(strip.second, 1);
    // The step between two depths in one line is the deeper edge's.
    const Boundary label = outline_label(wall, ring, i);
    work.candidates.push_back({corners[next].before, ring.points[next], label});
    work.candidates.push_back({ring.points[i], corners[i].after, label});
  }
}

/// One opening grown: its ring, or nothing where following the first line has swallowed it.
inline void grow_opening(const Wall& wall, std::size_t index, const TrimmedRing& ring, RegionWork& work,
                         Region& region) {
  const Opening& opening = wall.openings[index];
  const std::size_t n = ring.points.size();
  if (n < 3 || signed_area(ring.points) <= 0) return;
  std::vector<double> outward = ring.depth;
  for (double& d : outward) d = -d;
  const std::vector<MovedCorner> corners = move_edges(ring.points, outward);
  bool plain = convex(ring.points);
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = ring.points[i], b = ring.points[(i + 1) % n];
    const Point moved_a = corners[i].after, moved_b = corners[(i + 1) % n].before;
    const double along = (moved_b.x - moved_a.x) * (b.x - a.x) + (moved_b.y - moved_a.y) * (b.y - a.y);
    if (!(along > 0) || corners[i].before != corners[i].after) plain = false;
    if (along > 0) work.candidates.push_back({moved_b, moved_a, opening_label(opening, index, ring, i)});
    const Point from = ring.points[(i + n - 1) % n];
    if (!corners[i].in_line && cross(from, a, b) > 0)
      report_long_mitre(region.findings, wall, opening.name.empty() ? "an opening" : opening.name, a,
                        corners[i].before, std::max(ring.depth[i], ring.depth[(i + n - 1) % n]));
  }
  GrownOpening grown;
  grown.opening = index;
  if (plain) {
    for (const MovedCorner& corner : corners) grown.outline.push_back(corner.before);
    work.cutter.add_ring(grown.outline, 1);
  } else {
    // The opening and what each edge takes around it; a pocket between its arms stays siding.
    CrossingCutter cutter;
    ColumnSweep sweep;
    const auto add = [&](const Ring& part) {
      cutter.add_ring(part, 0);
      work.cutter.add_ring(part, 1);
    };
    add(ring.points);
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t next = (i + 1) % n;
      if (ring.depth[i] <= 0) continue;
      const Strip strip = strip_of(ring.points[next], ring.points[i], corners[next].before, corners[i].after);
      add(strip.first);
      if (!strip.second.empty()) add(strip.second);
      const Boundary label = opening_label(opening, index, ring, i);
      work.candidates.push_back({ring.points[next], corners[next].before, label});
      work.candidates.push_back({corners[i].after, ring.points[i], label});
    }
    cutter.cut(sweep.edges, region_near);
    sweep.sweep(region_near);
    sweep.connect(region_near);
    sweep.trace(region_near, region_straight);
    double greatest = 0;
    for (const ColumnSweep::Traced& traced : sweep.rings) {
      if (traced.area <= greatest) continue;
      greatest = traced.area;
      grown.outline.assign(sweep.ring_points.begin() + static_cast<std::ptrdiff_t>(traced.first),
                           sweep.ring_points.begin() + static_cast<std::ptrdiff_t>(traced.last));
    }
  }
  region.openings.push_back(std::move(grown));
}

/// Refuses what cannot be read as a wall at all; check_job tells everything else.
inline void require_wall(const Wall& wall) {
  std::vector<Fault> faults;
  const auto finite = [](const Ring& ring) {
    for (Point p : ring)
      if (!(std::abs(p.x) <= greatest_length && std::abs(p.y) <= greatest_length)) return false;
    return true;
  };
  if (!finite(wall.outline)) {
    faults.push_back({"outline", "every coordinate must be a number of at most 100000 in"});
  } else if (normal_wall(wall).outline.size() < 3) {
    faults.push_back({"outline", "an outline needs three different points, got fewer"});
  }
  std::size_t points = wall.outline.size();
  if (points > 1 && wall.outline.front() == wall.outline.back()) --points;
  if (wall.edges.size() < points)
    faults.push_back({"edges", "one edge for each side of the outline is needed, got " +
                                   std::to_string(wall.edges.size()) + " for " + std::to_string(points)});
  for (std::size_t i = 0; i < wall.openings.size(); ++i) {
    const Opening& opening = wall.openings[i];
    const std::string path = "openings[" + std::to_string(i) + "]";
    if (!finite(opening.outline))
      faults.push_back({path + ".outline", "every coordinate must be a number of at most 100000 in"});
    std::size_t sides = opening.outline.size();
    if (sides > 1 && opening.outline.front() == opening.outline.back()) --sides;
    if (opening.trim.size() < sides || opening.gap.size() < sides)
      faults.push_back({path + ".trim", "one trim and one gap for each side of the opening are needed"});
  }
  if (!faults.empty()) throw Refused(std::move(faults));
}

inline Region region_of(const Wall& wall, const Interval* start, double first_line) {
  Region region;
  RegionWork work;
  TrimmedRing outline = trimmed_outline(wall);
  std::vector<TrimmedRing> openings;
  for (const Opening& opening : wall.openings) openings.push_back(trimmed_opening(opening));

  if (start != nullptr) {
    std::vector<double> height(outline.points.size(), 0);
    bool any = false;
    for (std::size_t i = 0; i < outline.points.size(); ++i) {
      if (!base_follows(outline, i, wall, *start)) continue;
      any = true;
      const double y = outline.points[i].y;
      outline.follows[i] = true;
      height[i] = within(y + outline.depth[i], *start) ? first_line - outline.depth[i] : first_line;
      // Doors: an opening's edge that lies on it goes with it.
      const double x0 = outline.points[i].x, x1 = outline.points[(i + 1) % outline.points.size()].x;
      for (TrimmedRing& opening : openings) {
        std::vector<double> to;
        for (Point p : opening.points) to.push_back(p.y);
        bool moves = false;
        for (std::size_t k = 0; k < opening.points.size(); ++k) {
          const Point a = opening.points[k], b = opening.points[(k + 1) % opening.points.size()];
          if (opening.follows[k] != 0 || a.y != b.y || std::abs(a.y - y) > tolerance || !(b.x > a.x) ||
              std::min(b.x, x1) - std::max(a.x, x0) <= tolerance)
            continue;
          opening.follows[k] = true;
          to[k] = height[i];
          moves = true;
        }
        if (moves) opening = move_followers(opening, to);
      }
    }
    if (any) outline = move_followers(outline, height);
  }

  take_strips(wall, outline, work, region);
  for (std::size_t i = 0; i < openings.size(); ++i) grow_opening(wall, i, openings[i], work, region);

  ColumnSweep& sweep = work.sweep;
  work.cutter.cut(sweep.edges, region_near);
  sweep.sweep(region_near);
  const std::int32_t count = sweep.connect(region_near);
  sweep.trace(region_near, region_straight, true);
  for (std::int32_t g = 0; g < count; ++g) {
    Polygon part = traced_polygon(sweep, g);
    if (part.outer.size() >= 3) region.parts.push_back(std::move(part));
  }
  for (const Polygon& part : region.parts) {
    const auto label_ring = [&](const Ring& ring) {
      for (std::size_t i = 0; i < ring.size(); ++i)
        label_edge(ring[i], ring[(i + 1) % ring.size()], work, region.boundary);
    };
    label_ring(part.outer);
    for (const Ring& hole : part.holes) label_ring(hole);
  }
  if (region.parts.empty()) {
    Finding f;
    f.code = "no_region";
    f.wall = wall.name;
    f.measured = 0;
    f.message = "trim, gaps and openings leave no room for siding on this wall";
    region.findings.push_back(std::move(f));
  }
  return region;
}

/// Height of the region's lowest and highest point; {0, 0} where there is none.
inline Interval region_heights(const Region& region) {
  Interval heights;
  bool first = true;
  for (const Boundary& b : region.boundary)
    for (Point p : {b.a, b.b}) {
      heights.low = first ? p.y : std::min(heights.low, p.y);
      heights.high = first ? p.y : std::max(heights.high, p.y);
      first = false;
    }
  return heights;
}

}  // namespace detail

LAPW_INLINE Region siding_region(const Wall& wall, const Rules& rules, std::optional<double> first_line) {
  detail::require_wall(wall);
  if (!first_line) return detail::region_of(wall, nullptr, 0);
  if (wall.start) return detail::region_of(wall, &*wall.start, *first_line);
  // By default the first line lies within one division above the region's lowest point.
  Region before = detail::region_of(wall, nullptr, 0);
  if (before.parts.empty()) return before;
  const double lowest = detail::region_heights(before).low;
  const Interval start{lowest, lowest + rules.courses.division - 2 * tolerance};
  return detail::region_of(wall, &start, *first_line);
}

LAPW_INLINE double region_area(const Region& region, double y) {
  // Under each edge, down to y; boards lie below an edge that goes left.
  double area = 0;
  for (const Boundary& edge : region.boundary) {
    Point a = edge.a, b = edge.b;
    if (a.y <= y && b.y <= y) continue;
    if (a.y < y || b.y < y) {
      const double share = (y - a.y) / (b.y - a.y);
      const Point p{a.x + share * (b.x - a.x), y};
      (a.y < y ? a : b) = p;
    }
    const double heights = (a.y - y) + (b.y - y);
    area += (a.x - b.x) * heights / 2;
  }
  return area;
}

LAPW_INLINE std::size_t boundary_along(const Region& region, Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y, length2 = dx * dx + dy * dy;
  if (length2 <= tolerance * tolerance) return npos;
  const double length = std::sqrt(length2);
  const double low_x = std::min(a.x, b.x) - tolerance, high_x = std::max(a.x, b.x) + tolerance;
  const double low_y = std::min(a.y, b.y) - tolerance, high_y = std::max(a.y, b.y) + tolerance;
  std::size_t longest = npos;
  double greatest = 0, covered = 0;
  for (std::size_t i = 0; i < region.boundary.size(); ++i) {
    const Boundary& e = region.boundary[i];
    if ((e.a.x < low_x && e.b.x < low_x) || (e.a.x > high_x && e.b.x > high_x) ||
        (e.a.y < low_y && e.b.y < low_y) || (e.a.y > high_y && e.b.y > high_y))
      continue;
    double t0 = ((e.a.x - a.x) * dx + (e.a.y - a.y) * dy) / length2;
    double t1 = ((e.b.x - a.x) * dx + (e.b.y - a.y) * dy) / length2;
    if (t0 > t1) std::swap(t0, t1);
    t0 = std::max(t0, 0.0);
    t1 = std::min(t1, 1.0);
    if ((t1 - t0) * length <= tolerance) continue;
    const double ex = e.b.x - e.a.x, ey = e.b.y - e.a.y, reach = tolerance * std::sqrt(ex * ex + ey * ey);
    if (std::abs(detail::cross(e.a, e.b, {a.x + t0 * dx, a.y + t0 * dy})) > reach ||
        std::abs(detail::cross(e.a, e.b, {a.x + t1 * dx, a.y + t1 * dy})) > reach)
      continue;
    covered += t1 - t0;
    if (t1 - t0 > greatest) {
      greatest = t1 - t0;
      longest = i;
    }
  }
  // Stretches that only share a part of it, as a course line beside a head, are not what it lies along.
  return (1 - covered) * length <= 4 * tolerance ? longest : npos;
}

LAPW_INLINE WallHeights wall_heights(const Wall& wall, const Region& region) {
  WallHeights heights;
  heights.wall = wall.name;
  heights.start = wall.start;
  const Interval extent = detail::region_heights(region);
  heights.lowest = extent.low;
  heights.highest = extent.high;
  const auto level = [](const Boundary& b) { return std::abs(b.a.y - b.b.y) <= tolerance; };
  const auto name = [&](std::ptrdiff_t opening) {
    const std::string& given = wall.openings[static_cast<std::size_t>(opening)].name;
    return given.empty() ? "opening " + std::to_string(opening) : given;
  };

  // One mark an edge, however many stretches of it are left.
  struct Marked {
    std::ptrdiff_t edge, opening, opening_edge;
    bool board_below;
    double height;
  };
  std::vector<Marked> marked;
  for (const Boundary& b : region.boundary) {
    if (!level(b) || b.a.x == b.b.x) continue;
    const bool board_below = b.b.x < b.a.x;  // boards on the left of a to b
    const bool known = std::any_of(marked.begin(), marked.end(), [&](const Marked& m) {
      return m.edge == b.edge && m.opening == b.opening && m.opening_edge == b.opening_edge &&
             m.board_below == board_below && std::abs(m.height - b.a.y) <= tolerance;
    });
    if (known) continue;
    marked.push_back({b.edge, b.opening, b.opening_edge, board_below, b.a.y});
    Mark mark;
    mark.height = b.a.y;
    mark.board_below = board_below;
    if (b.opening >= 0) {
      mark.label = name(b.opening) + (board_below ? " sill" : " head");
    } else {
      static constexpr const char* kinds[] = {"base", "corner", "top", "rake", "roof", "wall"};
      const Edge& edge = wall.edges[static_cast<std::size_t>(b.edge)];
      const bool base = edge.kind == EdgeKind::base && !board_below;
      if (base && wall.start) {
        const double raw = b.a.y - (edge.trim + edge.gap);
        if (detail::within(b.a.y, *wall.start) || detail::within(raw, *wall.start)) continue;  // it follows
      }
      mark.base = base;
      mark.label = kinds[static_cast<std::size_t>(edge.kind)];
    }
    heights.marks.push_back(std::move(mark));
  }

  // Round heads, gables of windows: the highest and lowest point, where it is no level edge and bounds the
  // region.
  for (const GrownOpening& grown : region.openings) {
    if (grown.outline.empty()) continue;
    const Box box = detail::bounds(grown.outline);
    for (const bool highest : {true, false}) {
      const double y = highest ? box.y_max : box.y_min;
      bool is_level = false;
      for (std::size_t i = 0; i < grown.outline.size(); ++i) {
        const Point a = grown.outline[i], b = grown.outline[(i + 1) % grown.outline.size()];
        if (std::abs(a.y - y) <= tolerance && std::abs(b.y - y) <= tolerance) is_level = true;
      }
      if (is_level) continue;
      const bool bounds_region =
          std::any_of(region.boundary.begin(), region.boundary.end(), [&](const Boundary& b) {
            return b.opening == static_cast<std::ptrdiff_t>(grown.opening) &&
                   (std::abs(b.a.y - y) <= tolerance || std::abs(b.b.y - y) <= tolerance);
          });
      if (!bounds_region) continue;
      Mark mark;
      mark.height = y;
      mark.board_below = !highest;
      mark.label = name(static_cast<std::ptrdiff_t>(grown.opening)) + (highest ? " head" : " sill");
      heights.marks.push_back(std::move(mark));
    }
  }
  std::stable_sort(heights.marks.begin(), heights.marks.end(), [](const Mark& a, const Mark& b) {
    if (a.height != b.height) return a.height < b.height;
    if (a.board_below != b.board_below) return b.board_below;
    return a.label < b.label;
  });
  return heights;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
