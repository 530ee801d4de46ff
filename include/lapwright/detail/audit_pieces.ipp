#pragma once
// Pieces and joints. Included by audit.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <limits>
#include <map>
#include <string>
#include <vector>

#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

inline bool near(double a, double b, double by = 4 * tolerance) {
  return std::fabs(a - b) <= by;
}
inline bool same_place(Point a, Point b, double by = 4 * tolerance) {
  return near(a.x, b.x, by) && near(a.y, b.y, by);
}

/// Reads a callout: `62 3/8`, `5' 2 3/8"`, `62.362`, `1611 mm`. False where it is no length.
inline bool read_callout(const std::string& text, double& inches) {
  double total = 0, pending = 0;
  bool any = false;
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    if (c == ' ' || c == '-') {
      ++i;
      continue;
    }
    if (c == '\'' || c == '"') {
      total += c == '\'' ? pending * 12 : pending;
      pending = 0;
      ++i;
      continue;
    }
    if (text.compare(i, 2, "mm") == 0) {
      total += pending / 25.4;
      pending = 0;
      i += 2;
      continue;
    }
    if (text.compare(i, 2, "in") == 0) {
      i += 2;
      continue;
    }
    if (c < '0' || c > '9') return false;
    double value = 0;
    while (i < text.size() && text[i] >= '0' && text[i] <= '9') value = value * 10 + (text[i++] - '0');
    if (i < text.size() && text[i] == '.') {
      double part = 0.1;
      for (++i; i < text.size() && text[i] >= '0' && text[i] <= '9'; ++i, part /= 10)
        value += (text[i] - '0') * part;
    } else if (i < text.size() && text[i] == '/') {
      double under = 0;
      for (++i; i < text.size() && text[i] >= '0' && text[i] <= '9'; ++i)
        under = under * 10 + (text[i] - '0');
      if (under <= 0) return false;
      value /= under;
    }
    pending += value;
    any = true;
  }
  inches = total + pending;
  return any;
}

/// Where a blank lies and what of it shows.
struct Blank {
  double x0 = 0, x1 = 0, y = 0, top = 0, shown = 0;
  double length() const { return x1 - x0; }
};
inline Blank blank_of(const House& house, const AuditWall& w, const Piece& piece) {
  Blank b;
  const Box box = ring_box(piece.outline);
  b.x0 = box.x_min;
  b.x1 = box.x_max;
  b.y = house.has_line(piece.course) ? house.line(piece.course) : box.y_min;
  b.top = b.y + house.rules->board.width;
  b.shown = piece.course < w.last_course && house.has_line(piece.course + 1)
                ? house.line(piece.course + 1)
                : std::numeric_limits<double>::infinity();
  return b;
}

inline void audit_outline(Report& report, const Report::Place& place, const Ring& ring, bool hole) {
  const std::size_t n = ring.size();
  const auto wrong = [&](const char* what) {
    report.insist("outline", place, {}, {}, std::string(hole ? "a hole " : "the outline ") + what);
  };
  if (n < 3) return wrong("has fewer than three corners");
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = ring[i], b = corner(ring, i + 1), c = corner(ring, i + 2);
    if (!std::isfinite(a.x) || !std::isfinite(a.y)) return wrong("has a corner that is no place");
    if (same_place(a, b, tolerance / 4)) return wrong("repeats a corner");
    const double twice = (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
    const double length = std::sqrt((c.x - a.x) * (c.x - a.x) + (c.y - a.y) * (c.y - a.y));
    if (std::fabs(twice) <= length * tolerance / 64)
      return wrong("has a corner in the middle of a straight side");
  }
  if ((ring_area(ring) < 0) != hole) wrong("runs the wrong way round");
  for (std::size_t i = 1; i < n; ++i)
    if (ring[i].y < ring[0].y - tolerance || (ring[i].y <= ring[0].y && ring[i].x < ring[0].x - tolerance)) {
      wrong("does not begin at its lowest corner, of those the left one");
      break;
    }
  const auto side = [](Point a, Point b, Point c) {
    const double t = (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
    return t > 1e-9 ? 1 : t < -1e-9 ? -1 : 0;
  };
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 2; j < n; ++j) {
      if (i == 0 && j == n - 1) continue;
      const Point a = ring[i], b = corner(ring, i + 1), c = ring[j], d = corner(ring, j + 1);
      if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0)
        return wrong("crosses itself");
    }
}

