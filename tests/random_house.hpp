#pragma once
/// \file random_house.hpp  Houses from a seed, for every test that wants jobs that nobody thought of.
///
/// random_house(seed) is a valid job (check_job finds no fault): several walls that share a pole; rectangles,
/// gables, sheds, stepped, sloped and roofed bases, stepped tops; windows, doors, bands of windows, polygons;
/// studs at several spacings or listed one by one, plates and blocking; three course modes, inch and
/// millimetre grids; rules of joints, stock lengths, prices and offcuts on hand. Planning may still refuse
/// one in a few hundred, for a reason that only planning finds (a run with no stud to carry its joint). The
/// same seed gives the same house on every machine: no std:: distribution, no floating-point function but
/// exact ones. job_text writes any job as the job document.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <string>
#include <vector>

#include <lapwright/job.hpp>
#include <lapwright/length.hpp>

namespace lapwright_test {

/// splitmix64.
struct Random {
  std::uint64_t state;
  /// Seeds that follow one another must not give one stream, a step apart.
  explicit Random(std::uint64_t seed) : state(0x1234567u + seed * 0xD1342543DE82EF95u) {
    state = next() ^ seed;
  }
  std::uint64_t next() {
    std::uint64_t z = (state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
  }
  /// A whole number from low to high, both included.
  int whole(int low, int high) {
    const auto span = static_cast<std::uint64_t>(high - low + 1);
    return low + static_cast<int>(next() % span);
  }
  /// True once in n.
  bool once_in(int n) { return whole(1, n) == 1; }
  template <class T>
  T of(std::initializer_list<T> all) {
    return all.begin()[whole(0, static_cast<int>(all.size()) - 1)];
  }
};

struct HouseOptions {
  int most_walls = 4;
  double most_width = 400;   ///< in, of a wall
  double most_height = 150;  ///< in, of a wall's upright corners; gables come on top
  int most_openings = 6;     ///< of a wall
  bool metric = true;        ///< some houses are measured in millimetres
  bool plain = false;        ///< default rules, rectangles and gables only
};

namespace random_house_detail {

using lapwright::Box;
using lapwright::Edge;
using lapwright::EdgeKind;
using lapwright::Opening;
using lapwright::Point;
using lapwright::Ring;
using lapwright::Wall;

inline double cross(Point a, Point b, Point c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/// Even-odd, half-open; callers keep the point off the ring, or do not care.
inline bool inside(const Ring& ring, Point p) {
  bool in = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Point a = ring[i], b = ring[j];
    if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) in = !in;
  }
  return in;
}

/// Whether the open segments cross or overlap, or an end of one lies inside the other.
inline bool crosses(Point a, Point b, Point c, Point d) {
  const double s = cross(a, b, c), t = cross(a, b, d), u = cross(c, d, a), v = cross(c, d, b);
  return ((s > 0 && t < 0) || (s < 0 && t > 0)) && ((u > 0 && v < 0) || (u < 0 && v > 0));
}

/// Whether a convex ring lies in a simple one, edges allowed to touch. Shrunk a little, so that touching is
/// in.
inline bool ring_inside(const Ring& outer, const Ring& inner) {
  Point c{0, 0};
  for (Point p : inner) c = {c.x + p.x / double(inner.size()), c.y + p.y / double(inner.size())};
  Ring shrunk;
  for (Point p : inner) shrunk.push_back({p.x + (c.x - p.x) * 1e-9, p.y + (c.y - p.y) * 1e-9});
  for (std::size_t i = 0; i < shrunk.size(); ++i) {
    if (!inside(outer, shrunk[i])) return false;
    for (std::size_t j = 0; j < outer.size(); ++j)
      if (crosses(shrunk[i], shrunk[(i + 1) % shrunk.size()], outer[j], outer[(j + 1) % outer.size()]))
        return false;
  }
  for (Point p : outer)
    if (inside(shrunk, p)) return false;
  return true;
}

inline Box box_of(const Ring& ring) {
  Box b{ring[0].x, ring[0].y, ring[0].x, ring[0].y};
  for (Point p : ring) {
    b.x_min = std::min(b.x_min, p.x);
    b.x_max = std::max(b.x_max, p.x);
    b.y_min = std::min(b.y_min, p.y);
    b.y_max = std::max(b.y_max, p.y);
  }
  return b;
}

struct Maker {
  Random r;
  HouseOptions options;
  double unit = 1;  ///< inches in one step of the measure: 1, or 1 mm
  int scale = 1;    ///< steps in about one inch

