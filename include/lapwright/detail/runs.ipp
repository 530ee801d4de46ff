#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/sweep_bands.hpp>
#include <lapwright/length.hpp>
#include <lapwright/runs.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Steeper lower edges get no starter: 24 in 12.
inline constexpr double steepest_starter = 2;
/// A run's vertex this near the line of its neighbours is none.
inline constexpr double run_straight = tolerance / 4;

/// A stretch of a lower edge of the region on which something was laid.
struct LaidOn {
  std::int32_t tag = 0;  // boundary index; -1: the first line itself
  Point from, to;        // left to right
};

class RunFinder {
public:
  RunFinder(const Wall& wall, const Region& region, const Pole& pole, const WallCourses& courses,
            const Rules& rules, Runs& out)
      : wall_(wall), region_(region), pole_(pole), courses_(courses), rules_(rules), out_(out) {}

  void find() {
    if (courses_.last_course < courses_.first_course || region_.parts.empty()) return;
    report_bare();
    const int first = std::max(courses_.first_course, pole_.built);
    for (std::size_t i = 0; i < region_.boundary.size(); ++i)
      bands_.add_edge(region_.boundary[i].a, region_.boundary[i].b, static_cast<std::int32_t>(i));
    for (int k = first; k <= courses_.last_course; ++k) {
      const double low = pole_.lines[static_cast<std::size_t>(k)];
      const double high = low + rules_.board.width;
      // Nothing covers the last course.
      const double shown = k < courses_.last_course ? pole_.lines[static_cast<std::size_t>(k) + 1] : high + 1;
      take_band(k, low, high, shown, k == first && courses_.first_course >= pole_.built);
    }
    lay_starters();
  }

private:
  // --- parts ---------------------------------------------------------------------------------

  bool over_opening(std::int32_t tag) const {
    return tag >= 0 && region_.boundary[static_cast<std::size_t>(tag)].opening >= 0;
  }

  static double height0(const SweepCell& c) { return c.upper0 - c.lower0; }
  static double height1(const SweepCell& c) { return c.upper1 - c.lower1; }

  bool low(const SweepCell& c) const {
    const double leg = rules_.cutting.min_leg, h0 = height0(c), h1 = height1(c);
    return (h0 + h1) / 2 < leg - tolerance && std::max(h0, h1) <= leg + tolerance;
  }
  static bool level(const SweepCell& c) {
    return std::abs(c.lower0 - c.lower1) <= tolerance && std::abs(c.upper0 - c.upper1) <= tolerance;
  }
  static bool shows(const SweepCell& c, double shown) {
    return std::min(c.lower0, c.lower1) < shown - tolerance;
  }

  /// Columns of the band; parts wholly hidden over an opening, or over a level edge of the wall, are left
  /// out.
  void sweep_parts(double shown) {
    ColumnSweep& sweep = bands_.sweep;
    bands_.sweep_columns(tolerance);
    for (SweepCell& c : sweep.cells) {
      const bool drops =
          over_opening(c.lower) || (c.lower >= 0 && std::abs(c.lower0 - c.lower1) <= tolerance);
      c.group = drops && !shows(c, shown) ? -1 : 0;
    }
  }

  void take_band(int course, double low_line, double high_line, double shown, bool nothing_below) {
    bands_.cut(low_line, high_line);
    ColumnSweep& sweep = bands_.sweep;
    for (const SweepEdge& e : sweep.edges)
      if (e.enter > 0 && e.y0 != e.y1 && over_opening(e.tag) && (e.y0 < shown) != (e.y1 < shown))
        sweep.events.push_back(e.x0 + (e.x1 - e.x0) * ((shown - e.y0) / (e.y1 - e.y0)));
    sweep_parts(shown);
    if (cut_at_min_leg()) sweep_parts(shown);
    split_legs();
    collect(course, shown, nothing_below);
  }