/// What an end lies along: the longest stretch of each kind.
inline void audit_end(const House& house, Report& report, const AuditWall& w, const Piece& piece,
                      const Blank& blank, bool left) {
  const PieceEnd& end = left ? piece.left : piece.right;
  const double x = left ? blank.x0 : blank.x1;
  const Report::Place place{w.wall->name, piece.course, piece.id};
  const char* name = left ? "left" : "right";
  const std::size_t n = piece.outline.size();
  bool square = false, shows = false;
  double longest = 0, claimed = 0;
  for (int pass = 0; pass < 2; ++pass) {
    if (pass == 1 && square) break;
    for (std::size_t i = 0; i < n; ++i) {
      const Point a = piece.outline[i], b = corner(piece.outline, i + 1);
      const bool upright = near(a.x, b.x), at_a = near(a.x, x), at_b = near(b.x, x);
      if (pass == 0 ? !(upright && at_a && at_b) : (!(at_a || at_b) || near(a.y, b.y))) continue;
      if (pass == 0) square = true;
      if (std::min(a.y, b.y) < blank.shown - 2 * tolerance) shows = true;
      const double low = std::min(a.y, b.y), high = std::max(a.y, b.y);
      std::map<Meets, double> sum;
      double covered = 0;
      for (const GroundSide& s : w.sides) {
        if (near(s.a.y, s.b.y)) continue;
        const double overlap = std::min(high, std::max(s.a.y, s.b.y)) - std::max(low, std::min(s.a.y, s.b.y));
        if (overlap <= tolerance) continue;
        const double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y, l = std::sqrt(dx * dx + dy * dy);
        const auto off = [&](Point p) { return std::fabs((p.x - s.a.x) * dy - (p.y - s.a.y) * dx) / l; };
        if (off(a) > 1e-5 || off(b) > 1e-5) continue;
        sum[s.meets] += overlap;
        covered += overlap;
      }
      const double free = high - low - covered;
      bool joint = false;
      for (const Joint& j : w.plan->joints)
        joint = joint ||
                (j.course == piece.course &&
                 near(left ? j.x + house.rules->joints.gap / 2 : j.x - house.rules->joints.gap / 2, x, 1e-4));
      if (joint) {
        sum[Meets::joint] += std::max(0.0, free);
      } else {
        sum[Meets::filler] += std::max(0.0, free);
      }
      for (const auto& s : sum) {
        longest = std::max(longest, s.second);
        if (s.first == end.meets) claimed = std::max(claimed, s.second);
      }
    }
  }
  if (claimed < longest - 2e-3 && claimed < longest * 0.999)
    report.insist("meets", place, claimed, longest,
                  detail::format("the {} end does not lie along what the plan says", name));
  if (end.factory && !square)
    report.insist("end_factory", place, {}, {},
                  detail::format("the {} end is no square end, so no factory end", name));
  const bool seal = shows && !end.factory;
  if (end.seal != seal)
    report.insist("end_seal", place, {}, {},
                  detail::format(seal ? "the {} end is a field cut that shows, and is not sealed"
                                      : "the {} end needs no seal",
                                 name));
}

