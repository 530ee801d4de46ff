#pragma once
// Nails. Included by audit.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/audit_pieces.ipp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

/// Pieces of one wall by course, with their bounds.
struct PieceIndex {
  std::map<int, std::vector<std::pair<Box, const Piece*>>> rows;
  explicit PieceIndex(const PlanWall& plan) {
    for (const Piece& p : plan.pieces)
      if (p.outline.size() >= 3) rows[p.course].push_back({ring_box(p.outline), &p});
  }
  /// Whether a piece of the course lies at p; joints' gaps and the noise beside them count as covered.
  bool covers(int course, Point p, double gap) const {
    const auto row = rows.find(course);
    if (row == rows.end()) return false;
    for (const auto& q : row->second) {
      if (p.x < q.first.x_min - gap || p.x > q.first.x_max + gap || p.y < q.first.y_min - tolerance ||
          p.y > q.first.y_max + tolerance)
        continue;
      const double x = std::min(std::max(p.x, q.first.x_min + 1e-4), q.first.x_max - 1e-4);
      const double y = std::min(std::max(p.y, q.first.y_min + 1e-5), q.first.y_max - 1e-5);
      if (in_piece(*q.second, {x, y})) return true;
    }
    return false;
  }
};

/// Where in a piece a nail may be.
struct NailGround {
  const Piece* piece = nullptr;
  Box box;
  struct Side {
    Point a, b;
    bool level;
  };
  std::vector<Side> sides;
  bool keeps_edge = true;
  double end_edge = 0, edge = 0;

  bool low = false;  ///< lower than min_leg: nailed like a filler where lower than two `edge`

  NailGround(const Piece& p, const FastenerRules& rules, double min_leg)
      : piece(&p), box(ring_box(p.outline)) {
    const auto add = [&](const Ring& ring) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point a = ring[i], b = corner(ring, i + 1);
        sides.push_back({a, b, near(a.y, b.y)});
      }
    };
    add(p.outline);
    for (const Ring& hole : p.holes) add(hole);
    end_edge = rules.end_edge;
    edge = rules.edge;
    keeps_edge = !p.filler && box.y_max - box.y_min >= 2 * rules.edge - tolerance;
    low = box.y_max - box.y_min < min_leg - tolerance;
  }
  void distances(Point p, double& to_ends, double& to_level) const {
    to_ends = to_level = std::numeric_limits<double>::infinity();
    for (const Side& s : sides) {
      const double d = off_segment(p, s.a, s.b);
      double& to = s.level ? to_level : to_ends;
      to = std::min(to, d);
    }
  }
  bool may_be(Point p, double spare) const {
    if (!in_piece(*piece, p)) return false;
    double ends, level;
    distances(p, ends, level);
    return ends >= end_edge + spare && (!keeps_edge || level >= edge + spare);
  }
  bool low_at(double x) const {
    double from, to;
    return low && middle(x, from, to) && to - from < 2 * edge;
  }
  /// The upright through x: some height where a nail may be, `spare` beyond the distances asked.
  bool may_be_at(double x, double spare) const {
    if (x <= box.x_min || x >= box.x_max) return false;
    if (!keeps_edge || low_at(x)) {
      double from, to, ends, level;
      if (!middle(x, from, to)) return false;
      const Point p{x, (from + to) / 2};
      distances(p, ends, level);
      return in_piece(*piece, p) && ends >= end_edge + spare;
    }
    // Where any height will do, one at the least distance from some side will.
    const double noise = 1e-9;
    const auto try_at = [&](double y) { return may_be({x, y}, spare - noise); };
    for (const Side& s : sides) {
      const double reach = (s.level ? edge : end_edge) + spare;
      if (s.level && (try_at(s.a.y + reach) || try_at(s.a.y - reach))) return true;
      const double dx = s.b.x - s.a.x;
      if (!s.level && dx != 0) {
        const double dy = s.b.y - s.a.y, y = s.a.y + dy * ((x - s.a.x) / dx);
        const double up = reach * std::sqrt(dx * dx + dy * dy) / std::fabs(dx);
        if (try_at(y + up) || try_at(y - up)) return true;
      }
      for (Point c : {s.a, s.b}) {
        const double off = x - c.x, left = reach * reach - off * off;
        if (left < 0) continue;
        const double up = std::sqrt(left);
        if (try_at(c.y + up) || try_at(c.y - up)) return true;
      }
    }
    return false;
  }
  /// The tallest stretch of the piece on the upright through x.
  bool middle(double x, double& bottom, double& top) const {
    std::vector<double> ys;
    for (const Side& s : sides)
      if ((s.a.x <= x) != (s.b.x <= x))
        ys.push_back(s.a.y + (s.b.y - s.a.y) * ((x - s.a.x) / (s.b.x - s.a.x)));
    std::sort(ys.begin(), ys.end());
    bottom = top = 0;
    bool any = false;
    for (std::size_t i = 0; i + 1 < ys.size(); i += 2)
      if (!any || ys[i + 1] - ys[i] > top - bottom) bottom = ys[i], top = ys[i + 1], any = true;
    return any;
  }
};