  /// Where a stretch may be a neck, parts are cut upright where they grow past min_leg.
  bool cut_at_min_leg() {
    ColumnSweep& sweep = bands_.sweep;
    const double leg = rules_.cutting.min_leg;
    const auto crosses = [&](const SweepCell& c) {
      return std::min(height0(c), height1(c)) < leg - tolerance &&
             std::max(height0(c), height1(c)) > leg + tolerance;
    };
    bool any = false;
    sweep.for_contacts(tolerance, [&](std::size_t left, std::size_t right) {
      const SweepCell &a = sweep.cells[left], &b = sweep.cells[right];
      any = any || (crosses(a) && height1(a) < height0(a)) || (crosses(b) && height0(b) < height1(b));
    });
    if (!any) return false;
    for (const SweepCell& c : sweep.cells)
      if (c.group >= 0 && crosses(c))
        sweep.events.push_back(c.x0 + (c.x1 - c.x0) * ((leg - height0(c)) / (height1(c) - height0(c))));
    return true;
  }

  // --- legs ----------------------------------------------------------------------------------

  /// Marks the cells of legs in filler_, and groups the cells into runs and fillers.
  void split_legs() {
    ColumnSweep& sweep = bands_.sweep;
    const std::size_t count = sweep.cells.size();
    filler_.assign(count, false);
    bool any_low = false;
    for (SweepCell& c : sweep.cells)
      if (c.group >= 0) {
        c.group = low(c) ? 1 : 0;
        any_low = any_low || c.group == 1;
      }
    if (any_low) {
      low_cell_.resize(count);
      for (std::size_t i = 0; i < count; ++i) low_cell_[i] = sweep.cells[i].group == 1;
      // Stretches: what is low, or not, and hangs together.
      const std::int32_t stretches = sweep.connect(tolerance);
      touches_.clear();
      sweep.for_contacts(tolerance, [&](std::size_t left, std::size_t right) {
        const std::int32_t a = sweep.cells[left].group, b = sweep.cells[right].group;
        if (a != b) touches_.push_back({a, b});
      });
      std::vector<char> is_low(static_cast<std::size_t>(stretches), false);
      std::vector<char> all_level(static_cast<std::size_t>(stretches), true);
      for (std::size_t i = 0; i < count; ++i) {
        if (sweep.cells[i].group < 0) continue;
        const auto s = static_cast<std::size_t>(sweep.cells[i].group);
        is_low[s] = low_cell_[i];
        all_level[s] = all_level[s] && level(sweep.cells[i]);
      }
      for (std::int32_t s = 0; s < stretches; ++s) {
        if (!is_low[static_cast<std::size_t>(s)]) continue;
        bool at_left = false, at_right = false;
        for (const auto& [left, right] : touches_) {
          at_left = at_left || right == s;
          at_right = at_right || left == s;
        }
        if (!at_left && !at_right) continue;  // a whole run
        const bool leg =
            at_left && at_right ? parts_run(s, stretches) : all_level[static_cast<std::size_t>(s)];
        if (!leg) continue;
        for (std::size_t i = 0; i < count; ++i)
          if (sweep.cells[i].group == s) filler_[i] = true;
      }
    }
    for (std::size_t i = 0; i < count; ++i)
      if (sweep.cells[i].group >= 0) sweep.cells[i].group = filler_[i] ? 1 : 0;
    groups_ = sweep.connect(tolerance);
  }

  /// Without stretch s, something on its left no longer hangs together with something on its right: a neck. A
  /// stretch above or below a hole has another way round.
  bool parts_run(std::int32_t s, std::int32_t stretches) {
    reached_.assign(static_cast<std::size_t>(stretches), false);
    std::int32_t start = -1;
    for (const auto& [left, right] : touches_)
      if (right == s && start < 0) start = left;
    reached_[static_cast<std::size_t>(start)] = true;
    for (bool more = true; more;) {
      more = false;
      for (const auto& [left, right] : touches_) {
        if (left == s || right == s) continue;
        const auto a = static_cast<std::size_t>(left), b = static_cast<std::size_t>(right);
        if (reached_[a] == reached_[b]) continue;
        reached_[a] = reached_[b] = true;
        more = true;
      }
    }
    for (const auto& [left, right] : touches_)
      if ((left == s && !reached_[static_cast<std::size_t>(right)]) ||
          (right == s && !reached_[static_cast<std::size_t>(left)]))
        return true;
    return false;
  }

  // --- runs ----------------------------------------------------------------------------------

  struct Group {
    bool filler = false, shows = false, all_low = true;
    double x_min = 0, x_max = 0, highest = 0;
    bool laid = false;
    bool empty = true;
    Run run;
    double greatest = 0;  // area of the outer ring
  };

