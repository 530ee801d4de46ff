#pragma once
// Cuts, their callouts, templates. Included by audit.ipp.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdlib>
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

/// Every length in a cut's callout, however it is worded: "square at 62 3/8, from left", "2990 mm bottom,
/// 2762 mm top, from left".
inline std::vector<double> lengths_said(const std::string& text) {
  std::vector<double> all;
  const bool millimetres = text.find("mm") != std::string::npos;
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] < '0' || text[i] > '9') {
      ++i;
      continue;
    }
    const std::size_t end = text.find_first_not_of("0123456789./ '\"", i);
    std::string word = text.substr(i, end == std::string::npos ? end : end - i);
    while (!word.empty() && word.back() == ' ') word.pop_back();
    i += std::max<std::size_t>(1, word.size());
    double inches = 0;
    if (read_callout(word, inches)) all.push_back(millimetres ? inches / 25.4 : inches);
  }
  return all;
}

/// Whether each length that a callout says is one of the cut's own: from either end or long edge of the blank
/// to a corner of its path, within a division (they are rounded so that no board is forced). The first that
/// is none is left in `stray`.
inline bool callout_is_true(const std::string& text, const std::vector<Point>& path, double length,
                            double width, double division, double& stray) {
  for (double said : lengths_said(text)) {
    bool found = false;
    for (Point p : path)
      for (double real : {p.x, length - p.x, p.y, width - p.y})
        found = found || std::fabs(said - real) <= division + 6e-4;
    if (!found || !near(said, std::floor(said / division + 0.5) * division, 6e-4)) {
      stray = said;
      return false;
    }
  }
  return true;
}

/// A template is an outline whose slope begins at the origin, crosses the whole board and has a fence below.
inline const char* wrong_template_outline(const RakeTemplate& t, double width) {
  const Ring& ring = t.outline;
  if (ring.size() < 3) return "has no outline";
  if (!(ring_area(ring) > 0)) return "has an outline that runs the wrong way round";
  bool slope = false, fence = false;
  const double way = t.hand == Hand::left ? 1 : -1, off = 1e-5;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    for (const auto& side : {std::pair<Point, Point>{ring[i], corner(ring, i + 1)},
                             std::pair<Point, Point>{corner(ring, i + 1), ring[i]}}) {
      const Point a = side.first, b = side.second;
      if (!near(a.x, 0, off) || !near(a.y, 0, off)) continue;
      const double along = way * b.x * t.rise - b.y * t.run;
      slope =
          slope || (b.y >= width - off && std::fabs(along) <= off * (t.rise + t.run) * std::max(1.0, b.y));
    }
    fence = fence || ring[i].y < -off;
  }
  if (!slope) return "has no edge along its slope from the origin over the whole board";
  return fence ? nullptr : "has no fence below the board's edge";
}

/// Settings on the framing square, 24 in by 16 in, read to a sixteenth: no pair comes nearer to the slope.
inline bool square_is_closest(const RakeTemplate& t) {
  const auto off_by = [&](double blade, double tongue) {
    return std::fabs(blade * t.rise - tongue * t.run) /
           std::sqrt((blade * blade + tongue * tongue) * (t.rise * t.rise + t.run * t.run));
  };
  const double blade = t.square.x, tongue = t.square.y;
  if (!(blade > 0) || !(tongue > 0) || blade > 24 + 1e-9 || tongue > 16 + 1e-9 || !on_grid(blade, 0.0625) ||
      !on_grid(tongue, 0.0625))
    return false;
  const double mine = off_by(blade, tongue);
  for (int i = 1; i <= 16 * 16; ++i) {
    const double up = i / 16.0, across = std::floor(up * t.run / t.rise * 16 + 0.5) / 16;
    if (across > 0 && across <= 24 && off_by(across, up) < mine - 1e-8) return false;
  }
  return true;
}