  /// A length between low and high inches, on the tape's grid (sixteenths, or whole millimetres).
  double length(double low, double high) {
    if (scale == 1) {
      const int part = r.of({1, 1, 2, 4, 16});
      return r.whole(static_cast<int>(low) * part, static_cast<int>(high) * part) / double(part);
    }
    const int step = r.of({1, 5, 10, 50});
    return lapwright::snap(
        r.whole(static_cast<int>(low * 25.4) / step + 1,
                std::max(static_cast<int>(low * 25.4) / step + 1, static_cast<int>(high * 25.4) / step)) *
        step / 25.4);
  }

  Edge edge(EdgeKind kind) {
    Edge e = lapwright::default_edge(kind);
    if (options.plain) return e;
    if (kind != EdgeKind::base && kind != EdgeKind::roof && r.once_in(4)) e.trim = r.whole(0, 12) / 2.0;
    if (kind != EdgeKind::base && r.once_in(4)) e.gap = r.whole(0, 8) / 16.0;
    if (kind == EdgeKind::base && r.once_in(10)) e.trim = r.whole(1, 6);
    return e;
  }

  void outline(Wall& w, double base) {
    using K = EdgeKind;
    const double width = length(60, options.most_width);
    const double h = length(48, options.most_height);
    const auto add = [&](double x, double y, K kind) {
      w.outline.push_back({lapwright::snap(x), lapwright::snap(base + y)});
      w.edges.push_back(edge(kind));
    };
    const double up = lapwright::snap(h);
    const K left = r.once_in(8) ? K::wall : K::corner;
    const K right = r.once_in(8) ? K::wall : K::corner;
    // The base, left to right; each add names the edge that leaves the point.
    int base_kind = options.plain ? 0 : r.whole(0, 9);
    if (width < 120) base_kind = 0;
    double right_foot = 0;
    if (base_kind == 6) {  // one step up
      const double x = length(40, width - 40), s = length(3, 40);
      add(0, 0, K::base), add(x, 0, K::base), add(x, s, K::base), add(width, s, right);
      right_foot = s;
    } else if (base_kind == 7) {  // one step down: the lower part at the right
      const double x = length(40, width - 40), s = length(3, 40);
      add(0, s, K::base), add(x, s, K::base), add(x, 0, K::base), add(width, 0, right);
    } else if (base_kind == 8) {  // a lower roof meets the wall from below
      const double x = length(30, width - 60), rise = r.whole(2, 12) / 12.0;
      const double s = lapwright::snap(std::min((width - x) * rise, up - 24));
      add(0, 0, K::base), add(x, 0, K::roof), add(width, s, right);
      right_foot = s;
    } else if (base_kind == 9) {  // sloped ground
      const double s = length(1, 30);
      add(0, s, K::base), add(width, 0, right);
    } else {
      add(0, 0, K::base), add(width, 0, right);
    }
    const double right_top = std::max(up, lapwright::snap(right_foot + 24));
    int top = options.plain ? r.whole(0, 4) : r.whole(0, 9);
    const double pitch = r.whole(2, 16) / 12.0;
    const double left_foot = w.outline[0].y - base;
    const double left_top = std::max(up, lapwright::snap(left_foot + 24));
    const double flat = std::max(left_top, right_top);
    if (top <= 2) {  // level
      add(width, flat, K::top), add(0, flat, left);
    } else if (top <= 5) {  // gable
      const double x = r.once_in(2) ? width / 2 : length(20, width - 20);
      const double rise = lapwright::snap(std::min(pitch * width / 2, 160.0));
      add(width, right_top, K::rake), add(x, flat + rise, K::rake), add(0, left_top, left);
    } else if (top == 6) {  // shed
      add(width, lapwright::snap(right_top + std::min(pitch * width, 120.0)), K::rake),
          add(0, left_top, left);
    } else if (top == 7) {  // level with a lower part at the left
      const double x = length(20, width - 20), s = length(10, 60);
      add(width, flat + s, K::top), add(x, flat + s, K::corner), add(x, flat, K::top), add(0, flat, left);
    } else if (top == 8) {  // a clipped gable
      const double x = length(30, width / 2), s = lapwright::snap(std::min(pitch * x, 100.0));
      add(width, flat, K::rake), add(width - x, flat + s, K::top), add(x, flat + s, K::rake),
          add(0, flat, left);
    } else {  // two slopes of one side
      const double x = length(30, width - 25), s = lapwright::snap(pitch * (width - x) / 2 + 1);
      add(width, flat, K::rake), add(x, flat + s, K::rake), add(0, flat + s + length(1, 30), left);
    }
    if (!options.plain && r.once_in(5)) {  // measured the other way round
      std::reverse(w.outline.begin(), w.outline.end());
      std::reverse(w.edges.begin(), w.edges.end());
      std::rotate(w.edges.begin(), w.edges.begin() + 1, w.edges.end());
    }
    // A repeated point or a straight corner is no house: none of the shapes above makes one but by chance.
    for (std::size_t i = 0; i < w.outline.size();) {
      const std::size_t n = w.outline.size();
      if (n > 3 && w.outline[i] == w.outline[(i + 1) % n]) {
        w.outline.erase(w.outline.begin() + static_cast<std::ptrdiff_t>(i));
        w.edges.erase(w.edges.begin() + static_cast<std::ptrdiff_t>(i));
      } else {
        ++i;
      }
    }
  }

