#pragma once
// Where boards must lie, found again from the job alone. Included by audit.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <vector>

#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/config.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

// Layers of the ground.
inline constexpr int wall_layer = 0, taken_layer = 1;

inline Meets meets_of(EdgeKind kind) {
  switch (kind) {
    case EdgeKind::base:
      return Meets::base;
    case EdgeKind::corner:
      return Meets::corner;
    case EdgeKind::top:
      return Meets::top;
    case EdgeKind::rake:
      return Meets::rake;
    case EdgeKind::roof:
      return Meets::roof;
    case EdgeKind::wall:
      return Meets::wall;
  }
  return Meets::corner;
}

/// A ring's strips on the left of each side, their far ends carried on to where the moved lines cross.
struct Strips {
  std::vector<Ring> rings;  ///< one for each side; empty where nothing is taken
  std::vector<char> long_mitre;
  std::vector<Ring> beyond;  ///< where a strip's mitres cross
};
inline Strips strips_along(const Ring& ring, const std::vector<double>& depth) {
  const std::size_t n = ring.size();
  Strips strips;
  strips.rings.resize(n);
  strips.long_mitre.assign(n, 0);
  struct Way {
    double x, y, length;
  };
  std::vector<Way> u(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Point p = ring[i], q = corner(ring, i + 1);
    const double dx = q.x - p.x, dy = q.y - p.y, length = std::sqrt(dx * dx + dy * dy);
    u[i] = {dx / length, dy / length, length};
  }
  // How far the moved line of side i runs on past its end (or before its start) to meet its neighbour's.
  const auto past_end = [&](std::size_t i) {
    const std::size_t j = (i + 1) % n;
    const double turn = u[i].x * u[j].y - u[i].y * u[j].x, along = u[i].x * u[j].x + u[i].y * u[j].y;
    if (std::fabs(turn) < 1e-9) return 0.0;
    return (depth[i] * along - depth[j]) / turn;
  };
  const auto before_start = [&](std::size_t i) {
    const std::size_t j = (i + n - 1) % n;
    const double turn = u[j].x * u[i].y - u[j].y * u[i].x, along = u[i].x * u[j].x + u[i].y * u[j].y;
    if (std::fabs(turn) < 1e-9) return 0.0;
    return (depth[i] * along - depth[j]) / turn;
  };
  for (std::size_t i = 0; i < n; ++i) {
    if (!(depth[i] > 0)) continue;
    const Point p = ring[i], q = corner(ring, i + 1);
    // An end reaches the mitre, whichever side of the corner that lies.
    const double length = u[i].length, on = past_end(i), back = before_start(i);
    const double nx = -u[i].y * depth[i], ny = u[i].x * depth[i];
    strips.rings[i] = {p,
                       q,
                       {q.x + nx + u[i].x * on, q.y + ny + u[i].y * on},
                       {p.x + nx - u[i].x * back, p.y + ny - u[i].y * back}};
    if (length + on + back < 0) {  // the mitres cross before they reach the depth: what lies to either side
      const Point far = strips.rings[i][2], near_end = strips.rings[i][3];
      const double ux = near_end.x - p.x, uy = near_end.y - p.y, vx = far.x - q.x, vy = far.y - q.y;
      const double det = ux * vy - uy * vx;
      const double t = det != 0 ? ((q.x - p.x) * vy - (q.y - p.y) * vx) / det : 0;
      const Point x{p.x + t * ux, p.y + t * uy};
      strips.rings[i] = {p, q, x};
      strips.beyond.push_back({x, far, near_end});
    }
    const std::size_t j = (i + 1) % n;
    const double turn = u[i].x * u[j].y - u[i].y * u[j].x;
    if (turn < 0) {  // the strips part at this corner: a mitre stands between them
      const double reach = std::sqrt(depth[i] * depth[i] + on * on);
      strips.long_mitre[i] = reach > 4 * std::max(depth[i], depth[j]) + tolerance;
    }
  }
  return strips;
}

inline void add_sides(AuditWall& wall, const Ring& strip, const GroundSide& from) {
  if (strip.size() < 3) return;
  GroundSide side = from;
  side.outer = false;
  for (std::size_t k = 1; k < strip.size(); ++k) {
    // Walked back, so that boards lie on the left.
    side.a = corner(strip, k + 1);
    side.b = strip[k];
    side.moved = k == 2 && strip.size() == 4;
    wall.sides.push_back(side);
  }
}