  void collect(int course, double shown, bool nothing_below) {
    ColumnSweep& sweep = bands_.sweep;
    group_.clear();
    group_.resize(static_cast<std::size_t>(groups_));
    for (std::size_t i = 0; i < sweep.cells.size(); ++i) {
      const SweepCell& c = sweep.cells[i];
      if (c.group < 0) continue;
      Group& g = group_[static_cast<std::size_t>(c.group)];
      g.x_min = g.empty ? c.x0 : std::min(g.x_min, c.x0);
      g.x_max = g.empty ? c.x1 : std::max(g.x_max, c.x1);
      g.empty = false;
      g.filler = filler_[i];
      g.shows = g.shows || shows(c, shown);
      g.all_low = g.all_low && low(c);
      g.highest = std::max({g.highest, height0(c), height1(c)});
    }
    for (Group& g : group_) {
      const double least = 2 * rules_.fasteners.end_edge;
      if (!g.shows) {
        if (!g.filler) report_hidden(course, g);
      } else if (g.x_max - g.x_min < least - tolerance) {
        report_infill(course, g, least);
      } else {
        g.laid = true;
      }
    }
    for (SweepCell& c : sweep.cells)
      if (c.group >= 0 && !group_[static_cast<std::size_t>(c.group)].laid) c.group = -1;
    collect_lower_edges(shown, nothing_below);
    sweep.trace(tolerance, run_straight);
    for (const ColumnSweep::Traced& traced : sweep.rings) {
      Group& g = group_[static_cast<std::size_t>(traced.group)];
      const auto begin = sweep.ring_points.begin();
      Ring ring(begin + static_cast<std::ptrdiff_t>(traced.first),
                begin + static_cast<std::ptrdiff_t>(traced.last));
      if (traced.area < 0) {
        g.run.shape.holes.push_back(std::move(ring));
      } else if (traced.area > g.greatest) {
        g.greatest = traced.area;
        g.run.shape.outer = std::move(ring);
      }
    }
    const std::size_t first = out_.runs.size();
    order_.clear();
    for (Group& g : group_)
      if (g.laid && !g.run.shape.outer.empty()) order_.push_back(&g);
    nearly_sort(order_, [](const Group* a, const Group* b) {
      if (a->filler != b->filler) return b->filler;
      if (a->x_min != b->x_min) return a->x_min < b->x_min;
      const Point p = a->run.shape.outer.front(), q = b->run.shape.outer.front();
      return p.y != q.y ? p.y < q.y : a < b;
    });
    int fillers = 0;
    for (Group* g : order_) {
      Run run = std::move(g->run);
      const Box box = bounds(run.shape.outer);
      run.course = course;
      run.filler = g->filler;
      run.x_min = box.x_min;
      run.x_max = box.x_max;
      if (g->filler)
        report_filler(course, *g, ++fillers);
      else if (g->all_low)
        report_low(course, *g);
      out_.runs.push_back(std::move(run));
    }
    for (std::size_t i = first; i < out_.runs.size(); ++i)
      if (!out_.runs[i].filler) report_thin_legs(course, out_.runs[i]);
  }

  // --- starters ------------------------------------------------------------------------------

  void collect_lower_edges(double shown, bool nothing_below) {
    const auto put = [&](std::int32_t tag, Point from, Point to) {
      if (to.x - from.x > tolerance) laid_on_.push_back({tag, from, to});
    };
    std::vector<BandSweep::Bottom>& bottoms = bands_.bottoms;
    std::sort(bottoms.begin(), bottoms.end(), [](const BandSweep::Bottom& a, const BandSweep::Bottom& b) {
      return a.x0 != b.x0 ? a.x0 < b.x0 : a.tag < b.tag;
    });
    for (const SweepCell& c : bands_.sweep.cells) {
      if (c.group < 0) continue;
      if (c.lower >= 0) {
        const Boundary& edge = region_.boundary[static_cast<std::size_t>(c.lower)];
        const double rise = std::abs(edge.b.y - edge.a.y), run = std::abs(edge.b.x - edge.a.x);
        if (rise > steepest_starter * run || (edge.opening >= 0 && rise > tolerance)) continue;
        Point from{c.x0, c.lower0}, to{c.x1, c.lower1};
        if (from.y >= shown - tolerance && to.y >= shown - tolerance) continue;
        // The slope above the next line is the next course's.
        if ((from.y > shown) != (to.y > shown)) {
          const Point p{from.x + (to.x - from.x) * ((shown - from.y) / (to.y - from.y)), shown};
          (from.y > shown ? from : to) = p;
        }
        put(c.lower, from, to);
        continue;
      }
      double x = c.x0;
      for (const BandSweep::Bottom& b : bottoms) {
        if (b.x1 <= c.x0 || b.x0 >= c.x1) continue;
        if (nothing_below) put(-1, {x, c.lower0}, {std::max(x, b.x0), c.lower0});
        put(b.tag, {std::max(b.x0, c.x0), c.lower0}, {std::min(b.x1, c.x1), c.lower0});
        x = std::max(x, std::min(b.x1, c.x1));
      }
      if (nothing_below) put(-1, {x, c.lower0}, {c.x1, c.lower0});
    }
  }