  bool place(Wall& w, std::vector<Box>& taken, Opening o) {
    if (!ring_inside(w.outline, o.outline)) return false;
    const Box b = box_of(o.outline);
    for (const Box& t : taken)
      if (b.x_min < t.x_max && t.x_min < b.x_max && b.y_min < t.y_max && t.y_min < b.y_max) return false;
    taken.push_back(b);
    o.name = "O" + std::to_string(w.openings.size() + 1);
    w.openings.push_back(std::move(o));
    return true;
  }

  void openings(Wall& w) {
    const Box b = box_of(w.outline);
    std::vector<Box> taken;
    int wanted = r.whole(0, options.most_openings);
    for (int tries = 0; tries < 60 && static_cast<int>(w.openings.size()) < wanted; ++tries) {
      const double trim = options.plain ? 3.5 : r.of({3.5, 3.5, 3.5, 4.5, 2.5, 0.0});
      const int kind = r.whole(0, 9);
      if (kind <= 1) {  // a door: its sill on the base
        const double width = length(24, 96), height = length(60, 84);
        const double x = length(0, std::max(1.0, b.x_max - width));
        double foot = 0;
        bool found = false;
        for (std::size_t i = 0; i < w.outline.size(); ++i) {
          const Point p = w.outline[i], q = w.outline[(i + 1) % w.outline.size()];
          if (w.edges[i].kind != EdgeKind::base || p.y != q.y) continue;
          if (std::min(p.x, q.x) <= x && x + width <= std::max(p.x, q.x)) foot = p.y, found = true;
        }
        if (!found) continue;
        Opening o = lapwright::rectangular_opening("", {x, foot}, width, height, trim);
        snap_all(o);
        o.trim[0] = 0;
        o.gap[0] = r.once_in(2) ? 0 : 0.125;
        place(w, taken, std::move(o));
      } else if (kind == 2 && !options.plain) {  // any convex polygon
        static constexpr double round[12][2] = {{1, 0},       {.875, .5},  {.5, .875},  {0, 1},
                                                {-.5, .875},  {-.875, .5}, {-1, 0},     {-.875, -.5},
                                                {-.5, -.875}, {0, -1},     {.5, -.875}, {.875, -.5}};
        const double size = length(6, 16);
        const Point c{length(0, b.x_max), lapwright::snap(b.y_min + length(0, b.y_max - b.y_min))};
        const int step = r.of({1, 2, 3, 4});
        const int turn = r.whole(0, 2);
        Opening o;
        for (int i = 0; i < 12; i += step)
          o.outline.push_back({lapwright::snap(c.x + size * round[(i + turn) % 12][0]),
                               lapwright::snap(c.y + size * round[(i + turn) % 12][1])});
        o.trim.assign(o.outline.size(), trim);
        o.gap.assign(o.outline.size(), 0.125);
        place(w, taken, std::move(o));
      } else {
        const double width = length(8, 80), height = length(8, 70);
        const Point at{length(0, std::max(1.0, b.x_max - width)),
                       lapwright::snap(b.y_min + length(0, std::max(1.0, b.y_max - b.y_min - height)))};
        Opening o = lapwright::rectangular_opening("", at, width, height, trim);
        snap_all(o);
        if (!options.plain && r.once_in(6)) o.trim[0] = 1.5;
        const Opening kept = o;
        if (place(w, taken, std::move(o)) && r.once_in(5)) {  // a band: the same again beside it
          Opening twin = kept;
          const double apart = length(0, 12);
          for (Point& p : twin.outline) p.x = lapwright::snap(p.x + width + apart);
          place(w, taken, std::move(twin));
        }
      }
    }
  }
  static void snap_all(Opening& o) {
    for (Point& p : o.outline) p = {lapwright::snap(p.x), lapwright::snap(p.y)};
    // A rectangle stays one after snapping.
    o.outline[1].y = o.outline[0].y;
    o.outline[2].x = o.outline[1].x;
    o.outline[3] = {o.outline[0].x, o.outline[2].y};
  }