/// Moves the level sides that follow to their heights. A corner slides along the line of the neighbour that
/// stays; where that lies in the same line, an upright of its own joins them (`depth` 0).
inline void follow(const Ring& ring, const std::vector<char>& follows, const std::vector<double>& to,
                   const std::vector<std::size_t>& side, std::vector<double>& depth, Ring& moved,
                   std::vector<std::size_t>& moved_side) {
  const std::size_t n = ring.size();
  std::vector<double> deep;
  moved.clear();
  moved_side.clear();
  const auto put = [&](Point p, std::size_t of, double d) {
    moved.push_back(p);
    moved_side.push_back(of);
    deep.push_back(d);
  };
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t h = (i + n - 1) % n;
    const Point at = ring[i];
    if (!follows[h] && !follows[i]) {
      put(at, side[i], depth[i]);
    } else if (follows[h] && follows[i]) {
      if (to[h] != to[i]) put({at.x, to[h]}, side[i], 0);
      put({at.x, to[i]}, side[i], depth[i]);
    } else {
      const double y = follows[i] ? to[i] : to[h];
      const Point stays = follows[i] ? ring[h] : corner(ring, i + 1);
      if (stays.y != at.y) {
        put({at.x + (stays.x - at.x) * ((y - at.y) / (stays.y - at.y)), y}, side[i], depth[i]);
      } else {
        put({at.x, follows[i] ? at.y : y}, side[follows[i] ? i : h], 0);
        put({at.x, follows[i] ? y : at.y}, side[i], depth[i]);
      }
    }
  }
  // Corners that fell together are one.
  for (std::size_t i = 0; i < moved.size() && moved.size() > 3;) {
    if (moved[i] == corner(moved, i + 1)) {
      moved.erase(moved.begin() + static_cast<std::ptrdiff_t>(i));
      moved_side.erase(moved_side.begin() + static_cast<std::ptrdiff_t>(i));
      deep.erase(deep.begin() + static_cast<std::ptrdiff_t>(i));
    } else {
      ++i;
    }
  }
  depth = deep;
}

