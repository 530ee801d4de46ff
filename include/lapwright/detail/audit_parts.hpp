#pragma once
/// \file detail/audit_parts.hpp  What the parts of the audit share: the report, the house as the audit itself
/// sees it, and the parts' declarations.
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include <lapwright/detail/audit_cells.hpp>
#include <lapwright/plan.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

/// Collects findings; what the plan declares at the same place under the same code is accepted.
class Report {
public:
  explicit Report(const std::vector<Finding>& declared) : declared_(&declared) {}

  struct Place {
    std::string wall;
    std::optional<int> course;
    std::string piece;
  };
  /// As add, but nothing that the plan declares excuses it.
  void insist(const char* code, const Place& place, std::optional<double> measured,
              std::optional<double> limit, std::string message) {
    const std::vector<Finding> none;
    const std::vector<Finding>* kept = declared_;
    declared_ = &none;
    add(code, place, measured, limit, std::move(message));
    declared_ = kept;
  }
  const std::vector<Finding>& declared() const { return *declared_; }
  void add(const char* code, const Place& place, std::optional<double> measured, std::optional<double> limit,
           std::string message, Severity severity = Severity::warning) {
    if (declares(code, place, measured, limit)) return;
    // One rule broken at one place is one finding, however often it is met.
    for (const Finding& f : found)
      if (f.code == code && f.wall == place.wall && f.course == place.course && f.piece == place.piece &&
          f.message == message)
        return;
    Finding f;
    f.code = code;
    f.severity = severity;
    f.wall = place.wall;
    f.course = place.course;
    f.piece = place.piece;
    f.measured = measured;
    f.limit = limit;
    f.message = std::move(message);
    found.push_back(std::move(f));
  }
  /// Whether the plan itself says so here: the same code and wall, no other course or piece named, and
  /// nothing less than is measured.
  bool declares(const char* code, const Place& place, std::optional<double> measured = {},
                std::optional<double> limit = {}) const {
    for (const Finding& f : *declared_) {
      if (f.severity == Severity::note && !note_excuses(code)) continue;
      if (f.code != code || (!f.wall.empty() && f.wall != place.wall)) continue;
      if (f.course && place.course && *f.course != *place.course) continue;
      if (!f.piece.empty() && !place.piece.empty() && f.piece != place.piece) continue;
      if (f.measured && measured && limit && says_less(f, *measured, *limit)) continue;
      return true;
    }
    return false;
  }

  std::vector<Finding> found;

private:
  /// Whether a rule is broken further than the plan says: of those that everyone measures alike.
  static bool says_less(const Finding& f, double measured, double limit) {
    const bool alike = f.code == "joint_stagger" || f.code == "joint_min_piece" || f.code == "joint_stud" ||
                       f.code == "nail_share" || f.code == "nail_penetration" || f.code == "nail_spacing" ||
                       f.code == "no_framing_at_end" || f.code == "nail_end" || f.code == "staging" ||
                       f.code == "trim_too_thin";
    if (!alike) return false;
    const bool nails = f.code == "nail_spacing" || f.code == "no_framing_at_end" || f.code == "nail_end";
    const double slack = 0.02 * std::fabs(limit) + (nails ? 0.25 : 1e-3);
    return measured < limit ? *f.measured > measured + slack : *f.measured < measured - slack;
  }
  /// A warning says that a rule is relaxed; a note only of these that the thing is so.
  static bool note_excuses(const std::string& code) {
    return code == "ripped_start" || code == "bare_below_first_line" || code == "low_last_course" ||
           code == "thin_leg" || code == "infill" || code == "no_region" || code == "long_mitre" ||
           code == "start";
  }

  const std::vector<Finding>* declared_;
};

/// Where a side of the taken ground comes from.
struct GroundSide {
  Point a, b;
  Meets meets = Meets::corner;
  std::ptrdiff_t edge = -1, opening = -1, side = -1;  ///< side: of the opening
  double gap = 0, trim = 0;
  bool outer = false;  ///< an outline edge with nothing taken along it
  bool moved = false;  ///< the edge itself, moved by what is taken; else a side of its strip
};

/// A level edge, or a tip of an opening, that course lines should land on.
struct AuditMark {
  double height = 0;
  bool board_below = false;
  bool base = false;
  std::ptrdiff_t edge = -1, opening = -1, side = -1;  ///< one mark an edge
};

struct AuditStud {
  double centre = 0, width = 0;
};

/// A stretch that must be laid: an upright slice of a run or filler.
struct Slice {
  double x0 = 0, x1 = 0, low0 = 0, low1 = 0, high0 = 0, high1 = 0;
  int item = -1;  ///< of which run or filler of the course
  double height0() const { return high0 - low0; }
  double height1() const { return high1 - low1; }
};
struct Expected {
  bool filler = false;
  bool infill = false;  ///< too narrow for nails: nothing laid
  double x0 = 0, x1 = 0;
  double lowest_height = 0, greatest_height = 0;
  bool low = false;  ///< a whole run lower than min_leg
};
struct ExpectedCourse {
  int course = 0;
  double low = 0, shown = 0, high = 0;  ///< line, top of the visible band, top of the course band
  double shown_area = 0;                ///< of the region in the visible band
  std::vector<Slice> slices;
  std::vector<Expected> items;
  std::vector<double> thin_legs;  ///< x where one stands
};
/// A lower edge with nothing below to lean on.
struct ExpectedStarter {
  Point from, to;
  Meets meets = Meets::base;
};