/// A stud before a member, a member before the sheathing.
inline bool goes_into_what_it_says(const AuditWall& w, const Nail& nail) {
  const Point p = nail.at;
  bool in_stud = false, in_member = false;
  for (const AuditStud& s : w.studs)
    in_stud = in_stud || std::fabs(p.x - s.centre) <= s.width / 2 + 4 * tolerance;
  for (const Box& m : w.wall->framing.members)
    in_member = in_member || (p.x >= m.x_min - 4 * tolerance && p.x <= m.x_max + 4 * tolerance &&
                              p.y >= m.y_min - 4 * tolerance && p.y <= m.y_max + 4 * tolerance);
  return nail.into == NailBase::stud     ? in_stud
         : nail.into == NailBase::member ? in_member
                                         : !in_stud && !in_member;
}

inline void audit_piece_nails(const House& house, Report& report, const AuditWall& w, const PieceIndex& index,
                              const Piece& piece, const std::vector<Nail>& nails) {
  const Rules& rules = *house.rules;
  const FastenerRules& f = rules.fasteners;
  const Report::Place place{w.wall->name, piece.course, piece.id};
  const NailGround ground(piece, f, rules.cutting.min_leg);
  const Blank blank = blank_of(house, w, piece);
  const double gap = rules.joints.gap + 0.01;
  const double spare = 2e-3;
  const auto hidden = [&](Point p) {
    if (p.y - f.head / 2 < blank.shown - 4 * tolerance) return false;
    // The next course, or the one after where boards lie three deep.
    for (int k = piece.course + 1; house.has_line(k) && house.line(k) <= p.y; ++k)
      if (index.covers(k, p, gap)) return true;
    return false;
  };
  const auto over_lower = [&](Point p) {
    return index.covers(piece.course - 1, {p.x, p.y - f.shank / 2 + 1e-4}, gap);
  };
  for (const Nail& nail : nails) {
    const Point p = nail.at;
    if (!in_piece(piece, p)) {
      report.insist("nail_end_edge", place, p.x, f.end_edge,
                    detail::format("a nail at {:.3f}, {:.3f} lies outside its piece", p.x, p.y));
      continue;
    }
    double ends, level;
    ground.distances(p, ends, level);
    if (ends < f.end_edge - 4 * tolerance)
      report.insist(
          "nail_end_edge", place, ends, f.end_edge,
          detail::format("a nail at {:.3f}, {:.3f} is {:.3f} from an end or slanted edge", p.x, p.y, ends));
    if (ground.keeps_edge && level < f.edge - 4 * tolerance && !ground.low_at(p.x))
      report.insist("nail_edge", place, level, f.edge,
                    detail::format("a nail at {:.3f}, {:.3f} is {:.3f} from a level edge", p.x, p.y, level));
    const bool is_hidden = hidden(p);
    if (!nail.face && !is_hidden)
      report.insist("nail_exposed", place, p.y - f.head / 2, blank.shown,
                    detail::format("a blind nail at {:.3f}, {:.3f} is not covered", p.x, p.y));
    if (nail.face && is_hidden)
      report.insist(
          "nail_face", place, p.y - f.head / 2, blank.shown,
          detail::format("the nail at {:.3f}, {:.3f} is covered, and is called a face nail", p.x, p.y));
    // Where sheathing holds no nail, a hidden place is one only in framing.
    const auto holds = [&](Point q) {
      if (rules.sheathing.holds_nails || nail.into != NailBase::member) return true;
      for (const Box& m : w.wall->framing.members)
        if (q.x >= m.x_min && q.x <= m.x_max && q.y >= m.y_min && q.y <= m.y_max) return true;
      return false;
    };
    if (nail.face && !is_hidden && ground.keeps_edge) {
      bool place_left = false;
      for (double y = blank.top - f.edge - spare; y - f.head / 2 >= blank.shown + spare && !place_left;
           y -= 0.0625)
        place_left =
            holds({p.x, y}) && ground.may_be({p.x, y}, spare) && hidden({p.x, y}) && !over_lower({p.x, y});
      if (place_left)
        report.insist(
            "nail_face_needless", place, p.y, blank.shown,
            detail::format("a nail in the face at {:.3f}, {:.3f} where a hidden place is left above it", p.x,
                           p.y));
    }
    if (!nail.face && over_lower(p))
      report.insist(
          "nail_below", place, p.y, {},
          detail::format("a blind nail at {:.3f}, {:.3f} passes through the course below", p.x, p.y));
    if (!goes_into_what_it_says(w, nail))
      report.insist(
          "nail_into", place, p.x, {},
          detail::format("the nail at {:.3f}, {:.3f} does not go into what the plan says", p.x, p.y));
    if (nail.into == NailBase::sheathing && !rules.sheathing.holds_nails)
      report.add("nail_sheathing", place, p.x, {},
                 detail::format("the nail at {:.3f}, {:.3f} stands in sheathing that holds none", p.x, p.y));
    if (nail.into != NailBase::sheathing && house.has_line(piece.course)) {
      // The lean over the course below, or over a starter where there is none.
      const double depth = blank.top - p.y, t = rules.board.thickness, width = rules.board.width;
      const double starter = house.plan->pole.starter;
      std::vector<double> leans;
      if (piece.course > 0) leans.push_back(blank.y - house.line(piece.course - 1));
      leans.push_back(width - starter);
      bool any = false, deep = false;
      double most = 0;
      for (double e : leans) {
        if (!(e > 0)) continue;
        const double left = f.length - t - t * depth / e - rules.sheathing.thickness;
        any = any || near(nail.penetration, left, 2e-4);
        most = std::max(most, left);
      }
      deep = nail.penetration >= f.min_penetration - 4 * tolerance;
      if (!any)
        report.insist(
            "nail_penetration", place, nail.penetration, most,
            detail::format("the nail at {:.3f}, {:.3f} is said to reach {:.4f} deep, it reaches {:.4f}", p.x,
                           p.y, nail.penetration, most));
      else if (!deep)
        report.add("nail_penetration", place, nail.penetration, f.min_penetration,
                   detail::format("the nail at {:.3f}, {:.3f} reaches {:.4f} deep only", p.x, p.y,
                                  nail.penetration));
    }
  }
  // Every stud that the piece crosses.
  for (const AuditStud& s : w.studs) {
    if (s.centre <= ground.box.x_min || s.centre >= ground.box.x_max || !ground.may_be_at(s.centre, spare))
      continue;
    bool held = false;
    for (const Nail& nail : nails) {
      if (std::fabs(nail.at.x - s.centre) <= s.width / 2 + 4 * tolerance) held = true;
      for (const AuditStud& o : w.studs)  // studs that overlap serve one another
        if (std::fabs(o.centre - s.centre) < (o.width + s.width) / 2 + tolerance &&
            std::fabs(nail.at.x - o.centre) <= o.width / 2 + 4 * tolerance)
          held = true;
    }
    if (!held)
      report.add("nail_stud", place, s.centre, {},
                 detail::format("{} crosses the stud at {:.3f} and has no nail in it", piece.id, s.centre));
  }
  // Ends.
  for (int side = 0; side < 2; ++side) {
    const bool left = side == 0;
    const PieceEnd& end = left ? piece.left : piece.right;
    const double x = left ? ground.box.x_min : ground.box.x_max;
    if (end.meets == Meets::joint) {
      const Joint* joint = nullptr;
      for (const Joint& j : w.plan->joints)
        if (j.course == piece.course && std::fabs(j.x - x) <= rules.joints.gap / 2 + 1e-4) joint = &j;
      if (joint == nullptr) continue;
      bool held = false, room = false;
      for (const AuditStud& s : w.studs) {
        const AuditStud* shared = nullptr;
        for (const AuditStud& o : w.studs)
          if (near(o.centre, joint->stud, 1e-5)) shared = &o;
        // A nail in either of two studs that overlap serves both.
        if (shared == nullptr ||
            std::fabs(s.centre - shared->centre) >= (s.width + shared->width) / 2 - tolerance)
          continue;
        for (const Nail& nail : nails)
          held = held || std::fabs(nail.at.x - s.centre) <= s.width / 2 + 4 * tolerance;
        for (double at = s.centre - s.width / 2; at <= s.centre + s.width / 2 && !held && !room;
             at += s.width / 64)
          room = ground.may_be_at(at, spare);
      }
      const std::string what = detail::format(
          "{} has no nail of its own in the stud at {:.3f} that it shares", piece.id, joint->stud);
      if (!held && room) report.insist("nail_joint", place, x, {}, what);
      if (!held && !room) report.add("nail_joint", place, x, {}, what);
      continue;
    }
    double first = x;
    bool any = false;
    for (double along = f.end_edge; along < ground.box.x_max - ground.box.x_min; along += 0.0625) {
      first = left ? x + along : x - along;
      if (ground.may_be_at(first, -4 * tolerance)) {
        any = true;
        break;
      }
    }
    if (!any) continue;
    double nearest = std::numeric_limits<double>::infinity();
    for (const Nail& nail : nails) nearest = std::min(nearest, std::fabs(nail.at.x - first));
    if (nearest > f.end_reach + 0.08) {
      if (rules.sheathing.holds_nails)
        report.add("nail_end", place, nearest, f.end_reach,
                   detail::format("the nearest nail to the {} end of {} is {:.2f} away",
                                  left ? "left" : "right", piece.id, nearest));
      else
        report.add("no_framing_at_end", place, nearest, f.end_reach,
                   detail::format("no framing holds the {} end of {}, and the plan says nothing of backing",
                                  left ? "left" : "right", piece.id));
    }
  }
  // Spacing.
  const Framing& framing = w.wall->framing;
  const double most = f.max_spacing ? *f.max_spacing : framing.spacing > 0 ? framing.spacing : 16.0;
  std::vector<double> xs;
  for (const Nail& nail : nails) xs.push_back(nail.at.x);
  std::sort(xs.begin(), xs.end());
  for (std::size_t i = 0; i + 1 < xs.size(); ++i) {
    const double apart = xs[i + 1] - xs[i];
    if (apart <= most + 4 * tolerance) continue;
    double no_place = 0;
    const int steps = static_cast<int>(std::min(4000.0, std::ceil(apart * 8)));
    for (int k = 0; k < steps; ++k)
      if (!ground.may_be_at(xs[i] + apart * (k + 0.5) / steps, 0)) no_place += apart / steps;
    const double spare_span = no_place > 0 ? 0.3 : 4 * tolerance;
    if (apart - no_place > most + spare_span)
      report.add("nail_spacing", place, apart - no_place, most,
                 detail::format("nails at {:.3f} and {:.3f} stand {:.2f} apart", xs[i], xs[i + 1], apart));
  }
}