inline void audit_templates(Report& report, const AuditWall& w, const std::vector<int>& uses,
                            int may_do_without, double width, double exposure) {
  int said = 0, made = 0;
  const Report::Place place{w.wall->name, {}, {}};
  const auto wrong = [&](double measured, std::optional<double> limit, const std::string& what) {
    report.insist("template", place, measured, limit, what);
  };
  const std::vector<RakeTemplate>& all = w.plan->templates;
  for (std::size_t k = 0; k < uses.size(); ++k) {
    const RakeTemplate& t = all[k];
    said += t.uses;
    made += uses[k];
    if (!(t.rise > 0) || !(t.run > 0)) {
      wrong(t.rise, {}, "a template has no slope");
      continue;
    }
    const double angle = std::atan2(t.rise, t.run) * 57.29577951308232;
    if (!near(t.offset, width * t.run / t.rise, 1e-4 * std::max(1.0, t.offset)) ||
        !near(t.angle, angle, 1e-3) || !near(t.step, exposure * t.run / t.rise, 1e-4 * std::max(1.0, t.step)))
      wrong(t.offset, width * t.run / t.rise, "a template's angle, offset or step is not that of its slope");
    if (const char* what = wrong_template_outline(t, width))
      wrong(t.rise, {}, detail::format("the template of {:.4f} in {:.4f} {}", t.rise, t.run, what));
    if (!square_is_closest(t))
      wrong(t.square.x, {},
            detail::format("{} and {} on the square do not come closest to {:.4f} in {:.4f}", t.square.x,
                           t.square.y, t.rise, t.run));
    for (std::size_t j = 0; j < k; ++j)
      if (all[j].hand == t.hand && all[j].rise > 0 &&
          std::fabs(width * all[j].run / all[j].rise - width * t.run / t.rise) < 1.0 / 64 - 1e-3)
        wrong(t.rise, all[j].rise, "two templates of one hand differ by less than a 64th over one board");
  }
  if (!uses.empty() && (said > made || said < made - may_do_without))
    wrong(said, made, detail::format("the templates count {} uses, the cuts make {}", said, made));
}