LAPW_INLINE void audit_pieces(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const double division = rules.courses.division;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    std::map<std::pair<int, bool>, std::vector<std::pair<double, const Piece*>>> rows;
    for (const Piece& piece : w.plan->pieces) {
      const Report::Place place{w.wall->name, piece.course, piece.id};
      audit_outline(report, place, piece.outline, false);
      for (const Ring& hole : piece.holes) audit_outline(report, place, hole, true);
      if (piece.outline.size() < 3) continue;
      const Blank blank = blank_of(house, w, piece);
      rows[{piece.course, piece.filler}].push_back({blank.x0, &piece});
      if (!near(piece.length, blank.length()))
        report.insist(
            "length", place, piece.length, blank.length(),
            detail::format("the piece is {:.4f} long, the plan says {:.4f}", blank.length(), piece.length));
      double said = 0;
      const double down = std::floor((blank.length() + tolerance) / division) * division;
      if (!read_callout(piece.callout, said))
        report.insist("callout", place, {}, down, "the callout is no length: " + piece.callout);
      else if (!near(said, down, 6e-4))
        report.insist(
            "callout", place, said, down,
            detail::format("the callout says {}, the length rounded down is {:.4f}", piece.callout, down));
      if (house.has_line(piece.course)) {
        audit_end(house, report, w, piece, blank, true);
        audit_end(house, report, w, piece, blank, false);
      }
    }
    for (auto& row : rows) {
      std::vector<std::pair<double, const Piece*>>& all = row.second;
      std::vector<std::pair<double, std::string>> by_x;
      std::vector<char> used(all.size(), 0);
      for (const auto& p : all) {
        const std::string head =
            detail::format(row.first.second ? "{}-{:02}-f" : "{}-{:02}-", w.wall->name, row.first.first);
        const std::string& id = p.second->id;
        bool good = id.size() > head.size() && id.compare(0, head.size(), head) == 0;
        std::size_t number = 0;
        for (std::size_t i = head.size(); good && i < id.size(); ++i) {
          good = id[i] >= '0' && id[i] <= '9' && !(i == head.size() && id[i] == '0') && number < 100000;
          number = number * 10 + static_cast<std::size_t>(id[i] - '0');
        }
        good = good && number >= 1 && number <= all.size() && !used[number - 1];
        if (good) {
          used[number - 1] = 1;
          for (const auto& q : all)  // none further left bears a greater number
            if (q.first < p.first - 2 * tolerance && q.second->id.size() > head.size()) {
              const long other = std::strtol(q.second->id.c_str() + head.size(), nullptr, 10);
              good = good && other < static_cast<long>(number);
            }
        }
        if (!good)
          report.insist("piece_id", {w.wall->name, row.first.first, id}, {}, {},
                        "the id is not wall, course and number from the left, or stands twice");
      }
    }
  }
}