  void lay_starters() {
    std::vector<Starter> all;
    for (const LaidOn& on : laid_on_) {
      Starter s;
      s.from = on.from;
      s.to = on.to;
      s.width = starter_width(rules_);
      if (on.tag >= 0) {
        const Boundary& edge = region_.boundary[static_cast<std::size_t>(on.tag)];
        s.where = edge.opening >= 0           ? StarterPlace::head
                  : edge.meets == Meets::base ? StarterPlace::base
                                              : StarterPlace::roof;
      }
      all.push_back(std::move(s));
    }
    // Stretches that go on in one line are one strip.
    std::stable_sort(all.begin(), all.end(), [](const Starter& a, const Starter& b) {
      if (a.where != b.where) return a.where < b.where;
      if (a.from.x != b.from.x) return a.from.x < b.from.x;
      return a.from.y < b.from.y;
    });
    std::vector<Starter> merged;
    for (const Starter& s : all) {
      Starter* before = nullptr;
      for (auto m = merged.rbegin(); m != merged.rend() && m->where == s.where; ++m)
        if (std::abs(m->to.x - s.from.x) <= 4 * tolerance && std::abs(m->to.y - s.from.y) <= 4 * tolerance &&
            distance_to_segment(m->to, m->from, s.to) <= 4 * tolerance) {
          before = &*m;
          break;
        }
      if (before != nullptr)
        before->to = s.to;
      else
        merged.push_back(s);
    }
    std::stable_sort(merged.begin(), merged.end(), [](const Starter& a, const Starter& b) {
      const double y = std::min(a.from.y, a.to.y), z = std::min(b.from.y, b.to.y);
      if (y != z) return y < z;
      if (a.from.x != b.from.x) return a.from.x < b.from.x;
      return a.to.x < b.to.x;
    });
    for (std::size_t i = 0; i < merged.size(); ++i) merged[i].id = wall_.name + "-s" + std::to_string(i);
    out_.starters = std::move(merged);
  }

  // --- findings ------------------------------------------------------------------------------

  static std::string inches(double length) { return format_length(length) + " in"; }

  Finding& report(const char* code, Severity severity, int course, double measured, double limit,
                  std::string message) {
    Finding f;
    f.code = code;
    f.severity = severity;
    f.wall = wall_.name;
    f.course = course;
    f.measured = measured;
    f.limit = limit;
    f.message = std::move(message);
    out_.findings.push_back(std::move(f));
    return out_.findings.back();
  }