/// The ground of one wall. `first_line`: bases in the start follow it.
inline void lay_ground(AuditWall& w, const Rules& rules, const double* first_line, double start_low,
                       double start_high, Report* report) {
  const Wall& wall = *w.wall;
  w.outline.clear();
  w.edge.clear();
  w.strips.clear();
  w.strip_edge.clear();
  w.openings.clear();
  w.opening_of.clear();
  w.sides.clear();
  Ring given = wall.outline;
  std::vector<std::size_t> index(given.size());
  for (std::size_t i = 0; i < index.size(); ++i) index[i] = i;
  for (std::size_t i = 0; i < given.size() && given.size() > 1;) {
    if (given[i] == corner(given, i + 1)) {
      given.erase(given.begin() + static_cast<std::ptrdiff_t>(i));
      index.erase(index.begin() + static_cast<std::ptrdiff_t>(i));
    } else {
      ++i;
    }
  }
  const std::size_t n = given.size();
  if (n < 3) return;
  if (ring_area(given) < 0) {
    Ring turned(n);
    std::vector<std::size_t> of(n);
    for (std::size_t i = 0; i < n; ++i) {
      turned[i] = given[n - 1 - i];
      of[i] = index[(2 * n - 2 - i) % n];
    }
    given = turned;
    index = of;
  }
  const auto edge_of = [&](std::size_t i) -> const Edge& {
    return wall.edges[std::min(index[i], wall.edges.size() - 1)];
  };
  // Bases follow: so that boards begin on the line, trim and gap above the edge where they lie in the start.
  std::vector<double> depth(n);
  for (std::size_t i = 0; i < n; ++i) depth[i] = edge_of(i).trim + edge_of(i).gap;
  struct Followed {
    Point a, b;
    double to;
  };
  std::vector<Followed> followed;
  std::vector<char> follows(n, 0);
  std::vector<double> to(n, 0);
  const auto starts = [&](double y) { return y >= start_low - tolerance && y <= start_high + tolerance; };
  if (first_line != nullptr)
    for (std::size_t i = 0; i < n; ++i) {
      const Point p = given[i], q = corner(given, i + 1);
      if (edge_of(i).kind != EdgeKind::base || p.y != q.y || !(q.x > p.x)) continue;
      if (!starts(p.y) && !starts(p.y + depth[i])) continue;
      follows[i] = 1;
      to[i] = starts(p.y + depth[i]) ? *first_line - depth[i] : *first_line;
      followed.push_back({p, q, to[i]});
    }
  follow(given, follows, to, index, depth, w.outline, w.edge);
  const std::size_t m_sides = w.outline.size();
  const Strips strips = strips_along(w.outline, depth);
  for (std::size_t i = 0; i < m_sides; ++i) {
    const Edge& e = wall.edges[std::min(w.edge[i], wall.edges.size() - 1)];
    GroundSide side;
    side.meets = meets_of(e.kind);
    side.edge = static_cast<std::ptrdiff_t>(w.edge[i]);
    side.gap = e.gap;
    side.trim = e.trim;
    if (strips.rings[i].empty()) {
      side.a = w.outline[i];
      side.b = corner(w.outline, i + 1);
      side.outer = side.moved = true;
      w.sides.push_back(side);
    } else {
      w.strips.push_back(strips.rings[i]);
      w.strip_edge.push_back(static_cast<int>(w.edge[i]));
      add_sides(w, strips.rings[i], side);
    }
    if (strips.long_mitre[i] && report != nullptr)
      report->add("long_mitre", {wall.name, {}, {}}, {}, 4,
                  "the mitre of two trims reaches further than four times their depth, and the plan says "
                  "nothing of it");
  }
  for (const Ring& ring : strips.beyond) {
    w.strips.push_back(ring);
    w.strip_edge.push_back(-1);
  }
  for (std::size_t o = 0; o < wall.openings.size(); ++o) {
    const Opening& opening = wall.openings[o];
    Ring ring = opening.outline;
    std::vector<double> deep(ring.size());
    for (std::size_t i = 0; i < ring.size(); ++i)
      deep[i] =
          (i < opening.trim.size() ? opening.trim[i] : 0) + (i < opening.gap.size() ? opening.gap[i] : 0);
    std::vector<std::size_t> of(ring.size());
    for (std::size_t i = 0; i < of.size(); ++i) of[i] = i;
    const std::size_t m = ring.size();
    if (m < 3) continue;
    // An edge on a base that follows goes with it.
    if (ring_area(ring) < 0) {
      std::reverse(ring.begin(), ring.end());
      std::vector<std::size_t> turned(m);
      for (std::size_t i = 0; i < m; ++i) turned[i] = (2 * m - 2 - i) % m;
      of = turned;
    }
    std::vector<char> goes(m, 0);
    std::vector<double> goes_to(m, 0);
    bool any_goes = false;
    for (std::size_t i = 0; i < m; ++i) {
      const Point p = ring[i], q = corner(ring, i + 1);
      if (p.y != q.y || !(q.x > p.x)) continue;
      for (const Followed& f : followed) {
        if (std::fabs(p.y - f.a.y) > tolerance) continue;
        if (std::min(q.x, f.b.x) - std::max(p.x, f.a.x) <= tolerance) continue;
        goes[i] = 1;
        goes_to[i] = f.to;
        any_goes = true;
      }
    }
    if (any_goes) {
      std::vector<double> d0(m);
      for (std::size_t i = 0; i < m; ++i) d0[i] = deep[of[i]];
      Ring shifted;
      std::vector<std::size_t> shifted_of;
      follow(ring, goes, goes_to, of, d0, shifted, shifted_of);
      ring = shifted;
      of = shifted_of;
      if (ring_area(ring) <= 0) continue;  // swallowed
      deep.assign(opening.outline.size(), 0);
      for (std::size_t i = 0; i < deep.size(); ++i)
        deep[i] =
            (i < opening.trim.size() ? opening.trim[i] : 0) + (i < opening.gap.size() ? opening.gap[i] : 0);
    }
    const std::size_t sides_of = ring.size();
    // Walked clockwise, the strips stand outside.
    {
      Ring turned(sides_of);
      std::vector<std::size_t> turned_of(sides_of);
      for (std::size_t i = 0; i < sides_of; ++i) {
        turned[i] = ring[sides_of - 1 - i];
        turned_of[i] = of[(2 * sides_of - 2 - i) % sides_of];
      }
      ring = turned;
      of = turned_of;
    }
    std::vector<double> d(sides_of);
    for (std::size_t i = 0; i < sides_of; ++i) d[i] = deep[of[i]];
    const Strips grown = strips_along(ring, d);
    for (const Ring& part : grown.beyond) {
      w.openings.push_back(part);
      w.opening_of.push_back(static_cast<int>(o));
    }
    w.openings.push_back(ring);
    w.opening_of.push_back(static_cast<int>(o));
    bool any_long = false;
    for (std::size_t i = 0; i < sides_of; ++i) {
      GroundSide side;
      side.meets = Meets::opening;
      side.opening = static_cast<std::ptrdiff_t>(o);
      side.side = static_cast<std::ptrdiff_t>(of[i]);
      side.gap = of[i] < opening.gap.size() ? opening.gap[of[i]] : 0;
      side.trim = of[i] < opening.trim.size() ? opening.trim[of[i]] : 0;
      if (grown.rings[i].empty()) {
        side.a = ring[i];
        side.b = corner(ring, i + 1);
        side.outer = side.moved = true;
        w.sides.push_back(side);
      } else {
        w.openings.push_back(grown.rings[i]);
        w.opening_of.push_back(static_cast<int>(o));
        add_sides(w, grown.rings[i], side);
      }
      any_long = any_long || grown.long_mitre[i];
    }
    if (any_long && report != nullptr)
      report->add("long_mitre", {wall.name, {}, {}}, {}, 4,
                  "the mitre of opening \"" + opening.name +
                      "\" reaches further than four times its trim and gap, and the plan says nothing of it");
  }
  (void)rules;
}

/// Outline and what is taken from it, in an overlay.
inline void add_ground(const AuditWall& w, Overlay& overlay) {
  overlay.add(w.outline, wall_layer);
  for (std::size_t i = 0; i < w.strips.size(); ++i) overlay.add(w.strips[i], taken_layer, w.strip_edge[i]);
  for (std::size_t i = 0; i < w.openings.size(); ++i)
    overlay.add(w.openings[i], taken_layer, 100000 + w.opening_of[i]);
}
inline bool is_region(const Cell& cell) {
  return cell.in[wall_layer] != 0 && cell.in[taken_layer] == 0;
}