  void framing(Wall& w) {
    lapwright::Framing& f = w.framing;
    const Box b = box_of(w.outline);
    if (!options.plain) {
      f.spacing = scale == 1 ? r.of({16.0, 16.0, 16.0, 24.0, 12.0, 19.1875})
                             : lapwright::snap(r.of({400.0, 600.0, 450.0}) / 25.4);
      f.first = lapwright::snap(r.of({0.75, 0.0, 15.25, 8.0, 3.5}));
      if (r.once_in(8)) {  // listed one by one
        const double bay = r.of({16.0, 14.5, 20.0});
        for (double x = b.x_min + r.whole(1, 16); x < b.x_max; x += bay + r.whole(-4, 4) / 4.0)
          f.studs.push_back(lapwright::snap(x));
        f.spacing = 0;
      } else if (r.once_in(4)) {
        f.studs.push_back(length(b.x_min, b.x_max));
      }
      f.opening_stud = r.of({3.0, 3.0, 1.5});
      f.around_openings = !r.once_in(8);
    }
    if (!r.once_in(4)) f.members.push_back({b.x_min, b.y_min, b.x_max, b.y_min + 1.5});
    if (!r.once_in(4)) {
      const double y = lapwright::snap(b.y_min + 45);
      f.members.push_back({b.x_min, y, b.x_max, lapwright::snap(y + 1.5)});
    }
    for (const Opening& o : w.openings)
      if (o.rectangle && r.once_in(2)) {
        const Box ob = box_of(o.outline);
        f.members.push_back({ob.x_min, ob.y_max, ob.x_max, lapwright::snap(ob.y_max + 5.5)});
      }
  }