/// Nails of a starter, where the plan shows any.
inline void audit_starter_nails(const House& house, Report& report, const AuditWall& w,
                                const Starter& starter, const std::vector<Nail>& nails) {
  const Rules& rules = *house.rules;
  const FastenerRules& f = rules.fasteners;
  const Report::Place place{w.wall->name, {}, {}};
  const double dx = starter.to.x - starter.from.x, dy = starter.to.y - starter.from.y;
  const double length = std::sqrt(dx * dx + dy * dy);
  if (!(length > 0)) return;
  const double end_edge = std::min(f.end_edge, length / 2);
  std::vector<double> along;
  for (const Nail& nail : nails) {
    const double x = nail.at.x - starter.from.x, y = nail.at.y - starter.from.y;
    const double on = (x * dx + y * dy) / length, up = (y * dx - x * dy) / length;
    along.push_back(nail.at.x);
    if (on < end_edge - 1e-5 || on > length - end_edge + 1e-5)
      report.insist("nail_end_edge", place, std::min(on, length - on), end_edge,
                    detail::format("a nail of starter {} is {:.3f} from its end", starter.id,
                                   std::min(on, length - on)));
    if (up < f.shank / 2 || up > starter.width - f.shank / 2)
      report.insist("nail_edge", place, up, starter.width,
                    detail::format("a nail of starter {} does not pass through it", starter.id));
    if (!goes_into_what_it_says(w, nail))
      report.insist("nail_into", place, nail.at.x, {},
                    detail::format("a nail of starter {} at {:.3f} does not go into what the plan says",
                                   starter.id, nail.at.x));
    if (nail.into == NailBase::sheathing) {
      if (!rules.sheathing.holds_nails)
        report.add("nail_sheathing", place, nail.at.x, {},
                   detail::format("a nail of starter {} stands in sheathing that holds none", starter.id));
      continue;
    }
    const double left = f.length - rules.board.thickness - rules.sheathing.thickness;
    if (!near(nail.penetration, left, 2e-4))
      report.insist("nail_penetration", place, nail.penetration, left,
                    detail::format("a nail of starter {} is said to reach {:.4f} deep, it reaches {:.4f}",
                                   starter.id, nail.penetration, left));
  }
  std::sort(along.begin(), along.end());
  for (const AuditStud& s : w.studs) {
    const double slack = end_edge * std::fabs(dx) / length + starter.width + 0.01;
    if (s.centre < std::min(starter.from.x, starter.to.x) + slack ||
        s.centre > std::max(starter.from.x, starter.to.x) - slack)
      continue;
    bool held = false;
    for (const AuditStud& o : w.studs)
      if (std::fabs(o.centre - s.centre) < (o.width + s.width) / 2 + tolerance)
        for (double x : along) held = held || std::fabs(x - o.centre) <= o.width / 2 + 4 * tolerance;
    if (!held)
      report.add("nail_stud", place, s.centre, {},
                 detail::format("starter {} crosses the stud at {:.3f} and has no nail in it", starter.id,
                                s.centre));
  }
  if (!rules.sheathing.holds_nails) return;
  const Framing& framing = w.wall->framing;
  const double most = f.max_spacing ? *f.max_spacing : framing.spacing > 0 ? framing.spacing : 16.0;
  for (std::size_t i = 0; i + 1 < along.size(); ++i)
    if (along[i + 1] - along[i] > most + 4 * tolerance)
      report.add(
          "nail_spacing", place, along[i + 1] - along[i], most,
          detail::format("nails of starter {} stand {:.2f} apart", starter.id, along[i + 1] - along[i]));
}