/// Lowest and highest place of the region.
inline bool region_heights(const AuditWall& w, double& lowest, double& highest) {
  if (w.outline.size() < 3) return false;
  const Box box = ring_box(w.outline);
  Overlay overlay(box.y_min - 1, box.y_max + 1);
  add_ground(w, overlay);
  bool any = false;
  for (const Cell& cell : overlay.cells()) {
    if (!is_region(cell) || cell.x1 - cell.x0 < tolerance / 4) continue;
    const double low = std::min(cell.low0, cell.low1), high = std::max(cell.high0, cell.high1);
    lowest = any ? std::min(lowest, low) : low;
    highest = any ? std::max(highest, high) : high;
    any = true;
  }
  return any && highest - lowest > tolerance;
}

inline std::vector<AuditStud> find_studs(const Wall& wall) {
  std::vector<AuditStud> studs;
  if (wall.outline.empty()) return studs;
  const Box box = ring_box(wall.outline);
  const Framing& f = wall.framing;
  if (f.spacing > 0) {
    const double from = std::max(0.0, std::floor((box.x_min - f.first) / f.spacing) - 1);
    for (double k = from; f.first + k * f.spacing <= box.x_max + tolerance && studs.size() < 100000; ++k)
      if (f.first + k * f.spacing >= box.x_min - tolerance)
        studs.push_back({f.first + k * f.spacing, f.stud_width});
    studs.push_back({box.x_min + f.stud_width / 2, f.stud_width});
    studs.push_back({box.x_max - f.stud_width / 2, f.stud_width});
  }
  for (double x : f.studs) studs.push_back({x, f.stud_width});
  if (f.around_openings)
    for (const Opening& o : wall.openings)
      if (o.rectangle && !o.outline.empty()) {
        const Box hole = ring_box(o.outline);
        studs.push_back({hole.x_min - f.opening_stud / 2, f.opening_stud});
        studs.push_back({hole.x_max + f.opening_stud / 2, f.opening_stud});
      }
  std::sort(studs.begin(), studs.end(), [](const AuditStud& a, const AuditStud& b) {
    return a.centre != b.centre ? a.centre < b.centre : a.width > b.width;
  });
  std::vector<AuditStud> apart;
  for (const AuditStud& s : studs)
    if (apart.empty() || s.centre - apart.back().centre > tolerance)
      apart.push_back(s);
    else
      apart.back().width = std::max(apart.back().width, s.width);
  return apart;
}

/// Whether any of the region lies along a level side, on its boards' side.
inline bool bounds_region(const AuditWall& w, double x0, double x1, double y, bool below) {
  Overlay overlay(y - 0.125, y + 0.125);
  add_ground(w, overlay);
  overlay.cut_at(y);
  for (const Cell& cell : overlay.cells()) {
    if (!is_region(cell) || std::min(x1, cell.x1) - std::max(x0, cell.x0) <= tolerance) continue;
    const double touch = below ? (cell.high0 + cell.high1) / 2 : (cell.low0 + cell.low1) / 2;
    if (std::fabs(touch - y) <= tolerance && (cell.middle().y < y) == below) return true;
  }
  return false;
}

inline void find_marks(AuditWall& w) {
  w.marks.clear();
  for (const GroundSide& s : w.sides) {
    if (std::fabs(s.a.y - s.b.y) > tolerance || std::fabs(s.a.x - s.b.x) <= tolerance) continue;
    const bool below = s.b.x < s.a.x;
    const double x0 = std::min(s.a.x, s.b.x), x1 = std::max(s.a.x, s.b.x);
    if (!bounds_region(w, x0, x1, s.a.y, below)) continue;
    const AuditMark mark{s.a.y,  below,     s.edge >= 0 && s.meets == Meets::base && !below,
                         s.edge, s.opening, s.side};
    bool known = false;
    for (const AuditMark& m : w.marks)
      known = known || (m.edge == mark.edge && m.opening == mark.opening && m.side == mark.side &&
                        m.board_below == below && std::fabs(m.height - mark.height) <= tolerance);
    if (!known) w.marks.push_back(mark);
  }
  // The highest and lowest point of an opening where no level edge lies there.
  for (std::size_t o = 0; o < w.wall->openings.size(); ++o) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    bool level_low = false, level_high = false;
    for (std::size_t i = 0; i < w.openings.size(); ++i)
      if (w.opening_of[i] == static_cast<int>(o)) {
        const Box box = ring_box(w.openings[i]);
        low = std::min(low, box.y_min);
        high = std::max(high, box.y_max);
      }
    double low_x = 0, high_x = 0;
    for (const GroundSide& s : w.sides) {
      if (s.opening != static_cast<std::ptrdiff_t>(o) || !s.moved) continue;
      const bool level = std::fabs(s.a.y - s.b.y) <= tolerance;
      for (Point p : {s.a, s.b}) {
        if (std::fabs(p.y - low) <= tolerance) low_x = p.x, level_low = level_low || level;
        if (std::fabs(p.y - high) <= tolerance) high_x = p.x, level_high = level_high || level;
      }
    }
    const auto inside = [&](double x, double y) {
      if (!in_ring(w.outline, {x, y})) return false;
      for (const Ring& r : w.strips)
        if (in_ring(r, {x, y})) return false;
      for (const Ring& r : w.openings)
        if (in_ring(r, {x, y})) return false;
      return true;
    };
    if (!level_low && inside(low_x, low - 1e-4))
      w.marks.push_back({low, true, false, -1, static_cast<std::ptrdiff_t>(o), -1});
    if (!level_high && inside(high_x, high + 1e-4))
      w.marks.push_back({high, false, false, -1, static_cast<std::ptrdiff_t>(o), -1});
  }
}