  void rules(lapwright::Rules& rules) {
    auto& board = rules.board;
    board.lengths = {144};
    if (options.plain) return;
    if (scale != 1) {
      board.lengths = {lapwright::snap(3600 / 25.4)};
      rules.courses.division = 1 / 25.4;
      rules.courses.max_step = 3 / 25.4;
      if (r.once_in(2)) board.lengths = {lapwright::snap(3000 / 25.4), lapwright::snap(4200 / 25.4)};
    } else if (r.once_in(3)) {
      board.lengths = r.once_in(2) ? std::vector<double>{96, 144} : std::vector<double>{144, 192};
      if (r.once_in(2)) board.prices = {1.0, board.lengths[0] == 96 ? 1.45 : 1.3};
    }
    if (r.once_in(4)) {
      board.width = r.of({7.25, 9.25, 12.0, 6.25});
      if (r.once_in(2)) rules.courses.max_exposure = board.width - 1.5;
    }
    if (r.once_in(6)) board.turnable = false;
    if (r.once_in(5))
      for (int i = r.whole(1, 4); i > 0; --i)
        board.offcuts.push_back({double(r.whole(20, 140)), r.once_in(2), r.once_in(2)});
    rules.courses.mode = r.of({lapwright::CourseMode::fitted, lapwright::CourseMode::fitted,
                               lapwright::CourseMode::full, lapwright::CourseMode::even});
    if (r.once_in(5)) rules.courses.min_strip = r.of({0.75, 2.0, 2.5});
    auto& joints = rules.joints;
    if (r.once_in(4)) joints.gap = r.of({0.125, 0.0625});
    if (r.once_in(5)) joints.stagger = r.of({16.0, 24.0, 48.0});
    if (r.once_in(5)) joints.repeat_after = r.whole(1, 4);
    if (r.once_in(5)) joints.min_piece = r.of({12.0, 24.0});
    if (r.once_in(6)) joints.factory_ends = false;
    if (r.once_in(6)) joints.price = r.of({0.0, 0.02});
    if (r.once_in(5)) rules.cutting.kerf = r.of({0.0, 0.0625, 0.25});
    if (r.once_in(6)) rules.cutting.min_leg = r.of({1.5, 3.0});
    if (r.once_in(8)) rules.starter.width = 1.5;
    if (r.once_in(2)) rules.trim = lapwright::TrimRules{r.of({1.0, 1.25, 0.625})};
    if (r.once_in(4)) rules.sheathing.holds_nails = false;
    if (r.once_in(6)) rules.fasteners.max_spacing = r.of({8.0, 12.0, 24.0});
    if (r.once_in(6)) rules.fasteners.end_reach = r.of({2.0, 6.0});
    if (r.once_in(2)) rules.staging.rating = 25;
    if (r.once_in(4)) rules.allowance = 0.05;
  }