LAPW_INLINE void audit_nails(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  static const std::vector<Nail> no_nails;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    const PlanWall& plan = *w.plan;
    const PieceIndex index(plan);
    long all = 0, framing = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < plan.pieces.size(); ++i) {
      const std::vector<Nail>& nails = i < plan.nails.size() ? plan.nails[i] : no_nails;
      if (plan.pieces[i].outline.size() >= 3)
        audit_piece_nails(house, report, w, index, plan.pieces[i], nails);
      for (const Nail& nail : nails) {
        ++all;
        if (nail.into == NailBase::sheathing) continue;
        ++framing;
        least = std::min(least, nail.penetration);
      }
    }
    // A plan need not show the nails of its starters; those that it shows must hold.
    for (std::size_t i = 0; i < plan.starters.size() && i < plan.starter_nails.size(); ++i)
      if (!plan.starter_nails[i].empty())
        audit_starter_nails(house, report, w, plan.starters[i], plan.starter_nails[i]);
    const Report::Place place{w.wall->name, {}, {}};
    if (all == 0) continue;
    const double share = static_cast<double>(framing) / static_cast<double>(all);
    if (!near(plan.framing_share, share, 1e-6))
      report.insist("nail_share", place, plan.framing_share, share,
                    detail::format("the plan says that {:.4f} of the nails are in framing, it is {:.4f}",
                                   plan.framing_share, share));
    if (rules.sheathing.holds_nails && share < rules.fasteners.min_framing_share - 1e-9)
      report.add("nail_share", place, share, rules.fasteners.min_framing_share,
                 detail::format("{:.4f} of the nails are in framing", share));
    if (framing > 0 && !near(plan.least_penetration, least, 1e-5))
      report.insist("nail_penetration", place, plan.least_penetration, least,
                    "the least penetration of the wall is not that of its nails");
  }
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