LAPW_INLINE void measure_ground(House& house, Report& report) {
  const Rules& rules = *house.rules;
  for (AuditWall& w : house.walls) {
    lay_ground(w, rules, nullptr, 0, 0, nullptr);
    w.has_region = region_heights(w, w.first_lowest, w.highest);
    w.lowest = w.first_lowest;
    find_marks(w);
    w.studs = find_studs(*w.wall);
  }
  double house_lowest = std::numeric_limits<double>::infinity();
  for (const AuditWall& w : house.walls)
    if (w.has_region) house_lowest = std::min(house_lowest, w.first_lowest);
  const std::vector<double>& lines = house.plan->pole.lines;
  const double division = rules.courses.division;
  for (AuditWall& w : house.walls) {
    if (!w.has_region) {
      report.add("no_region", {w.wall->name, {}, {}}, {}, {},
                 "nothing of this wall is left to side, and the plan says nothing of it");
      continue;
    }
    // The wall's first course, found again.
    double low = 0, high = -1;
    bool started = false;
    if (w.wall->start) {
      low = w.wall->start->low;
      high = w.wall->start->high;
      started = true;
    } else if (w.first_lowest <= house_lowest + tolerance) {
      low = w.first_lowest;
      high = w.first_lowest + division - 3 * tolerance;  // open at its top
      started = true;
    }
    int first = -1;
    if (started)
      for (std::size_t k = 0; k < lines.size() && first < 0; ++k)
        if (lines[k] >= low - tolerance && lines[k] <= high + tolerance) first = static_cast<int>(k);
    const bool follows = first >= 0;
    if (first < 0) {
      first = 0;
      for (std::size_t k = 0; k < lines.size(); ++k)
        if (lines[k] <= w.first_lowest + tolerance) first = static_cast<int>(k);
      w.ripped = !lines.empty() && lines[static_cast<std::size_t>(first)] < w.first_lowest - tolerance;
      if (started && w.wall->start && !lines.empty())
        report.add("start", {w.wall->name, {}, {}}, lines.front(), w.wall->start->low,
                   "no course line lies in this wall's start");
    }
    w.first_course = first;
    if (!w.ripped && !lines.empty()) {
      const double line = lines[static_cast<std::size_t>(first)];
      // A wall that begins on a line without a start has nothing that follows, but for what lies on the line.
      if (follows)
        lay_ground(w, rules, &line, low, high, &report);
      else
        lay_ground(w, rules, &line, line, line, &report);
    } else {
      lay_ground(w, rules, nullptr, 0, 0, &report);
    }
    w.has_region = region_heights(w, w.lowest, w.highest);
    w.last_course = -1;
    for (std::size_t k = 0; k < lines.size(); ++k)
      if (lines[k] < w.highest - tolerance) w.last_course = static_cast<int>(k);
    if (w.last_course < w.first_course) w.last_course = -1;
    w.first_planned = std::max(w.first_course, static_cast<int>(house.built));
  }
}

/// One course's region, cell by cell, joined over inner boundaries.
struct Stretch {
  double x0, x1, low0, low1, high0, high1;
  int low_side = -1;  ///< tag of what bounds it below; -1: the band's own line
  bool low_level = false, high_level = false;
  int run = -1;
  double height_at(double x) const {
    const double t = x1 > x0 ? (x - x0) / (x1 - x0) : 0;
    return (high0 + (high1 - high0) * t) - (low0 + (low1 - low0) * t);
  }
};

/// The tag of what is taken just below a cell, -2 where that is the wall's own outline.
inline int taken_below(const std::vector<LayerSide>& sides, double x, double y) {
  int tag = -2;
  for (const LayerSide& s : sides)
    if (s.layer == taken_layer && s.a.x <= x && s.b.x >= x && std::fabs(s.at(x) - y) <= 2 * tolerance) {
      if (s.turn < 0) tag = std::max(tag, s.tag);  // its upper side
    }
  return tag;
}