/// One wall as the audit sees it.
struct AuditWall {
  const Wall* wall = nullptr;
  const PlanWall* plan = nullptr;
  Ring outline;                   ///< counter-clockwise, bases that follow moved
  std::vector<std::size_t> edge;  ///< of the wall, for each side of the outline
  std::vector<Ring> strips;       ///< what the edges take
  std::vector<int> strip_edge;    ///< of the wall
  std::vector<Ring> openings;     ///< what openings take: the grown outline in parts, each convex or simple
  std::vector<int> opening_of;
  std::vector<GroundSide> sides;
  std::vector<AuditStud> studs;
  bool has_region = false;
  double lowest = 0, highest = 0;  ///< of the region, following bases moved
  double first_lowest = 0;         ///< before any base follows
  int first_course = 0, last_course = -1, first_planned = 0;
  bool ripped = false;
  std::vector<AuditMark> marks;  ///< before any base follows
  std::vector<ExpectedCourse> courses;
  std::vector<ExpectedStarter> starters;
};

struct House {
  const Job* job = nullptr;
  const Plan* plan = nullptr;
  const Rules* rules = nullptr;
  std::size_t built = 0;
  std::vector<AuditWall> walls;  ///< those of the job that the plan has too, in the job's order
  std::unordered_map<std::string, std::pair<std::size_t, std::size_t>> piece_at;    ///< id -> wall, piece
  std::unordered_map<std::string, std::pair<std::size_t, std::size_t>> starter_at;  ///< id -> wall, starter

  double line(int course) const { return plan->pole.lines[static_cast<std::size_t>(course)]; }
  /// Whether a course has a line.
  bool has_line(int course) const {
    return course >= 0 && static_cast<std::size_t>(course) < plan->pole.lines.size();
  }
};

/// Corner i of a ring, counted round.
inline Point corner(const Ring& ring, std::size_t i) {
  return ring[i % ring.size()];
}
inline double ring_area(const Ring& ring) {
  double twice = 0;
  for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
    const Point p = ring[i], q = ring[i + 1];
    twice += (p.x - ring[0].x) * (q.y - ring[0].y) - (q.x - ring[0].x) * (p.y - ring[0].y);
  }
  return twice / 2;
}
/// Distance from a point to a segment.
inline double off_segment(Point p, Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y, l2 = dx * dx + dy * dy;
  double t = l2 > 0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / l2 : 0;
  t = t < 0 ? 0 : t > 1 ? 1 : t;
  const double ex = p.x - a.x - t * dx, ey = p.y - a.y - t * dy;
  return std::sqrt(ex * ex + ey * ey);
}
/// Even-odd.
inline bool in_ring(const Ring& ring, Point p) {
  bool in = false;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = corner(ring, i + 1);
    if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * ((p.y - a.y) / (b.y - a.y))) in = !in;
  }
  return in;
}
inline bool in_piece(const Piece& piece, Point p) {
  if (piece.outline.size() < 3 || !in_ring(piece.outline, p)) return false;
  for (const Ring& hole : piece.holes)
    if (hole.size() >= 3 && in_ring(hole, p)) return false;
  return true;
}
inline Box ring_box(const Ring& ring) {
  Box box{0, 0, 0, 0};
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point p = ring[i];
    if (i == 0) box = {p.x, p.y, p.x, p.y};
    box.x_min = p.x < box.x_min ? p.x : box.x_min;
    box.x_max = p.x > box.x_max ? p.x : box.x_max;
    box.y_min = p.y < box.y_min ? p.y : box.y_min;
    box.y_max = p.y > box.y_max ? p.y : box.y_max;
  }
  return box;
}
/// On a multiple of `step`, by `tolerance`.
inline bool on_grid(double y, double step) {
  return std::fabs(y - std::floor(y / step + 0.5) * step) <= 2 * tolerance;
}

/// Ground of every wall: outline moved, strips, grown openings, studs.
void measure_ground(House& house, Report& report);
/// Region of a course's band in cells, dropped parts and legs taken out.
void expect_courses(House& house);

void audit_document(const House& house, Report& report);
void audit_pole(const House& house, Report& report);
void audit_fitted(const House& house, Report& report);
void audit_cover(const House& house, Report& report);
void audit_pieces(const House& house, Report& report);
void audit_joints(const House& house, Report& report);
void audit_cuts(const House& house, Report& report);
void audit_nails(const House& house, Report& report);
void audit_boards(const House& house, Report& report);
void audit_starters(const House& house, Report& report);
void audit_order(const House& house, Report& report);

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