LAPW_INLINE void audit_cuts(const House& house, Report& report) {
  const Rules& rules = *house.rules;
  const double width = rules.board.width;
  double exposure = 0;
  const std::vector<double>& lines = house.plan->pole.lines;
  for (std::size_t k = house.built; k + 1 < lines.size(); ++k)
    exposure = std::max(exposure, lines[k + 1] - lines[k]);
  if (!(exposure > 0))
    exposure = rules.courses.max_exposure ? *rules.courses.max_exposure : width - rules.board.min_lap;
  for (const AuditWall& w : house.walls) {
    if (w.plan == nullptr) continue;
    std::vector<int> uses(w.plan->templates.size(), 0);
    int may_do_without = 0;
    for (const Piece& piece : w.plan->pieces) {
      if (piece.outline.size() < 3) continue;
      const Report::Place place{w.wall->name, piece.course, piece.id};
      const Blank blank = blank_of(house, w, piece);
      const double length = blank.length();
      struct Side {
        Point a, b;
        bool due;
        bool joined;  ///< the next side of the ring meets it in an inside corner, and both are due
        std::size_t next;
        int count = 0;
        int cut = -1;
      };
      std::vector<Side> sides;
      const auto add = [&](const Ring& ring, bool hole) {
        const std::size_t first = sides.size(), n = ring.size();
        for (std::size_t i = 0; i < n; ++i) {
          const Point p = ring[i], q = corner(ring, i + 1);
          Side s{{p.x - blank.x0, p.y - blank.y},
                 {q.x - blank.x0, q.y - blank.y},
                 true,
                 false,
                 first + (i + 1) % n};
          if (!hole) {
            if (near(s.a.y, s.b.y) && (near(s.a.y, 0) || near(s.a.y, width))) s.due = false;
            if (near(s.a.x, s.b.x) && near(s.a.x, 0) && piece.left.factory) s.due = false;
            if (near(s.a.x, s.b.x) && near(s.a.x, length) && piece.right.factory) s.due = false;
          }
          sides.push_back(s);
        }
        for (std::size_t i = first; i < sides.size(); ++i) {
          const Side& t = sides[sides[i].next];
          const double turn = (sides[i].b.x - sides[i].a.x) * (t.b.y - t.a.y) -
                              (sides[i].b.y - sides[i].a.y) * (t.b.x - t.a.x);
          sides[i].joined = sides[i].due && t.due && (hole || turn < 0);
        }
      };
      add(piece.outline, false);
      for (const Ring& hole : piece.holes) add(hole, true);
      for (std::size_t c = 0; c < piece.cuts.size(); ++c) {
        const Cut& cut = piece.cuts[c];
        bool seal = false;
        for (std::size_t i = 0; i + 1 < cut.front.size(); ++i) {
          const Point a = cut.front[i], b = cut.front[i + 1];
          bool found = false;
          for (Side& s : sides)
            if ((same_place(s.a, a, 1e-5) && same_place(s.b, b, 1e-5)) ||
                (same_place(s.a, b, 1e-5) && same_place(s.b, a, 1e-5))) {
              found = true;
              ++s.count;
              s.cut = static_cast<int>(c);
              if (!s.due)
                report.insist("cut_stray", place, {}, {},
                              "a cut runs along a factory end or a long edge of the board");
              else if (std::min(s.a.y, s.b.y) + blank.y < blank.shown - 2 * tolerance)
                seal = true;
              break;
            }
          if (!found)
            report.insist(
                "cut_stray", place, a.x, {},
                detail::format("a cut from {:.4f}, {:.4f} to {:.4f}, {:.4f} runs along no edge of the piece",
                               a.x, a.y, b.x, b.y));
        }
        if (cut.front.size() < 2) {
          report.insist("cut_stray", place, {}, {}, "a cut has no path");
          continue;
        }
        bool mirrored = cut.back.size() == cut.front.size();
        for (std::size_t i = 0; mirrored && i < cut.front.size(); ++i)
          mirrored = same_place(cut.back[i], {length - cut.front[i].x, cut.front[i].y}, 1e-5);
        if (!mirrored)
          report.insist("cut_mirror", place, {}, {},
                        "the path on the back is not the path on the face, mirrored");
        const Point a = cut.front[0], b = cut.front[1];
        const CutKind kind = cut.front.size() > 2 ? CutKind::notch
                             : near(a.x, b.x)     ? CutKind::crosscut
                             : near(a.y, b.y)     ? CutKind::rip
                                                  : CutKind::rake;
        if (cut.kind != kind)
          report.insist("cut_kind", place, {}, {}, "a cut is not of the kind that its path makes it");
        if (cut.tool != (kind == CutKind::notch ? Tool::saw : Tool::shears))
          report.insist("cut_tool", place, {}, {},
                        kind == CutKind::notch ? "an inside corner needs a saw" : "this cut is the shears'");
        if (cut.seal != seal)
          report.insist("cut_seal", place, {}, {},
                        seal ? "a field cut shows and is not to be sealed"
                             : "a cut that does not show is to be sealed");
        if (kind == CutKind::rake && cut.long_point && cut.short_point) {
          // The piece lies on the left of its outline's sides.
          bool at_left = false;
          for (const Side& s : sides)
            if (s.cut == static_cast<int>(c)) at_left = s.b.y < s.a.y;
          const double p = at_left ? length - a.x : a.x, q = at_left ? length - b.x : b.x;
          if (!near(*cut.long_point, std::max(p, q), 1e-5) || !near(*cut.short_point, std::min(p, q), 1e-5))
            report.insist("callout", place, *cut.long_point, std::max(p, q),
                          "the long and short points are not the distances from the blank's other end");
        }
        double stray = 0;
        if (cut.callout.empty()) report.insist("callout", place, {}, {}, "a cut has no callout");
        for (const std::string& text : {cut.callout, cut.back_callout})
          if (!callout_is_true(text, cut.front, length, width, rules.courses.division, stray))
            report.insist("callout", place, stray, {},
                          detail::format("a cut is called \"{}\", and none of its corners lies at {:.4f}",
                                         text, stray));
        if (kind == CutKind::rake && (!cut.long_point || !cut.short_point))
          report.insist("callout", place, {}, {}, "a rake cut has no long and short point");
      }
      for (const Side& s : sides) {
        if (s.due && s.count == 0)
          report.insist("cut_missing", place, s.a.x, {},
                        detail::format("no cut makes the edge from {:.4f}, {:.4f} to {:.4f}, {:.4f}", s.a.x,
                                       s.a.y, s.b.x, s.b.y));
        if (s.count > 1)
          report.insist(
              "cut_double", place, s.count, 1,
              detail::format("the edge from {:.4f}, {:.4f} is cut {} times", s.a.x, s.a.y, s.count));
        const Side& t = sides[s.next];
        if (s.count == 1 && t.count == 1 && &t != &s && (s.cut == t.cut) != s.joined && s.due && t.due &&
            !(sides.size() == 2))
          report.insist("cut_kind", place, {}, {},
                        s.joined ? "edges that meet in an inside corner are one cut, a notch"
                                 : "edges that meet in an outside corner are cuts of their own");
        // Slopes have their template.
        const double rise = std::fabs(s.b.y - s.a.y), run = std::fabs(s.b.x - s.a.x);
        if (!s.due || near(s.a.x, s.b.x) || near(s.a.y, s.b.y)) continue;
        if (rise * 12 < run - 24 * tolerance || rise > 2 * run + 2 * tolerance) continue;
        // Within noise of 1 or 24 in 12 one may do without.
        const bool must = rise * 12 > run + 24 * tolerance && rise < 2 * run - 2 * tolerance;
        const Hand hand = s.b.y < s.a.y ? Hand::left : Hand::right;
        std::size_t best = uses.size();
        double least = 1.0 / 64 + 1e-3;
        for (std::size_t k = 0; k < w.plan->templates.size(); ++k) {
          const RakeTemplate& t2 = w.plan->templates[k];
          if (t2.hand != hand || !(t2.rise > 0)) continue;
          const double off = std::fabs(width * t2.run / t2.rise - width * run / rise);
          if (off < least) least = off, best = k;
        }
        if (best < uses.size())
          ++uses[best];
        else if (must)
          report.insist("template", place, rise / run * 12, {},
                        detail::format("no template serves the slope of {:.4f} in 12, {} hand",
                                       rise / run * 12, hand == Hand::left ? "left" : "right"));
        may_do_without += best < uses.size() && !must;
      }
    }
    audit_templates(report, w, uses, may_do_without, width, exposure);
  }
}

}  // namespace audited
}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