  lapwright::Job job(std::uint64_t seed) {
    lapwright::Job j;
    j.name = "house " + std::to_string(seed);
    if (options.metric && !options.plain && r.once_in(4)) scale = 25;
    rules(j.rules);
    const double e = lapwright::greatest_exposure(j.rules);
    const int walls = r.whole(1, options.most_walls);
    for (int i = 0; i < walls; ++i) {
      Wall w;
      w.name = std::string(1, static_cast<char>('A' + i));
      double base = 0;
      if (i > 0 && !options.plain && r.once_in(2)) base = length(1, 60);
      base = lapwright::snap(base);
      outline(w, base);
      if (!options.plain) openings(w);
      if (options.plain && r.once_in(2)) openings(w);
      framing(w);
      // Starts that lines can meet: the lowest wall's own; others' as wide as one course.
      if (i == 0 && r.once_in(2)) w.start = lapwright::Interval{base - 0.5, base + 0.5};
      if (i > 0 && r.once_in(3)) {
        const double reach = lapwright::snap(e / 2 + 0.125);
        w.start = lapwright::Interval{base - reach, base + reach};
      }
      j.walls.push_back(std::move(w));
    }
    return j;
  }
};

}  // namespace random_house_detail

inline lapwright::Job random_house(std::uint64_t seed, const HouseOptions& options = {}) {
  random_house_detail::Maker maker{Random(seed), options, 1, 1};
  return maker.job(seed);
}

/// A job as the job document, in inches, every group written out. The reader gives the same job back, but for
/// `defaults_used`.
inline std::string job_text(const lapwright::Job& job) {
  using namespace lapwright;
  std::string out;
  const auto number = [](double v) {
    char text[40];
    for (int digits = 1; digits <= 17; ++digits) {
      std::snprintf(text, sizeof text, "%.*g", digits, v);
      if (std::stod(text) == v) break;
    }
    return std::string(text);
  };
  const auto quoted = [](const std::string& s) {
    std::string q = "\"";
    for (char c : s) {
      if (c == '"' || c == '\\') q += '\\';
      q += c;
    }
    return q + '"';
  };
  const auto list = [&](const std::vector<double>& all) {
    std::string s = "[";
    for (std::size_t i = 0; i < all.size(); ++i) s += (i ? ", " : "") + number(all[i]);
    return s + "]";
  };
  const auto ring = [&](const Ring& r) {
    std::string s = "[";
    for (std::size_t i = 0; i < r.size(); ++i)
      s += (i ? ", [" : "[") + number(r[i].x) + ", " + number(r[i].y) + "]";
    return s + "]";
  };
  const auto yes = [](bool b) { return std::string(b ? "true" : "false"); };
  const Rules& r = job.rules;
  out += "{\n  \"lapwright\": 1,\n  \"name\": " + quoted(job.name) + ",\n";
  out += "  \"board\": {\"width\": " + number(r.board.width) +
         ", \"thickness\": " + number(r.board.thickness) + ", \"lengths\": " + list(r.board.lengths) +
         ", \"prices\": " + list(board_prices(r)) + ", \"min_lap\": " + number(r.board.min_lap) +
         ", \"weight\": " + number(r.board.weight) + ", \"turnable\": " + yes(r.board.turnable) +
         ", \"offcuts\": [";
  for (std::size_t i = 0; i < r.board.offcuts.size(); ++i)
    out += std::string(i ? ", " : "") + "{\"length\": " + number(r.board.offcuts[i].length) +
           ", \"factory\": [" + yes(r.board.offcuts[i].factory_left) + ", " +
           yes(r.board.offcuts[i].factory_right) + "]}";
  const char* modes[] = {"full", "even", "fitted"};
  out += "]},\n  \"courses\": {\"mode\": " + quoted(modes[static_cast<int>(r.courses.mode)]) +
         ", \"max_exposure\": " + number(greatest_exposure(r)) +
         ", \"min_exposure\": " + number(least_exposure(r)) +
         ", \"division\": " + number(r.courses.division) + ", \"max_step\": " + number(r.courses.max_step) +
         ", \"min_strip\": " + number(r.courses.min_strip) + ", \"lines\": " + list(r.courses.lines) +
         ", \"joints_built\": [";
  for (std::size_t i = 0; i < r.courses.joints_built.size(); ++i) {
    const BuiltJoint& b = r.courses.joints_built[i];
    out += std::string(i ? ", [" : "[") + quoted(b.wall) + ", " + std::to_string(b.course) + ", " +
           number(b.x) + "]";
  }
  out += "]},\n  \"joints\": {\"gap\": " + number(r.joints.gap) + ", \"window\": " + number(r.joints.window) +
         ", \"min_piece\": " + number(r.joints.min_piece) + ", \"stagger\": " + number(r.joints.stagger) +
         ", \"repeat_after\": " + std::to_string(r.joints.repeat_after) +
         ", \"factory_ends\": " + yes(r.joints.factory_ends) + ", \"price\": " + number(r.joints.price) +
         "},\n";
  out += "  \"cutting\": {\"kerf\": " + number(r.cutting.kerf) +
         ", \"min_leg\": " + number(r.cutting.min_leg) + ", \"min_offcut\": " + number(r.cutting.min_offcut) +
         "},\n";
  out += "  \"starter\": {\"width\": " + number(starter_width(r)) + "},\n";
  if (r.trim) out += "  \"trim\": {\"thickness\": " + number(r.trim->thickness) + "},\n";
  out += "  \"sheathing\": {\"thickness\": " + number(r.sheathing.thickness) +
         ", \"holds_nails\": " + yes(r.sheathing.holds_nails) + "},\n";
  const FastenerRules& f = r.fasteners;
  out += "  \"fasteners\": {\"length\": " + number(f.length) + ", \"shank\": " + number(f.shank) +
         ", \"head\": " + number(f.head) + ", \"ring_shank\": " + yes(f.ring_shank) +
         ", \"top_edge\": " + number(f.top_edge) + ", \"end_edge\": " + number(f.end_edge) +
         ", \"edge\": " + number(f.edge) +
         (f.max_spacing ? ", \"max_spacing\": " + number(*f.max_spacing) : std::string()) +
         ", \"end_reach\": " + number(f.end_reach) + ", \"min_penetration\": " + number(f.min_penetration) +
         ", \"min_framing_share\": " + number(f.min_framing_share) + "},\n";
  out += "  \"seal\": {\"width\": " + number(r.seal.width) + ", \"depth\": " + number(r.seal.depth) +
         ", \"cartridge\": " + number(r.seal.cartridge) + "},\n";
  out += "  \"staging\": {\"lift\": " + number(r.staging.lift) +
         (r.staging.rating ? ", \"rating\": " + number(*r.staging.rating) : std::string()) + ", \"bay\": [" +
         number(r.staging.bay_length) + ", " + number(r.staging.bay_width) + "]},\n";
  out += "  \"allowance\": " + number(r.allowance) +
         ",\n  \"search\": {\"effort\": " + number(r.search.effort) + "},\n";
  if (r.loads)
    out += "  \"loads\": {\"wind_speed\": " + number(r.loads->wind_speed) + ", \"exposure\": \"" +
           std::string(1, r.loads->exposure) +
           "\", \"mean_roof_height\": " + number(r.loads->mean_roof_height) + ", \"plan\": [" +
           number(r.loads->plan_length) + ", " + number(r.loads->plan_width) +
           "], \"specific_gravity\": " + number(r.loads->specific_gravity) + "},\n";
  out += "  \"walls\": [";
  const char* kinds[] = {"base", "corner", "top", "rake", "roof", "wall"};
  for (std::size_t i = 0; i < job.walls.size(); ++i) {
    const Wall& w = job.walls[i];
    out += std::string(i ? ",\n" : "\n") + "    {\"name\": " + quoted(w.name) +
           ",\n     \"outline\": " + ring(w.outline) + ",\n     \"edges\": [";
    for (std::size_t e = 0; e < w.edges.size(); ++e)
      out += std::string(e ? ", " : "") + "{\"kind\": " + quoted(kinds[static_cast<int>(w.edges[e].kind)]) +
             ", \"trim\": " + number(w.edges[e].trim) + ", \"gap\": " + number(w.edges[e].gap) + "}";
    out += "]";
    if (w.start) out += ",\n     \"start\": [" + number(w.start->low) + ", " + number(w.start->high) + "]";
    out += ",\n     \"openings\": [";
    for (std::size_t o = 0; o < w.openings.size(); ++o) {
      const Opening& p = w.openings[o];
      out += std::string(o ? ",\n       " : "\n       ") + "{\"name\": " + quoted(p.name);
      if (p.rectangle) {
        const auto sides = [&](const std::vector<double>& v) {
          return "{\"left\": " + number(v[3]) + ", \"right\": " + number(v[1]) +
                 ", \"head\": " + number(v[2]) + ", \"sill\": " + number(v[0]) + "}";
        };
        out += ", \"at\": [" + number(p.outline[0].x) + ", " + number(p.outline[0].y) + "], \"size\": [" +
               number(p.outline[2].x - p.outline[0].x) + ", " + number(p.outline[2].y - p.outline[0].y) +
               "], \"trim\": " + sides(p.trim) + ", \"gap\": " + sides(p.gap) + "}";
      } else {
        out += ", \"outline\": " + ring(p.outline) + ", \"trim\": " + number(p.trim.empty() ? 0 : p.trim[0]) +
               ", \"gap\": " + number(p.gap.empty() ? 0 : p.gap[0]) + "}";
      }
    }
    const Framing& m = w.framing;
    out += "],\n     \"framing\": {\"spacing\": " + number(m.spacing) + ", \"first\": " + number(m.first) +
           ", \"stud_width\": " + number(m.stud_width) + ", \"studs\": " + list(m.studs) + ", \"members\": [";
    for (std::size_t k = 0; k < m.members.size(); ++k)
      out += std::string(k ? ", [" : "[") + number(m.members[k].x_min) + ", " + number(m.members[k].y_min) +
             ", " + number(m.members[k].x_max) + ", " + number(m.members[k].y_max) + "]";
    out += "], \"opening_stud\": " + number(m.opening_stud) +
           ", \"around_openings\": " + yes(m.around_openings) + "}}";
  }
  return out + "\n  ]\n}\n";
}

}  // namespace lapwright_test