LAPW_INLINE void audit_joints(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const JointRules& rule = rules.joints;
  const double longest = rules.board.lengths.empty()
                             ? 0
                             : *std::max_element(rules.board.lengths.begin(), rules.board.lengths.end());
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    struct End {
      const Piece* piece;
      double x, low, high;
    };
    std::map<int, std::vector<End>> rights, lefts;  // right ends and left ends of pieces by course
    for (const Piece& piece : w.plan->pieces) {
      if (piece.outline.size() < 3) continue;
      const Box box = ring_box(piece.outline);
      double l0 = 0, l1 = -1, r0 = 0, r1 = -1;
      for (std::size_t i = 0; i < piece.outline.size(); ++i) {
        const Point a = piece.outline[i], b = corner(piece.outline, i + 1);
        if (near(a.x, box.x_min) && near(b.x, box.x_min)) l0 = std::min(a.y, b.y), l1 = std::max(a.y, b.y);
        if (near(a.x, box.x_max) && near(b.x, box.x_max)) r0 = std::min(a.y, b.y), r1 = std::max(a.y, b.y);
      }
      if (l1 > l0) lefts[piece.course].push_back({&piece, box.x_min, l0, l1});
      if (r1 > r0) rights[piece.course].push_back({&piece, box.x_max, r0, r1});
    }
    std::vector<char> met(w.plan->joints.size(), 0), in_filler(w.plan->joints.size(), 0);
    // Every two ends that meet are a joint of the plan.
    for (const auto& row : rights)
      for (const End& a : row.second) {
        for (const End& b : lefts[row.first]) {
          const double apart = b.x - a.x;
          if (a.piece == b.piece || a.piece->filler != b.piece->filler || apart < -1 || apart > rule.gap + 1)
            continue;
          if (std::min(a.high, b.high) - std::max(a.low, b.low) <= tolerance) continue;
          const bool said = a.piece->right.meets == Meets::joint || b.piece->left.meets == Meets::joint;
          if (!said && (apart > 2 * tolerance || a.piece->filler)) continue;  // something stands between
          const Report::Place place{w.wall->name, row.first, b.piece->id};
          if (!near(apart, rule.gap, 1e-5))
            report.insist("joint_gap", place, apart, rule.gap,
                          detail::format("{} and {} stand {:.5f} apart", a.piece->id, b.piece->id, apart));
          char listed = 0;
          for (std::size_t j = 0; j < w.plan->joints.size(); ++j) {
            const Joint& joint = w.plan->joints[j];
            if (joint.course == row.first && near(joint.x, (a.x + b.x) / 2, 1e-5)) {
              listed = met[j] = 1;
              in_filler[j] = a.piece->filler;
            }
          }
          if (!listed)
            report.insist(
                "joint_gap", place, (a.x + b.x) / 2, {},
                detail::format("{} and {} meet where the plan lists no joint", a.piece->id, b.piece->id));
        }
      }
    // Joints as built stand with the plan's for the rules between courses.
    struct Carried {
      int course;
      double stud;
      bool built;
    };
    std::vector<Carried> carried;
    for (const BuiltJoint& b : rules.courses.joints_built) {
      if (b.wall != w.wall->name) continue;
      double stud = b.x, off = std::numeric_limits<double>::infinity();
      for (const AuditStud& s : w.studs)
        if (std::fabs(s.centre - b.x) <= s.width / 2 + tolerance && std::fabs(s.centre - b.x) < off)
          off = std::fabs(s.centre - b.x), stud = s.centre;
      carried.push_back({b.course, stud, true});
    }
    for (std::size_t j = 0; j < w.plan->joints.size(); ++j) {
      const Joint& joint = w.plan->joints[j];
      const Report::Place place{w.wall->name, joint.course, {}};
      carried.push_back({joint.course, joint.stud, false});
      if (!met[j])
        report.insist("joint_gap", place, joint.x, {},
                      detail::format("no two pieces meet at the joint at x = {:.3f}", joint.x));
      const AuditStud* stud = nullptr;
      for (const AuditStud& s : w.studs)
        if (near(s.centre, joint.stud, 1e-5)) stud = &s;
      if (stud == nullptr)
        report.insist("joint_stud", place, joint.stud, {},
                      detail::format("no stud stands at x = {:.3f}", joint.stud));
      const double off = std::fabs(joint.x - joint.stud);
      if (stud != nullptr && off > stud->width / 2 - rules.fasteners.end_edge - rule.gap / 2 + 1e-5)
        report.insist(
            "joint_stud", place, off, rule.window,
            detail::format("the joint at x = {:.3f} leaves no room for a nail of each end in its stud",
                           joint.x));
      else if (off > rule.window + 2 * tolerance)
        report.add(
            "joint_stud", place, off, rule.window,
            detail::format("the joint at x = {:.3f} is {:.4f} off the centre of its stud", joint.x, off));
      if (!house.has_line(joint.course)) {
        report.insist("course_index", place, joint.course, {}, "a joint in a course that has no line");
        continue;
      }
      const double low = house.line(joint.course), high = low + rules.board.width;
      double nearest = std::numeric_limits<double>::infinity();
      for (const Ring& ring : w.openings) {
        // The stretch of x that this part of an opening takes in the band.
        double x0 = std::numeric_limits<double>::infinity(), x1 = -x0;
        for (std::size_t i = 0; i < ring.size(); ++i) {
          const Point a = ring[i], b = corner(ring, i + 1);
          const auto reach = [&](double x) { x0 = std::min(x0, x), x1 = std::max(x1, x); };
          if (a.y > low + tolerance && a.y < high - tolerance) reach(a.x);
          for (double y : {low + tolerance, high - tolerance})
            if ((a.y < y) != (b.y < y)) reach(a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)));
        }
        if (x1 < x0) continue;
        nearest = std::min(nearest, std::max({0.0, x0 - joint.x, joint.x - x1}));
      }
      if (!in_filler[j] && nearest < rules.cutting.min_leg - 4 * tolerance - rule.gap / 2)
        report.insist(
            "joint_leg", place, nearest, rules.cutting.min_leg,
            detail::format("an opening reaches within {:.3f} of the joint at x = {:.3f}", nearest, joint.x));
      for (const ExpectedCourse& course : w.courses) {
        if (course.course != joint.course) continue;
        for (std::size_t i = 0; i < course.items.size(); ++i) {
          const Expected& item = course.items[i];
          if (item.x1 - item.x0 > longest + tolerance || joint.x < item.x0 + tolerance ||
              joint.x > item.x1 - tolerance)
            continue;
          bool other = false;  // a longer run of the same course at the same place
          for (const Expected& o : course.items)
            other = other || (o.x1 - o.x0 > longest + tolerance && joint.x > o.x0 && joint.x < o.x1);
          if (!other)
            report.insist("joint_needless", place, item.x1 - item.x0, longest,
                          detail::format("a run of {:.3f} fits one board, and has a joint at x = {:.3f}",
                                         item.x1 - item.x0, joint.x));
        }
      }
      if (rule.factory_ends)
        for (const Piece& piece : w.plan->pieces) {
          if (piece.course != joint.course || piece.filler || piece.outline.size() < 3) continue;
          const Box box = ring_box(piece.outline);
          const bool on_left = near(box.x_max, joint.x - rule.gap / 2, 1e-4);
          const bool on_right = near(box.x_min, joint.x + rule.gap / 2, 1e-4);
          if ((on_left && piece.right.meets == Meets::joint && !piece.right.factory) ||
              (on_right && piece.left.meets == Meets::joint && !piece.left.factory))
            report.add("joint_factory", {w.wall->name, joint.course, piece.id}, {}, {},
                       detail::format("{} meets the joint at x = {:.3f} with an end that is no factory end",
                                      piece.id, joint.x));
        }
    }
    for (const Carried& a : carried)
      for (const Carried& b : carried) {
        if (b.course >= a.course || a.built) continue;
        const double d = std::fabs(a.stud - b.stud);
        const Report::Place place{w.wall->name, a.course, {}};
        if (a.course - b.course == 1 && d < rule.stagger - 4 * tolerance)
          report.add("joint_stagger", place, d, rule.stagger,
                     detail::format(
                         "the joints on the studs at {:.3f} and {:.3f} of neighbouring courses stand {:.3f} "
                         "apart",
                         a.stud, b.stud, d));
        if (a.course - b.course < rule.repeat_after && d <= 4 * tolerance)
          report.add("joint_repeat", place, a.course - b.course, rule.repeat_after,
                     detail::format("the stud at {:.3f} carries a joint again after {} courses", a.stud,
                                    a.course - b.course));
      }
    for (const Piece& piece : w.plan->pieces) {
      if (piece.filler || piece.outline.size() < 3) continue;
      const bool left = piece.left.meets == Meets::joint, right = piece.right.meets == Meets::joint;
      if (!left && !right) continue;
      const Box box = ring_box(piece.outline);
      const double length = box.x_max - box.x_min;
      const Report::Place place{w.wall->name, piece.course, piece.id};
      if (length < rule.min_piece - 4 * tolerance)
        report.add("joint_min_piece", place, length, rule.min_piece,
                   detail::format("{} beside a joint is {:.4f} long", piece.id, length));
      if (left && right && !on_grid(length, rules.courses.division)) {
        bool whole = false;
        for (double l : rules.board.lengths) whole = whole || near(l, length, 1e-5);
        if (!whole)
          report.insist("length", place, length, rules.courses.division,
                        "a piece between two joints is neither on the grid nor a whole board");
      }
    }
  }
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