inline void join_stretches(std::vector<Stretch>& all, std::vector<int>& group, std::size_t count) {
  // Union by walking: all are few.
  group.assign(count, -1);
  int next = 0;
  std::vector<std::size_t> stack;
  for (std::size_t i = 0; i < count; ++i) {
    if (group[i] >= 0) continue;
    group[i] = next;
    stack.push_back(i);
    while (!stack.empty()) {
      const std::size_t a = stack.back();
      stack.pop_back();
      for (std::size_t b = 0; b < count; ++b) {
        if (group[b] >= 0) continue;
        const Stretch &p = all[a], &q = all[b];
        double overlap = 0;
        if (std::fabs(p.x1 - q.x0) < tolerance / 2)
          overlap = std::min(p.high1, q.high0) - std::max(p.low1, q.low0);
        else if (std::fabs(q.x1 - p.x0) < tolerance / 2)
          overlap = std::min(q.high1, p.high0) - std::max(q.low1, p.low0);
        if (overlap > tolerance) {
          group[b] = next;
          stack.push_back(b);
        }
      }
    }
    ++next;
  }
}

/// Legs of one run: which stretches are split off. `mine` are the run's stretches.
inline std::vector<char> find_legs(const std::vector<Stretch>& all, const std::vector<std::size_t>& mine,
                                   double min_leg) {
  std::vector<char> leg(all.size(), 0), low(all.size(), 0);
  double tallest = 0;
  for (std::size_t i : mine) {
    const Stretch& s = all[i];
    const double h0 = s.high0 - s.low0, h1 = s.high1 - s.low1;
    tallest = std::max(tallest, std::max(h0, h1));
    low[i] = (h0 + h1) / 2 < min_leg - tolerance;
  }
  if (tallest < min_leg - tolerance) return leg;            // the whole run is low
  const auto touches = [&](std::size_t a, std::size_t b) {  // b on the right of a
    const Stretch &p = all[a], &q = all[b];
    return std::fabs(p.x1 - q.x0) < tolerance / 2 &&
           std::min(p.high1, q.high0) - std::max(p.low1, q.low0) > tolerance;
  };
  std::vector<char> seen(all.size(), 0);
  for (std::size_t i : mine) {
    if (!low[i] || seen[i]) continue;
    std::vector<std::size_t> part{i};
    seen[i] = 1;
    for (std::size_t k = 0; k < part.size(); ++k)
      for (std::size_t j : mine)
        if (low[j] && !seen[j] && (touches(part[k], j) || touches(j, part[k]))) {
          seen[j] = 1;
          part.push_back(j);
        }
    std::vector<std::size_t> left, right;  // taller neighbours
    bool level = true;
    for (std::size_t a : part) {
      level = level && all[a].low_level && all[a].high_level;
      for (std::size_t j : mine) {
        if (low[j]) continue;
        if (touches(j, a)) left.push_back(j);
        if (touches(a, j)) right.push_back(j);
      }
    }
    if (left.empty() && right.empty()) continue;
    bool split = false;
    if (!left.empty() && !right.empty()) {
      // A neck, unless the two sides are joined round it: then it lies over or under a hole.
      std::vector<std::size_t> reach{left.front()};
      std::vector<char> been(all.size(), 0);
      been[left.front()] = 1;
      for (std::size_t a : part) been[a] = 1;
      for (std::size_t k = 0; k < reach.size(); ++k)
        for (std::size_t j : mine)
          if (!been[j] && (touches(reach[k], j) || touches(j, reach[k]))) {
            been[j] = 1;
            reach.push_back(j);
          }
      split = !been[right.front()] || std::find(reach.begin(), reach.end(), right.front()) == reach.end();
    } else {
      split = level;
    }
    if (split)
      for (std::size_t a : part) leg[a] = 1;
  }
  return leg;
}

/// Upright legs: two bare upright sides of one run, face to face for min_leg or more, nearer than that.
inline void find_thin_legs(const std::vector<Slice>& mine, double width, double min_leg,
                           std::vector<double>& at) {
  struct Upright {
    double x, low, high;
    bool left;
  };
  std::vector<Upright> uprights;
  for (std::size_t i = 0; i < mine.size(); ++i)
    for (int end = 0; end < 2; ++end) {
      const double x = end == 0 ? mine[i].x0 : mine[i].x1;
      std::vector<std::pair<double, double>> bare{
          {end == 0 ? mine[i].low0 : mine[i].low1, end == 0 ? mine[i].high0 : mine[i].high1}};
      for (std::size_t j = 0; j < mine.size(); ++j) {
        const double other = end == 0 ? mine[j].x1 : mine[j].x0;
        if (j == i || std::fabs(other - x) >= tolerance / 2) continue;
        const double low = end == 0 ? mine[j].low1 : mine[j].low0;
        const double high = end == 0 ? mine[j].high1 : mine[j].high0;
        std::vector<std::pair<double, double>> rest;
        for (const auto& b : bare) {
          if (low - b.first > tolerance) rest.push_back({b.first, std::min(b.second, low)});
          if (b.second - high > tolerance) rest.push_back({std::max(b.first, high), b.second});
        }
        bare = rest;
      }
      for (const auto& b : bare) uprights.push_back({x, b.first, b.second, end == 0});
    }
  for (const Upright& a : uprights)
    for (const Upright& b : uprights)
      if (a.left && !b.left && b.x - a.x > tolerance && b.x - a.x < min_leg - tolerance &&
          width > b.x - a.x + tolerance &&
          std::min(a.high, b.high) - std::max(a.low, b.low) >= min_leg - tolerance)
        at.push_back((a.x + b.x) / 2);
}