  void report_bare() {
    const double first = pole_.lines[static_cast<std::size_t>(courses_.first_course)];
    double lowest = first;
    for (const Boundary& b : region_.boundary) lowest = std::min({lowest, b.a.y, b.b.y});
    if (first - lowest <= tolerance) return;
    report("bare_below_first_line", Severity::warning, courses_.first_course, first - lowest, 0,
           "the wall reaches " + inches(first - lowest) +
               " below its first course line; that part is left bare");
  }
  void report_hidden(int course, const Group& g) {
    report("hidden_sliver", Severity::note, course, g.x_max - g.x_min, 0,
           "a stretch " + inches(g.x_max - g.x_min) + " long from x = " + inches(g.x_min) +
               " lies wholly behind the next course and is not laid");
  }
  void report_infill(int course, const Group& g, double least) {
    report("infill", Severity::warning, course, g.x_max - g.x_min, least,
           "the gap at x = " + inches(g.x_min) + " is " + inches(g.x_max - g.x_min) +
               " wide, too narrow for a nail; close it with trim or sealant");
  }
  /// What is lower than a division is laid like anything else, for the cover's sake, but no tool makes it.
  bool under_division(const Group& g) const { return g.highest < rules_.courses.division - tolerance; }
  std::string no_strip(const Group& g) const {
    return "the strip at x = " + inches(g.x_min) + " to " + inches(g.x_max) + " is lower than " +
           inches(rules_.courses.division) +
           ": no tool makes it; close it with sealant, or move the edge above or below it";
  }
  void report_filler(int course, const Group& g, int number) {
    const bool sliver = under_division(g);
    Finding& f = report("filler", sliver ? Severity::warning : Severity::note, course, g.highest,
                        rules_.cutting.min_leg,
                        sliver ? no_strip(g)
                               : "a leg " + inches(g.highest) + " high at x = " + inches(g.x_min) + " to " +
                                     inches(g.x_max) + " would snap; it is cut as a filler of its own");
    f.piece =
        wall_.name + (course < 10 ? "-0" : "-") + std::to_string(course) + "-f" + std::to_string(number);
  }
  void report_low(int course, const Group& g) {
    report("low_last_course", Severity::warning, course, g.highest, rules_.cutting.min_leg,
           under_division(g) ? no_strip(g)
                             : "the course is only " + inches(g.highest) + " high at x = " + inches(g.x_min) +
                                   " to " + inches(g.x_max) + "; handle it as a strip");
  }

  struct Side {
    double x, low, high;
  };

  /// Upright legs: two upright sides, face to face, nearer than min_leg.
  void report_thin_legs(int course, const Run& run) {
    if (run.shape.outer.size() <= 4 && run.shape.holes.empty()) return;  // its sides are the run's ends
    const double leg = rules_.cutting.min_leg;
    std::vector<Side>&left = side_left_, &right = side_right_;  // with boards on their right, on their left
    left.clear();
    right.clear();
    const auto gather = [&](const Ring& ring) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point a = ring[i], b = ring[(i + 1) % ring.size()];
        if (std::abs(a.x - b.x) > tolerance || std::abs(a.y - b.y) < leg - tolerance) continue;
        (a.y > b.y ? left : right).push_back({a.x, std::min(a.y, b.y), std::max(a.y, b.y)});
      }
    };
    gather(run.shape.outer);
    for (const Ring& hole : run.shape.holes) gather(hole);
    const auto by_x = [](const Side& a, const Side& b) { return a.x != b.x ? a.x < b.x : a.low < b.low; };
    std::sort(left.begin(), left.end(), by_x);
    std::sort(right.begin(), right.end(), by_x);
    for (const Side& l : left) {
      auto r = std::lower_bound(right.begin(), right.end(), Side{l.x + tolerance, 0, 0}, by_x);
      for (; r != right.end() && r->x - l.x < leg - tolerance; ++r) {
        if (std::min(l.high, r->high) - std::max(l.low, r->low) < leg - tolerance) continue;
        if (run.x_max - run.x_min <= r->x - l.x + tolerance) break;
        report("thin_leg", Severity::warning, course, r->x - l.x, leg,
               "an upright leg " + inches(r->x - l.x) + " wide at x = " + inches(l.x) +
                   " may snap; carry the piece by its body and cut it last");
        break;
      }
    }
  }

  const Wall& wall_;
  const Region& region_;
  const Pole& pole_;
  const WallCourses& courses_;
  const Rules& rules_;
  Runs& out_;
  BandSweep bands_;
  std::int32_t groups_ = 0;
  std::vector<char> filler_, low_cell_, reached_;
  std::vector<std::pair<std::int32_t, std::int32_t>> touches_;
  std::vector<Group> group_;
  std::vector<Group*> order_;
  std::vector<Side> side_left_, side_right_;
  std::vector<LaidOn> laid_on_;
};

}  // namespace detail

LAPW_INLINE Runs find_runs(const Wall& wall, const Region& region, const Pole& pole,
                           const WallCourses& courses, const Rules& rules) {
  Runs runs;
  detail::RunFinder(wall, region, pole, courses, rules, runs).find();
  return runs;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