inline void expect_course(const House& house, AuditWall& w, int course) {
  const Rules& rules = *house.rules;
  ExpectedCourse out;
  out.course = course;
  out.low = house.line(course);
  out.shown = course == w.last_course ? w.highest : house.line(course + 1);
  out.high = out.low + rules.board.width;
  Overlay overlay(out.low - 1, std::max(out.high, out.shown) + 1);
  add_ground(w, overlay);
  overlay.cut_at(out.low);
  overlay.cut_at(out.high);
  overlay.cut_at(out.shown);
  const std::vector<Cell> cells = overlay.cells();
  const std::vector<LayerSide>& sides = overlay.sides();

  // Cells of the region in the band, joined upwards; what is wholly hidden over an opening, or over a level
  // edge, is left out.
  std::vector<Stretch> all;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    const Cell& cell = cells[c];
    if (!is_region(cell)) continue;
    const Point middle = cell.middle();
    if (middle.y > out.low && middle.y < out.shown) out.shown_area += cell.area();
    if (middle.y < out.low || middle.y > out.high) continue;
    const double low_middle = (cell.low0 + cell.low1) / 2;
    // Joined to the one below it in this column?
    if (!all.empty() && std::fabs(all.back().x0 - cell.x0) < 1e-12 && c > 0 && is_region(cells[c - 1]) &&
        cells[c - 1].x0 == cell.x0 && cells[c - 1].middle().y > out.low &&
        std::fabs((cells[c - 1].high0 + cells[c - 1].high1) / 2 - low_middle) <= 2 * tolerance) {
      all.back().high0 = cell.high0;
      all.back().high1 = cell.high1;
      continue;
    }
    Stretch s{cell.x0, cell.x1, cell.low0, cell.low1, cell.high0, cell.high1, -1, false, false, -1};
    const bool on_line =
        std::fabs(low_middle - out.low) <= tolerance && std::fabs(cell.low0 - cell.low1) <= tolerance;
    const bool leans = course != w.first_course && c > 0 && cells[c - 1].x0 == cell.x0 &&
                       is_region(cells[c - 1]) &&
                       std::fabs((cells[c - 1].high0 + cells[c - 1].high1) / 2 - low_middle) <= 2 * tolerance;
    if (!on_line || !leans) s.low_side = taken_below(sides, middle.x, low_middle);
    // A lower edge in sight with nothing under it wants a starter.
    if (!leans && low_middle < out.shown - tolerance && cell.x1 - cell.x0 > tolerance) {
      ExpectedStarter starter;
      starter.from = {cell.x0, cell.low0};
      starter.to = {cell.x1, cell.low1};
      bool opening_slope = false, any = false;
      for (const GroundSide& g : w.sides) {
        if (off_segment({middle.x, low_middle}, g.a, g.b) > 4 * tolerance) continue;
        if (std::fabs(g.a.x - g.b.x) <= tolerance) continue;
        if (any && g.meets != Meets::opening) continue;
        any = true;
        starter.meets = g.meets;
        opening_slope = g.opening >= 0 && std::fabs(g.a.y - g.b.y) > tolerance;
      }
      const double rise = std::fabs(cell.low1 - cell.low0), run = cell.x1 - cell.x0;
      if (!opening_slope && rise <= 2 * run * (1 + 1e-9) + 1e-7) w.starters.push_back(starter);
    }
    all.push_back(s);
  }
  // Dropped parts.
  std::vector<Stretch> kept;
  for (Stretch& s : all) {
    const double low_middle = (s.low0 + s.low1) / 2;
    const bool hidden = low_middle >= out.shown - tolerance && course != w.last_course;
    if (hidden) {
      const bool level = std::fabs(s.low0 - s.low1) <= tolerance;
      const bool opening = s.low_side >= 100000;
      if (level || opening) continue;
    }
    s.low_level = std::fabs(s.low0 - s.low1) <= tolerance * std::max(1.0, s.x1 - s.x0);
    s.high_level = std::fabs(s.high0 - s.high1) <= tolerance * std::max(1.0, s.x1 - s.x0);
    // Cut where the height passes min_leg.
    const double h0 = s.high0 - s.low0, h1 = s.high1 - s.low1, leg = rules.cutting.min_leg - tolerance;
    if ((h0 < leg && h1 > leg + 2 * tolerance) || (h1 < leg && h0 > leg + 2 * tolerance)) {
      const double x = s.x0 + (s.x1 - s.x0) * ((leg - h0) / (h1 - h0));
      if (x - s.x0 > tolerance && s.x1 - x > tolerance) {
        const double t = (x - s.x0) / (s.x1 - s.x0);
        Stretch a = s, b = s;
        a.x1 = b.x0 = x;
        a.low1 = b.low0 = s.low0 + (s.low1 - s.low0) * t;
        a.high1 = b.high0 = s.high0 + (s.high1 - s.high0) * t;
        kept.push_back(a);
        kept.push_back(b);
        continue;
      }
    }
    kept.push_back(s);
  }
  std::vector<int> run;
  join_stretches(kept, run, kept.size());
  const int runs = run.empty() ? 0 : *std::max_element(run.begin(), run.end()) + 1;
  const auto make_item = [&](const std::vector<std::size_t>& mine, bool filler) {
    Expected item;
    item.filler = filler;
    // What is wholly hidden is not laid.
    bool shows = course == w.last_course;
    for (std::size_t i : mine) shows = shows || std::min(kept[i].low0, kept[i].low1) < out.shown - tolerance;
    if (!shows) return;
    item.x0 = std::numeric_limits<double>::infinity();
    item.x1 = -item.x0;
    item.lowest_height = item.x0;
    for (std::size_t i : mine) {
      item.x0 = std::min(item.x0, kept[i].x0);
      item.x1 = std::max(item.x1, kept[i].x1);
      const double h0 = kept[i].high0 - kept[i].low0, h1 = kept[i].high1 - kept[i].low1;
      item.greatest_height = std::max(item.greatest_height, std::max(h0, h1));
      item.lowest_height = std::min(item.lowest_height, std::min(h0, h1));
    }
    if (item.x1 - item.x0 <= 2 * tolerance) return;  // a touching point
    item.low = !filler && item.greatest_height < rules.cutting.min_leg - tolerance;
    item.infill = item.x1 - item.x0 < 2 * rules.fasteners.end_edge - tolerance;
    const int index = static_cast<int>(out.items.size());
    out.items.push_back(item);
    for (std::size_t i : mine)
      out.slices.push_back(
          {kept[i].x0, kept[i].x1, kept[i].low0, kept[i].low1, kept[i].high0, kept[i].high1, index});
  };
  for (int r = 0; r < runs; ++r) {
    std::vector<std::size_t> mine;
    for (std::size_t i = 0; i < kept.size(); ++i)
      if (run[i] == r) mine.push_back(i);
    const std::vector<char> leg = find_legs(kept, mine, rules.cutting.min_leg);
    for (int filler = 0; filler < 2; ++filler) {
      std::vector<Stretch> part;
      std::vector<std::size_t> of;
      for (std::size_t i : mine)
        if ((leg[i] != 0) == (filler != 0)) {
          part.push_back(kept[i]);
          of.push_back(i);
        }
      std::vector<int> group;
      join_stretches(part, group, part.size());
      const int groups = group.empty() ? 0 : *std::max_element(group.begin(), group.end()) + 1;
      for (int g = 0; g < groups; ++g) {
        std::vector<std::size_t> members;
        for (std::size_t i = 0; i < part.size(); ++i)
          if (group[i] == g) members.push_back(of[i]);
        make_item(members, filler != 0);
      }
    }
  }
  for (std::size_t item = 0; item < out.items.size(); ++item) {
    if (out.items[item].filler || out.items[item].infill) continue;
    std::vector<Slice> mine;
    for (const Slice& slice : out.slices)
      if (slice.item == static_cast<int>(item)) mine.push_back(slice);
    find_thin_legs(mine, out.items[item].x1 - out.items[item].x0, rules.cutting.min_leg, out.thin_legs);
  }
  // No starter under infill.
  for (const Expected& item : out.items) {
    if (!item.infill) continue;
    std::vector<ExpectedStarter> left;
    for (const ExpectedStarter& s : w.starters) {
      // Only along the infill's own lower edge: a board above an opening may stand over it.
      bool here = false;
      for (const Slice& slice : out.slices) {
        if (&out.items[static_cast<std::size_t>(slice.item)] != &item) continue;
        const double x = (std::max(slice.x0, s.from.x) + std::min(slice.x1, s.to.x)) / 2;
        if (x <= slice.x0 || x >= slice.x1 || x <= s.from.x || x >= s.to.x) continue;
        const double edge = slice.low0 + (slice.low1 - slice.low0) * ((x - slice.x0) / (slice.x1 - slice.x0));
        const double strip = s.from.y + (s.to.y - s.from.y) * ((x - s.from.x) / (s.to.x - s.from.x));
        here = here || std::fabs(edge - strip) <= 4 * tolerance;
      }
      if (!here) {
        left.push_back(s);
        continue;
      }
      const auto at = [&](double x) {
        return Point{x, s.from.y + (s.to.y - s.from.y) * ((x - s.from.x) / (s.to.x - s.from.x))};
      };
      if (item.x0 - s.from.x > tolerance) left.push_back({s.from, at(item.x0), s.meets});
      if (s.to.x - item.x1 > tolerance) left.push_back({at(item.x1), s.to, s.meets});
    }
    w.starters = left;
  }
  w.courses.push_back(std::move(out));
}

LAPW_INLINE void expect_courses(House& house) {
  for (AuditWall& w : house.walls) {
    w.courses.clear();
    w.starters.clear();
    if (!w.has_region) continue;
    for (int k = std::max(0, w.first_planned); k <= w.last_course; ++k) expect_course(house, w, k);
  }
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
