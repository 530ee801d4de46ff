#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/courses.hpp>
#include <lapwright/error.hpp>

#include "cases.hpp"
#include "random_house.hpp"

using lapwright::CourseMode;
using lapwright::Courses;
using lapwright::lay_courses;
using lapwright::Mark;
using lapwright::Pole;
using lapwright::Refused;
using lapwright::Rules;
using lapwright::WallHeights;

namespace {

struct Random : lapwright_test::Random {
  using lapwright_test::Random::Random;
  int below(int n) { return whole(0, n - 1); }
  int between(int low, int high) { return whole(low, high); }
  bool one_in(int n) { return once_in(n); }
};

using lapwright_test::cases;

// --- The exhaustive search. It shares no code with the stage: it tries every pole, and reads the rules off
// each whole pole. Heights stay small, so that doubles compare by a fixed slack.
constexpr double slack = 1e-6;

struct Rated {
  std::vector<double> lines;
  int bad = 0, settings = 0;
  double squares = 0, distance = 0;
};

class Exhaustive {
public:
  Exhaustive(const std::vector<WallHeights>& walls, const Rules& rules) : walls_(walls), rules_(rules) {
    base_ = 1e9;
    top_ = -1e9;
    for (const WallHeights& w : walls) {
      base_ = std::min(base_, w.lowest);
      top_ = std::max(top_, w.highest);
    }
    d_ = rules.courses.division;
    max_ = *rules.courses.max_exposure;
    min_ = *rules.courses.min_exposure;
  }

  std::optional<Rated> best() {
    seam_step_ = rules_.courses.max_step;
    find();
    if (!best_ && !rules_.courses.lines.empty()) {  // no whole exposure is near enough to the one at the seam
      seam_step_ = std::floor((rules_.courses.max_step + slack) / d_) * d_ + d_ - 3 * slack;
      find();
    }
    return best_;
  }

private:
  std::optional<Rated> find() {
    std::vector<double> lines = rules_.courses.lines;
    if (!lines.empty()) {
      offer(lines);
      bool within = false;
      double highest = lines.back();
      for (int i = floor_line(lines.back()) - 1; i * d_ < lines.back() + max_ + slack; ++i) {
        if (i * d_ < lines.back() + slack) continue;
        highest = i * d_;
        within = within || i * d_ > lines.back() + min_ - slack;
      }
      for (int i = floor_line(lines.back()) - 1; i * d_ < lines.back() + max_ + slack; ++i) {
        if (i * d_ < lines.back() + slack) continue;
        if (within ? i * d_ < lines.back() + min_ - slack : i * d_ < highest - slack) continue;
        lines.push_back(i * d_);
        extend(lines);
        lines.pop_back();
      }
      return best_;
    }
    for (int i = floor_line(base_ - 2 * max_) - 1; i * d_ < top_ - slack; ++i) {
      if (!may_begin(i * d_)) continue;
      lines.assign(1, i * d_);
      extend(lines);
    }
    return best_;
  }

  int floor_line(double y) const { return static_cast<int>(std::floor(y / d_)); }

  bool in_start(const WallHeights& w, double y) const {
    if (w.start) return y > w.start->low - slack && y < w.start->high + slack;
    if (w.lowest < base_ + slack) return y > w.lowest - slack && y < w.lowest + d_ - slack;
    return false;
  }
  bool has_start(const WallHeights& w) const { return w.start || w.lowest < base_ + slack; }

  // In a start; or, where every start is a course or more above a wall that has none, within a course of it.
  bool may_begin(double y) const {
    for (const WallHeights& w : walls_)
      if (in_start(w, y)) return true;
    const WallHeights* without = bare_wall();
    return without != nullptr && y < without->lowest + slack && y > without->lowest + slack - greatest();
  }
  double greatest() const { return std::floor((max_ + slack) / d_) * d_; }
  double least() const { return std::ceil((min_ - slack) / d_) * d_; }
  const WallHeights* bare_wall() const {
    const WallHeights* without = nullptr;
    for (const WallHeights& w : walls_)
      if (!has_start(w) && (without == nullptr || w.lowest < without->lowest)) without = &w;
    if (without == nullptr) return nullptr;
    const double first = std::ceil((without->lowest - slack) / d_) * d_;
    for (const WallHeights& w : walls_) {
      if (!has_start(w)) continue;
      // the highest grid line of this start
      double high =
          w.start ? std::floor((w.start->high + slack) / d_) * d_ : std::ceil((w.lowest - slack) / d_) * d_;
      if (high < first + least() - slack) return nullptr;
    }
    return without;
  }

  void extend(std::vector<double>& lines) {
    offer(lines);
    for (double e = least(); e < max_ + slack; e += d_) {
      const std::size_t n = lines.size(), built = rules_.courses.lines.size();
      if (n >= 2 && n > built) {
        const double before = lines[n - 1] - lines[n - 2];
        if (std::fabs(e - before) >
            (n == built + 1 && built > 0 ? seam_step_ : rules_.courses.max_step) + slack)
          continue;
      }
      if (lines.back() + e > top_ - slack) break;
      lines.push_back(lines.back() + e);
      extend(lines);
      lines.pop_back();
    }
  }

  void offer(const std::vector<double>& lines) {
    ++tried;
    if (top_ - lines.back() > max_ + slack || top_ - lines.back() < slack) return;
    const std::vector<double>& built = rules_.courses.lines;
    for (const WallHeights& w : walls_) {
      if (!has_start(w)) continue;
      bool met = false;
      for (double y : lines) met = met || in_start(w, y);
      if (met) continue;
      // A default that the lines as built have passed is no demand any more.
      if (!w.start && !built.empty() && w.lowest + d_ - slack < built.back() + d_ &&
          std::ceil((w.lowest - slack) / d_) * d_ < built.back() + slack)
        continue;
      return;
    }
    if (built.empty())
      if (const WallHeights* bare = bare_wall()) {
        bool reached = false;
        for (double y : lines)
          reached = reached || (y < bare->lowest + slack && y > bare->lowest + slack - greatest());
        if (!reached) return;
      }
    Rated r;
    r.lines = lines;
    for (const WallHeights& w : walls_)
      for (const Mark& m : w.marks) r.bad += bad(w, m, lines);
    r.settings = lines.size() < 2 ? 0 : 1;
    for (std::size_t k = 2; k < lines.size(); ++k) {
      const double step = (lines[k] - lines[k - 1]) - (lines[k - 1] - lines[k - 2]);
      r.settings += std::fabs(step) > slack;
      if (k >= built.size()) r.squares += (step / d_) * (step / d_);
    }
    r.distance = std::fabs(lines.front() - base_);
    if (!best_ || better(r, *best_)) best_ = r;
  }

  bool bad(const WallHeights& w, const Mark& m, const std::vector<double>& lines) const {
    if (m.base && !w.start && w.lowest < base_ + slack && m.height < w.lowest + d_ - slack) return false;
    if (m.board_below ? m.height < w.lowest + slack : m.height > w.highest - slack) return false;
    if (m.height < w.lowest - slack || m.height > w.highest + slack) return false;
    double under = -1e9, over = 1e9;
    for (double y : lines) {
      if (std::fabs(y - m.height) < slack) return false;
      if (y < m.height) under = std::max(under, y);
      if (y > m.height) over = std::min(over, y);
    }
    if (under < -1e8) return false;  // nothing laid there
    double first =
        -1e9;  // the wall's first line: the lowest in its start, else the one under its lowest point
    for (double y : lines)
      if (y < w.lowest + slack) first = y;
    for (std::size_t k = lines.size(); k-- > 0;)
      if (in_start(w, lines[k])) first = lines[k];
    if (under < first - slack) return false;  // not on this wall
    const double strip = m.board_below ? m.height - under : std::min(over, w.highest) - m.height;
    return strip > slack && strip < rules_.courses.min_strip - slack;
  }

  static bool better(const Rated& a, const Rated& b) {
    if (a.bad != b.bad) return a.bad < b.bad;
    if (a.lines.size() != b.lines.size()) return a.lines.size() < b.lines.size();
    if (a.settings != b.settings) return a.settings < b.settings;
    if (std::fabs(a.squares - b.squares) > 1e-3) return a.squares < b.squares;
    if (std::fabs(a.distance - b.distance) > 2 * slack) return a.distance < b.distance;
    for (std::size_t k = 1; k < a.lines.size(); ++k) {
      const double ea = a.lines[k] - a.lines[k - 1], eb = b.lines[k] - b.lines[k - 1];
      if (std::fabs(ea - eb) > slack) return ea > eb;
    }
    return a.lines.front() < b.lines.front() - slack;
  }

  const std::vector<WallHeights>& walls_;
  const Rules& rules_;
  double base_, top_, d_, max_, min_, seam_step_ = 0;
  std::optional<Rated> best_;

public:
  long tried = 0;
};

std::string show(const std::vector<WallHeights>& walls, const Rules& rules) {
  std::string s = "division " + std::to_string(rules.courses.division) + " exposures " +
                  std::to_string(*rules.courses.min_exposure) + " " +
                  std::to_string(*rules.courses.max_exposure) + " step " +
                  std::to_string(rules.courses.max_step) + " strip " +
                  std::to_string(rules.courses.min_strip) + "\n built";
  for (double y : rules.courses.lines) s += " " + std::to_string(y);
  for (const WallHeights& w : walls) {
    s += "\n wall " + std::to_string(w.lowest) + " to " + std::to_string(w.highest);
    if (w.start) s += " start " + std::to_string(w.start->low) + " " + std::to_string(w.start->high);
    for (const Mark& m : w.marks)
      s += (m.board_below ? " under " : " over ") + std::to_string(m.height) + (m.base ? "(base)" : "");
  }
  return s;
}
std::string show(const std::vector<double>& lines) {
  std::string s;
  for (double y : lines) s += " " + std::to_string(y);
  return s;
}

struct SmallHouse {
  std::vector<WallHeights> walls;
  Rules rules;
};

// Heights to 60 in on a coarse grid; up to 3 walls, up to 4 marks in all.
SmallHouse small_house(Random& random) {
  SmallHouse h;
  Rules& r = h.rules;
  const double divisions[] = {0.5, 1, 1, 2, 25.4 * 2 / 25.4, 20 / 25.4};
  const double d = divisions[random.below(6)];
  r.courses.division = d;
  const int least = random.between(2, 6), kinds = random.between(0, 4);
  r.courses.min_exposure = (least - (random.one_in(4) ? 0.4 : 0)) * d;
  r.courses.max_exposure = (least + kinds + (random.one_in(4) ? 0.4 : 0)) * d;
  r.board.width = *r.courses.max_exposure + 1.25;
  r.board.min_lap = 1.25;
  r.courses.max_step = random.between(0, 3) * d;
  const double strips[] = {0, 0.5, 1, 1.5, 2, 2.5, 3};
  r.courses.min_strip = strips[random.below(7)] * d;
  const int tall = std::min(static_cast<int>(60 / d), (least + 1) * 8);
  const auto place = [&](int low, int high) {
    const double on = random.between(low, high);
    return (on + (random.one_in(3) ? 0.25 * random.between(-1, 2) : 0)) * d;
  };
  const int count = random.between(1, 3);
  int marks = random.between(0, 4);
  for (int w = 0; w < count; ++w) {
    WallHeights wall;
    wall.wall = "w" + std::to_string(w);
    const int low = w == 0 ? random.between(-3, 3) : random.between(-3, tall / 2);
    wall.lowest = place(low, low);
    wall.highest = wall.lowest + place(2, tall - 3);
    if (random.one_in(2)) {
      const double from = wall.lowest + random.between(-8, 6) * d / 4;
      wall.start = {from, from + random.between(0, 8) * d / 4};
    }
    const int own = w + 1 == count ? marks : random.between(0, marks);
    marks -= own;
    for (int m = 0; m < own; ++m) {
      Mark mark;
      mark.board_below = random.one_in(2);
      mark.height = random.one_in(5) ? (mark.board_below ? wall.highest : wall.lowest)
                                     : wall.lowest + place(-1, tall - 3);
      mark.base = !mark.board_below && mark.height <= wall.lowest + d && random.one_in(2);
      wall.marks.push_back(mark);
    }
    h.walls.push_back(wall);
  }
  if (random.one_in(4)) {
    double y = h.walls[0].lowest + random.between(-4, 4) * d / 4;
    const int built = random.between(1, 3);
    for (int k = 0; k < built; ++k) {
      r.courses.lines.push_back(y);
      y += (least * 4 + random.between(-3, kinds * 4 + 3)) * d / 4;
    }
    for (std::size_t k = 1; k < r.courses.lines.size(); ++k)
      r.board.width = std::max(r.board.width, r.courses.lines[k] - r.courses.lines[k - 1]);
  }
  return h;
}

}  // namespace

BOOST_AUTO_TEST_CASE(fitted_equals_exhaustive_search) {
  Random random{20261125};
  const int count = cases(1500);
  int laid = 0, refused = 0, with_bad = 0, several = 0, built = 0;
  for (int i = 0; i < count; ++i) {
    const SmallHouse h = small_house(random);
    double top = -1e9;
    for (const WallHeights& w : h.walls) top = std::max(top, w.highest);
    if (!h.rules.courses.lines.empty() && h.rules.courses.lines.back() > top - 0.01) continue;
    Exhaustive search(h.walls, h.rules);
    const std::optional<Rated> want = search.best();
    BOOST_TEST_CONTEXT("case " << i << "\n" << show(h.walls, h.rules)) {
      try {
        const Courses got = lay_courses(h.walls, h.rules);
        if (!want) {
          BOOST_ERROR("laid what cannot be laid:" << show(got.pole.lines));
          continue;
        }
        ++laid;
        with_bad += want->bad > 0;
        several += want->settings > 1;
        built += !h.rules.courses.lines.empty();
        bool same = got.pole.lines.size() == want->lines.size();
        for (std::size_t k = 0; same && k < want->lines.size(); ++k)
          same = std::fabs(got.pole.lines[k] - want->lines[k]) < slack;
        BOOST_TEST(same, "got" << show(got.pole.lines) << "\nwant" << show(want->lines));
        BOOST_TEST(got.pole.settings == want->settings);
        const lapwright::PoleCost cost = lapwright::pole_cost(h.walls, got.pole, h.rules);
        BOOST_TEST(cost.bad_strips == want->bad);
        BOOST_TEST(cost.settings == want->settings);
        BOOST_TEST(std::fabs(cost.squared_steps - want->squares) < 1e-3);
        BOOST_TEST(std::fabs(cost.base_distance - want->distance) < slack);
      } catch (const Refused& r) {
        ++refused;
        BOOST_TEST(!r.faults.empty());
        BOOST_TEST(!want, "refused though" << (want ? show(want->lines) : "") << " holds: " << r.what());
      }
    }
  }
  BOOST_TEST_MESSAGE(laid << " laid, " << refused << " refused; " << with_bad << " with bad strips, "
                          << several << " with several settings, " << built << " above lines as built");
  BOOST_TEST(laid > count / 4);
  BOOST_TEST(refused > 0);
  BOOST_TEST(with_bad > 0);
  BOOST_TEST(several > 0);
  BOOST_TEST(built > 0);
}

namespace {

WallHeights wall(double lowest, double highest, std::vector<Mark> marks = {},
                 std::optional<lapwright::Interval> start = std::nullopt, std::string name = "south") {
  WallHeights w;
  w.wall = std::move(name);
  w.lowest = lowest;
  w.highest = highest;
  w.start = start;
  w.marks = std::move(marks);
  return w;
}
Mark below(double height, std::string label = "sill") {
  return {height, true, std::move(label)};
}
Mark above(double height, std::string label = "head") {
  return {height, false, std::move(label)};
}

// The usual board, 7 in at most; whole inches make the examples easy to read.
Rules usual(CourseMode mode = CourseMode::fitted, double division = 0.0625) {
  Rules r;
  r.board.width = 8.25;
  r.courses.mode = mode;
  r.courses.division = division;
  return r;
}

std::vector<lapwright::Fault> faults_of(const std::vector<WallHeights>& walls, const Rules& rules) {
  try {
    lay_courses(walls, rules);
  } catch (const Refused& r) {
    return r.faults;
  }
  return {};
}
bool says(const lapwright::Fault& fault, const char* words) {
  return fault.message.find(words) != std::string::npos;
}
const lapwright::Finding* find(const Courses& c, const char* code) {
  for (const lapwright::Finding& f : c.findings)
    if (f.code == code) return &f;
  return nullptr;
}

// Houses as they are built: 8 to 40 ft, up to six walls, windows that share heads and sills or do not.
SmallHouse full_size_house(Random& random) {
  SmallHouse h;
  Rules& r = h.rules;
  const double mm = 1 / 25.4;
  const double divisions[] = {1.0 / 16, 1.0 / 16, 1.0 / 16, 1.0 / 32, mm, 1.0 / 8};
  const double d = divisions[random.below(6)];
  r.courses.division = d;
  const double widths[] = {5.25, 6.25, 7.25, 8.25, 9.25, 12};
  r.board.width = widths[random.below(6)];
  if (random.one_in(3)) r.courses.max_exposure = r.board.width - 1.25 - random.below(9) / 16.0;
  if (random.one_in(3))
    r.courses.min_exposure = lapwright::greatest_exposure(r) - random.between(4, 32) / 16.0;
  r.courses.max_step = random.one_in(4) ? random.below(9) * d : std::max(0.125, d);
  r.courses.min_strip = random.between(0, 10) / 4.0;
  const auto tape = [&](double low, double high) {  // on the sixteenth, or a whole millimetre
    const double step = d == mm ? mm : 1.0 / 16;
    return low + random.below(static_cast<int>((high - low) / step)) * step;
  };
  const int count = random.between(1, 6);
  const double height = tape(96, 400);
  const double heads[] = {tape(80, 84), tape(78, 90), tape(180, 200), tape(300, 330)};
  for (int w = 0; w < count; ++w) {
    const double low = random.one_in(2) ? 0 : tape(-24, 60);
    WallHeights wh = wall(low, low + (random.one_in(2) ? height : tape(40, height)));
    wh.wall = "w" + std::to_string(w);
    if (random.one_in(3)) wh.start = {low - 0.5, low + 0.5};
    const int openings = random.below(6);
    for (int o = 0; o < openings; ++o) {
      const double head = heads[random.below(4)] + (random.one_in(3) ? tape(-2, 2) : 0);
      const double sill = head - tape(24, 60);
      if (head < wh.highest - 2 && head > low) wh.marks.push_back(above(head));
      if (sill > low + 2 && sill < wh.highest) wh.marks.push_back(below(sill));
    }
    if (!wh.start) {
      Mark base = above(wh.lowest, "base");
      base.base = true;
      wh.marks.push_back(base);
    }
    if (random.one_in(2)) wh.marks.push_back(below(wh.highest, "top"));
    h.walls.push_back(wh);
  }
  return h;
}

bool on_grid(double y, double division) {
  return std::fabs(y - std::round(y / division) * division) < 1e-9;
}

// What any pole keeps to, whatever its mode.
void check_pole(const SmallHouse& h, const Courses& c, bool limits) {
  const Rules& r = h.rules;
  const double d = r.courses.division, most = lapwright::greatest_exposure(r);
  const Pole& pole = c.pole;
  const std::size_t built = r.courses.lines.size();
  BOOST_TEST(pole.built == static_cast<int>(built));
  BOOST_REQUIRE(!pole.lines.empty());
  BOOST_REQUIRE(pole.exposures.size() + 1 == pole.lines.size());
  double lowest = 1e9, top = -1e9;
  for (const WallHeights& w : h.walls) {
    lowest = std::min(lowest, w.lowest);
    top = std::max(top, w.highest);
  }
  int settings = pole.lines.size() > 1;
  for (std::size_t k = 0; k < pole.lines.size(); ++k) {
    if (k < built)
      BOOST_TEST(pole.lines[k] == r.courses.lines[k]);
    else
      BOOST_TEST(pole.lines[k] == std::round(pole.lines[k] / d) * d);  // exactly
    if (k + 1 == pole.lines.size()) break;
    const double e = pole.exposures[k];
    BOOST_TEST(std::fabs(pole.lines[k + 1] - pole.lines[k] - e) < 1e-9);
    if (k > 0) settings += std::fabs(e - pole.exposures[k - 1]) > 1e-6;
    if (k + 1 < built) continue;
    BOOST_TEST(e <= most + 1e-6);
    if (k >= built) BOOST_TEST(on_grid(e, d));
    if (limits && k >= built) BOOST_TEST(e >= lapwright::least_exposure(r) - 1e-6);
    if (limits && k > built) BOOST_TEST(std::fabs(e - pole.exposures[k - 1]) <= r.courses.max_step + 1e-6);
  }
  BOOST_TEST(pole.settings == settings);
  BOOST_TEST(top - pole.lines.back() > 1e-6);
  BOOST_TEST(top - pole.lines.back() <= most + 1e-6);
  for (std::size_t w = 0; w < h.walls.size(); ++w) {
    const WallHeights& wh = h.walls[w];
    const lapwright::WallCourses& wc = c.walls[w];
    const double first = pole.lines[static_cast<std::size_t>(wc.first_course)];
    const bool lowest_wall = wh.lowest < lowest + 1e-6;
    if (wh.start) {
      BOOST_TEST(first >= wh.start->low - 1e-6);
      BOOST_TEST(first <= wh.start->high + 1e-6);
    } else if (lowest_wall && built == 0) {
      BOOST_TEST(first >= wh.lowest - 1e-6);
      BOOST_TEST(first < wh.lowest + d);
    } else if (pole.lines.front() <= wh.lowest) {
      BOOST_TEST(first <= wh.lowest + 1e-6);
      if (wc.first_course + 1 < static_cast<int>(pole.lines.size()))
        BOOST_TEST(pole.lines[static_cast<std::size_t>(wc.first_course) + 1] > wh.lowest);
      if (wc.last_course >= 0) BOOST_TEST(wc.ripped_start == (first < wh.lowest - 1e-6));
    }
    if (wc.last_course >= 0) {
      const double last = pole.lines[static_cast<std::size_t>(wc.last_course)];
      BOOST_TEST(std::fabs(last + wc.last_rip - wh.highest) < 1e-9);
      BOOST_TEST(wc.last_rip > 1e-6);
      BOOST_TEST(wc.last_rip <= most + 1e-6);
    }
    bool noted = false;
    for (const lapwright::Finding& f : c.findings)
      noted = noted || (f.code == "ripped_start" && f.wall == wh.wall);
    BOOST_TEST(noted == (wc.ripped_start && wc.first_course >= pole.built));
  }
}

}  // namespace

BOOST_AUTO_TEST_CASE(full_size_houses_keep_to_everything_and_none_is_worse_than_full_or_even) {
  Random random{7};
  const int count = cases(120) > 1000 ? 1000 : cases(120);
  int laid = 0, compared = 0, better = 0, refused = 0;
  for (int i = 0; i < count; ++i) {
    SmallHouse h = full_size_house(random);
    BOOST_TEST_CONTEXT("house " << i) {
      std::optional<Courses> fitted;
      try {
        fitted = lay_courses(h.walls, h.rules);
        check_pole(h, *fitted, true);
        ++laid;
      } catch (const Refused&) {
        ++refused;
      }
      for (CourseMode mode : {CourseMode::full, CourseMode::even}) {
        h.rules.courses.mode = mode;
        try {
          const Courses other = lay_courses(h.walls, h.rules);
          check_pole(h, other, false);
          const auto cost = lapwright::pole_cost(h.walls, other.pole, h.rules);
          // Even may go below the limits on a low wall, and steps by a division whatever max_step says.
          if (find(other, "exposure_min") || find(other, "step")) continue;
          BOOST_REQUIRE(fitted.has_value());
          const auto best = lapwright::pole_cost(h.walls, fitted->pole, h.rules);
          BOOST_TEST(lapwright::compare(best, cost) <= 0);
          better += lapwright::compare(best, cost) < 0;
          ++compared;
        } catch (const Refused&) {
        }
      }
    }
  }
  BOOST_TEST_MESSAGE(laid << " houses laid, " << refused << " refused; better than full or even in " << better
                          << " of " << compared);
  BOOST_TEST(laid > count / 2);
  BOOST_TEST(better > compared / 4);
}

BOOST_AUTO_TEST_CASE(full_shows_the_greatest_everywhere_from_the_line_nearest_to_the_base) {
  Rules r = usual(CourseMode::full);
  Courses c = lay_courses({wall(0.03, 100)}, r);
  BOOST_TEST(c.pole.lines.front() == 0.0625);
  BOOST_TEST(c.pole.settings == 1);
  for (double e : c.pole.exposures) BOOST_TEST(e == 7);
  BOOST_TEST(c.pole.lines.size() == 15u);
  BOOST_TEST(c.walls[0].last_course == 14);
  BOOST_TEST(c.walls[0].last_rip == 100 - 98.0625);
  BOOST_TEST(c.pole.starter == 1.25);
  // A second wall's start moves the first line as little as it must.
  c = lay_courses(
      {wall(0, 100, {}, lapwright::Interval{-0.5, 0.5}), wall(20, 90, {}, lapwright::Interval{21.25, 22})},
      r);
  BOOST_TEST(c.pole.lines.front() == 0.25);
  c = lay_courses(
      {wall(0, 100, {}, lapwright::Interval{-0.5, 0.5}), wall(20, 90, {}, lapwright::Interval{20, 20.75})},
      r);
  BOOST_TEST(c.pole.lines.front() == -0.25);
  // The last course may show what the grid does not.
  r.courses.max_exposure = 6.99;
  c = lay_courses({wall(0, 6.9375 + 6.98)}, r);
  BOOST_TEST(c.pole.lines.size() == 2u);
  BOOST_TEST(c.pole.exposures[0] == 6.9375);
  // Above lines as built: the greatest exposure that reaches a grid line, then the greatest.
  r = usual(CourseMode::full);
  r.courses.lines = {0.3, 7.3, 14.27};
  c = lay_courses({wall(0, 100)}, r);
  BOOST_TEST(c.pole.lines[3] == 21.25);
  BOOST_TEST(c.pole.lines[4] == 28.25);
  BOOST_TEST(c.pole.built == 3);
}

BOOST_AUTO_TEST_CASE(even_is_within_one_division_and_the_wider_come_first) {
  Random random{11};
  for (int i = 0; i < 2000; ++i) {
    Rules r = usual(CourseMode::even, random.one_in(3) ? 1 / 25.4 : 1.0 / (8 << random.below(3)));
    const double d = r.courses.division;
    const double low = random.between(-40, 40) / 16.0;
    const double height = random.between(1, 6400) / 16.0;
    if (random.one_in(3)) r.courses.lines = {low + 0.01 * random.below(50)};
    if (!r.courses.lines.empty() && random.one_in(2)) r.courses.lines.push_back(r.courses.lines[0] + 6.77);
    if (!r.courses.lines.empty() && r.courses.lines.back() > low + height - 0.5) continue;
    BOOST_TEST_CONTEXT("from " << low << ", " << height << " high, division " << d) {
      if (height < d + 1e-6) {  // no line from base to top, perhaps
        continue;
      }
      const Courses c = lay_courses({wall(low, low + height)}, r);
      const std::size_t built = r.courses.lines.size();
      std::vector<double> shown(c.pole.exposures.begin() + (built > 0 ? static_cast<int>(built) - 1 : 0),
                                c.pole.exposures.end());
      shown.push_back(c.walls[0].last_rip);
      double least = 1e9, most = 0, sum = 0;
      for (double s : shown) {
        least = std::min(least, s);
        most = std::max(most, s);
        sum += s;
      }
      BOOST_TEST(most - least <= d + 2e-6);
      const double from = built > 0 ? r.courses.lines.back() : c.pole.lines.front();
      BOOST_TEST(std::fabs(from + sum - low - height) < 1e-9);
      const double greatest = std::floor((7 + 1e-6) / d) * d;
      BOOST_TEST(most <= 7 + 1e-6);
      const double fewest = std::ceil(sum / greatest - 1e-9);
      if (built == 0) {
        BOOST_TEST(static_cast<double>(shown.size()) == fewest);
        for (std::size_t k = 1; k < c.pole.exposures.size(); ++k)
          BOOST_TEST(c.pole.exposures[k] <= c.pole.exposures[k - 1] + 1e-9);
      } else {
        BOOST_TEST(static_cast<double>(shown.size()) <= fewest + 1);
      }
    }
  }
  // A low wall: below the least exposure, and it says so.
  const Courses low = lay_courses({wall(0, 10)}, usual(CourseMode::even));
  BOOST_TEST(low.pole.lines.size() == 2u);
  BOOST_TEST(low.pole.exposures[0] == 5);
  const lapwright::Finding* f = find(low, "exposure_min");
  BOOST_REQUIRE(f != nullptr);
  BOOST_TEST(*f->measured == 5);
  BOOST_TEST(*f->limit == 6);
  BOOST_TEST(!find(lay_courses({wall(0, 100)}, usual(CourseMode::even)), "exposure_min"));
}

BOOST_AUTO_TEST_CASE(fitted_lands_on_head_and_sill) {
  // A window from 32 1/2 to 84 1/2, and a top at 100 1/2: with 7 in everywhere a strip of 1/2 stands over the
  // head.
  const std::vector<WallHeights> walls = {
      wall(0, 100.5, {below(32.5, "W1 sill"), above(84.5, "W1 head"), below(100.5, "top")})};
  const auto cost = [&](CourseMode mode) {
    const Rules r = usual(mode);
    return lapwright::pole_cost(walls, lay_courses(walls, r).pole, r);
  };
  BOOST_TEST(cost(CourseMode::full).bad_strips == 0);  // 84.5 is under 91
  const std::vector<WallHeights> tight = {wall(0, 100.5, {below(35.5, "W1 sill"), above(83.5, "W1 head")})};
  const Rules full = usual(CourseMode::full), fitted = usual();
  const auto strips = lapwright::pole_strips(tight, lay_courses(tight, full).pole, full);
  BOOST_REQUIRE(strips.size() == 2u);
  BOOST_TEST(strips[0].bad);
  BOOST_TEST(strips[0].height == 0.5);
  BOOST_TEST(strips[0].course == 5);
  BOOST_TEST(strips[1].bad);
  BOOST_TEST(strips[1].height == 0.5);
  BOOST_TEST(strips[1].course == 11);
  const Courses c = lay_courses(tight, fitted);
  for (const auto& strip : lapwright::pole_strips(tight, c.pole, fitted)) BOOST_TEST(!strip.bad);
  BOOST_TEST(c.pole.lines.size() == 15u);  // not one course more than full
}

BOOST_AUTO_TEST_CASE(a_wall_without_a_start_begins_ripped_and_no_wall_is_left_bare_by_a_course) {
  const Rules r = usual(CourseMode::full);
  Courses c = lay_courses({wall(0, 100), wall(30, 100, {}, std::nullopt, "porch")}, r);
  BOOST_TEST(c.walls[1].first_course == 4);
  BOOST_TEST(c.walls[1].ripped_start);
  const lapwright::Finding* f = find(c, "ripped_start");
  BOOST_REQUIRE(f != nullptr);
  BOOST_TEST(f->wall == "porch");
  BOOST_TEST((f->severity == lapwright::Severity::note));
  BOOST_TEST(*f->course == 4);
  BOOST_TEST(*f->measured == 2);
  // On a line: whole, and nothing to say.
  c = lay_courses({wall(0, 100), wall(28, 100)}, r);
  BOOST_TEST(c.walls[1].first_course == 4);
  BOOST_TEST(!c.walls[1].ripped_start);
  BOOST_TEST(!find(c, "ripped_start"));
  // The only start is far above another wall's foot: the pole goes down to it.
  c = lay_courses({wall(0, 100, {}, lapwright::Interval{36, 36.5}), wall(10, 100)}, r);
  BOOST_TEST(c.pole.lines.front() <= 10);
  BOOST_TEST(c.pole.lines.front() > 3);
  // By less than a course: it stays where it is.
  c = lay_courses({wall(0, 100, {}, lapwright::Interval{3, 3.5}), wall(1, 100)}, r);
  BOOST_TEST(c.pole.lines.front() == 3);
  BOOST_TEST(c.walls[1].first_course == 0);
  // No region, no part in it.
  c = lay_courses({wall(0, 100), wall(0, 0)}, r);
  BOOST_TEST(c.walls[1].last_course == -1);
  c = lay_courses({}, r);
  BOOST_TEST(c.pole.lines.empty());
  BOOST_TEST(c.pole.settings == 0);
  // A low wall: one line, no setting.
  c = lay_courses({wall(0, 5)}, usual());
  BOOST_TEST(c.pole.lines.size() == 1u);
  BOOST_TEST(c.pole.settings == 0);
  BOOST_TEST(c.walls[0].last_rip == 5);
}

BOOST_AUTO_TEST_CASE(the_pole_heals_above_lines_as_built) {
  const std::vector<WallHeights> walls = {wall(0, 140, {below(35), above(84), below(140, "top")})};
  Rules r = usual();
  const Courses plan = lay_courses(walls, r);
  BOOST_TEST(!find(plan, "as_built"));
  r.courses.lines.assign(plan.pole.lines.begin(), plan.pole.lines.begin() + 6);
  const Courses same = lay_courses(walls, r);
  BOOST_TEST(same.pole.lines == plan.pole.lines, boost::test_tools::per_element());
  BOOST_REQUIRE(find(same, "as_built"));
  BOOST_TEST(*find(same, "as_built")->measured == 0);
  for (std::size_t k = 1; k < 6; ++k) r.courses.lines[k] += 0.04 * static_cast<double>(k);  // nailed high
  const Courses now = lay_courses(walls, r);
  const auto cost = lapwright::pole_cost(walls, now.pole, r);
  BOOST_TEST(cost.bad_strips == 0);
  const lapwright::PoleDeparture departure = lapwright::pole_departure(now.pole, plan.pole);
  BOOST_TEST(departure.by_line.size() == now.pole.lines.size() - 6);
  BOOST_REQUIRE(find(now, "as_built"));
  BOOST_TEST(*find(now, "as_built")->measured == departure.greatest);
  double greatest = 0;
  for (std::size_t k = 6; k < now.pole.lines.size(); ++k) {
    double nearest = 1e9;
    for (double y : plan.pole.lines) nearest = std::min(nearest, std::fabs(y - now.pole.lines[k]));
    BOOST_TEST(std::fabs(std::fabs(departure.by_line[k - 6]) - nearest) < 1e-12);
    greatest = std::max(greatest, nearest);
  }
  BOOST_TEST(departure.greatest == greatest);
  // A lap that is too small is nailed, and told.
  r.courses.lines = {0, 7.5, 14.5};
  const Courses wide = lay_courses(walls, r);
  BOOST_REQUIRE(find(wide, "lap"));
  BOOST_TEST(*find(wide, "lap")->measured == 0.75);
  BOOST_TEST(*find(wide, "lap")->course == 0);
  // Lines as built that missed the default start are noted, not refused.
  r.courses.lines = {0.4, 7.4};
  BOOST_TEST(find(lay_courses(walls, r), "start"));
  // They have all but reached the top.
  r.courses.lines.clear();
  for (int k = 0; k < 20; ++k) r.courses.lines.push_back(6.9 * k + 3);
  BOOST_TEST(lay_courses(walls, r).pole.lines.size() == 20u);
}

BOOST_AUTO_TEST_CASE(contradicting_starts_are_named_and_no_others) {
  const auto start = [](double low, double high) { return lapwright::Interval{low, high}; };
  Rules r = usual();
  std::vector<WallHeights> walls = {
      wall(0, 100, {}, start(-0.5, 0.5), "south"), wall(14, 100, {}, start(13.5, 14), "east"),
      wall(4, 100, {}, start(3, 3.5), "north"), wall(28, 100, {}, std::nullopt, "west")};
  auto faults = faults_of(walls, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST(faults[0].path == "walls[0].start");
  BOOST_TEST(says(faults[0], "\"south\""));
  BOOST_TEST(says(faults[0], "\"north\""));
  BOOST_TEST(!says(faults[0], "\"east\""));
  BOOST_TEST(!says(faults[0], "\"west\""));
  BOOST_TEST(says(faults[0], "courses.min_exposure"));
  BOOST_TEST(!says(faults[0], "courses.max_exposure"));
  BOOST_TEST_MESSAGE(faults[0].message);
  walls[2].start = start(6, 6.5);  // one course up
  BOOST_TEST(faults_of(walls, r).empty());
  // Between one and two courses: both limits stand in the way.
  walls = {wall(0, 100, {}, start(0, 0.5)), wall(9, 100, {}, start(8.5, 9), "east")};
  r.courses.max_exposure = 6.5;
  r.courses.min_exposure = 6;
  faults = faults_of(walls, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST_MESSAGE(faults[0].message);
  BOOST_TEST(says(faults[0], "courses.min_exposure"));
  r = usual();
  // Steps: 6 in, then 7 in three courses on, cannot be with a step of nothing.
  walls = {wall(0, 100, {}, start(0, 0)), wall(6, 100, {}, start(6, 6), "east"),
           wall(20, 100, {}, start(20, 20), "north")};
  BOOST_TEST(!faults_of(walls, r).empty());
  r.courses.max_step = 1;
  BOOST_TEST(faults_of(walls, r).empty());
  r.courses.max_step = 0.125;
  faults = faults_of(walls, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST_MESSAGE(faults[0].message);
  BOOST_TEST(says(faults[0], "courses.max_step"));
  BOOST_TEST(says(faults[0], "\"north\""));
  // Alone.
  r = usual();
  faults = faults_of({wall(0, 100, {}, start(0.01, 0.05))}, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST_MESSAGE(faults[0].message);
  BOOST_TEST(says(faults[0], "1/16"));
  faults = faults_of({wall(0, 100, {}, start(0, 0.5)), wall(0, 100, {}, start(120, 121), "east")}, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST(faults[0].path == "walls[1].start");
  BOOST_TEST_MESSAGE(faults[0].message);
  BOOST_TEST(says(faults[0], "100"));
  // Full: the mode is the reason, and fitted would do.
  walls = {wall(0, 100, {}, start(0, 0.25)), wall(20, 100, {}, start(19, 19.5), "east")};
  BOOST_TEST(faults_of(walls, r).empty());
  r.courses.mode = CourseMode::full;
  faults = faults_of(walls, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST_MESSAGE(faults[0].message);
  BOOST_TEST(says(faults[0], "courses.mode full"));
  BOOST_TEST(says(faults[0], "fitted"));
  // Lines as built that pass a start by.
  r = usual();
  r.courses.lines = {0, 7, 14};
  faults = faults_of({wall(0, 100), wall(10, 100, {}, start(9.5, 10.5), "east")}, r);
  BOOST_REQUIRE(faults.size() == 1u);
  BOOST_TEST_MESSAGE(faults[0].message);
  BOOST_TEST(faults[0].path == "walls[1].start");
  BOOST_TEST(says(faults[0], "courses.lines"));
  // Two contradictions at once.
  r = usual();
  faults = faults_of({wall(0, 100, {}, start(0.01, 0.02)), wall(0, 100, {}, start(30.01, 30.02), "east")}, r);
  BOOST_TEST(faults.size() == 2u);
}

BOOST_AUTO_TEST_CASE(rules_that_do_not_hold_are_refused_by_path) {
  const std::vector<WallHeights> walls = {wall(0, 100)};
  const double nan = std::nan(""), inf = HUGE_VAL;
  const auto path = [&](auto change) {
    Rules r = usual();
    change(r);
    const auto faults = faults_of(walls, r);
    return faults.empty() ? std::string() : faults[0].path;
  };
  BOOST_TEST(path([](Rules&) {}) == "");
  for (double v : {0.0, -1.0, nan, inf}) {
    BOOST_TEST(path([&](Rules& r) { r.board.width = v; }) == "board.width");
    BOOST_TEST(path([&](Rules& r) { r.courses.division = v; }) == "courses.division");
    BOOST_TEST(path([&](Rules& r) { r.courses.max_exposure = v; }) == "courses.max_exposure");
    BOOST_TEST(path([&](Rules& r) { r.courses.min_exposure = v; }) == "courses.min_exposure");
  }
  for (double v : {-0.125, nan, inf}) {
    BOOST_TEST(path([&](Rules& r) { r.board.min_lap = v; }) == "board.min_lap");
    BOOST_TEST(path([&](Rules& r) { r.courses.max_step = v; }) == "courses.max_step");
    BOOST_TEST(path([&](Rules& r) { r.courses.min_strip = v; }) == "courses.min_strip");
  }
  BOOST_TEST(path([](Rules& r) { r.board.min_lap = 8.25; }) == "board.min_lap");
  BOOST_TEST(path([](Rules& r) { r.courses.max_exposure = 7.0625; }) ==
             "courses.max_exposure");  // lap below 1 1/4
  BOOST_TEST(path([](Rules& r) { r.courses.min_exposure = 7.0625; }) == "courses.min_exposure");
  BOOST_TEST(path([](Rules& r) {
               r.courses.max_exposure = 6.99;
               r.courses.min_exposure = 6.95;
             }) == "courses.division");
  BOOST_TEST(path([](Rules& r) { r.courses.division = 1e-4; }) == "courses.division");
  BOOST_TEST(path([](Rules& r) { r.courses.lines = {0, std::nan("")}; }) == "courses.lines[1]");
  BOOST_TEST(path([](Rules& r) { r.courses.lines = {0, 7, 7}; }) == "courses.lines[2]");
  BOOST_TEST(path([](Rules& r) { r.courses.lines = {0, 7, 21}; }) == "courses.lines[2]");
  BOOST_TEST(path([](Rules& r) { r.courses.lines = {100}; }) == "courses.lines[0]");
  // Every fault at once, those of the heights too.
  Rules r = usual();
  r.board.width = -1;
  r.courses.max_step = nan;
  std::vector<WallHeights> bad = {wall(nan, 100, {below(inf)}, lapwright::Interval{1, 0})};
  BOOST_TEST(faults_of(bad, r).size() == 5u);
}

BOOST_AUTO_TEST_CASE(a_freedom_that_no_house_has_takes_the_wide_costs) {
  // Exposures from one division up, steps without limit, over 130 ft: the ranks do not fit one number.
  Rules r = usual(CourseMode::fitted, 1.0 / 16);
  r.courses.min_exposure = 1.0 / 16;
  r.courses.max_step = 7;
  SmallHouse h;
  h.rules = r;
  h.walls = {wall(0, 1600.03, {below(32), above(85.5), below(700), above(701), below(1600.03)})};
  const Courses c = lay_courses(h.walls, h.rules);
  check_pole(h, c, true);
  const auto cost = lapwright::pole_cost(h.walls, c.pole, r);
  BOOST_TEST(cost.bad_strips == 0);
  BOOST_TEST(cost.courses == 229);
}

// What a refusal names contradicts itself without the rest, and no longer where any one of it is left out.
BOOST_AUTO_TEST_CASE(refused_sets_of_demands_are_contradictions_and_smallest) {
  Random random{99};
  const int count = std::min(cases(400), 4000);
  int checked = 0;
  for (int i = 0; i < count; ++i) {
    SmallHouse h;
    Rules& r = h.rules;
    const int least = random.between(3, 6), kinds = random.between(0, 2);
    r.courses.division = 1;
    r.courses.min_exposure = least;
    r.courses.max_exposure = least + kinds;
    r.board.width = 14;
    r.courses.max_step = random.between(0, 2);
    const int walls = random.between(1, 5);
    for (int w = 0; w < walls; ++w) {
      const double low = random.between(-6, 40) + (random.one_in(6) ? 0.25 : 0);
      h.walls.push_back(wall(low, 60, {}, lapwright::Interval{low, low + random.below(6) / 4.0}));
    }
    const auto refused = faults_of(h.walls, h.rules);
    if (refused.empty()) continue;
    ++checked;
    BOOST_TEST_CONTEXT("case " << i << "\n" << show(h.walls, h.rules) << "\n" << refused[0].message) {
      std::vector<WallHeights> named;
      for (std::size_t w = 0; w < h.walls.size(); ++w)
        if (says(refused[0], ("walls[" + std::to_string(w) + "].start").c_str())) named.push_back(h.walls[w]);
      BOOST_REQUIRE(!named.empty());
      const auto relaxed = [&](bool min, bool max, bool step) {
        Rules some = r;
        if (!min) some.courses.min_exposure = 1;
        if (!max) some.courses.max_exposure = r.board.width - r.board.min_lap;
        if (!step) some.courses.max_step = 12;
        return some;
      };
      const bool min = says(refused[0], "courses.min_exposure"),
                 max = says(refused[0], "courses.max_exposure"), step = says(refused[0], "courses.max_step");
      BOOST_TEST(!faults_of(named, relaxed(min, max, step)).empty());
      if (min) BOOST_TEST(faults_of(named, relaxed(false, max, step)).empty());
      if (max) BOOST_TEST(faults_of(named, relaxed(min, false, step)).empty());
      if (step) BOOST_TEST(faults_of(named, relaxed(min, max, false)).empty());
      for (std::size_t out = 0; out < named.size() && named.size() > 1; ++out) {
        std::vector<WallHeights> fewer = named;
        fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(out));
        BOOST_TEST(faults_of(fewer, relaxed(min, max, step)).empty());
      }
      // No two of all the walls contradict each other where three are named.
      if (named.size() > 2)
        for (std::size_t a = 0; a < h.walls.size(); ++a)
          for (std::size_t b = 0; b < a; ++b) BOOST_TEST(faults_of({h.walls[a], h.walls[b]}, r).empty());
    }
  }
  BOOST_TEST_MESSAGE(checked << " refusals checked");
  BOOST_TEST(checked > count / 20);
}

BOOST_AUTO_TEST_CASE(houses_from_their_outlines) {
  const int count = std::min(cases(60), 2000);
  int laid = 0, noted = 0;
  for (int seed = 1; seed <= count; ++seed) {
    const lapwright::Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
    SmallHouse h;
    h.rules = job.rules;
    for (const lapwright::Wall& w : job.walls)
      h.walls.push_back(lapwright::wall_heights(w, lapwright::siding_region(w, job.rules)));
    BOOST_TEST_CONTEXT("seed " << seed) {
      for (CourseMode mode : {CourseMode::full, CourseMode::even, CourseMode::fitted}) {
        h.rules.courses.mode = mode;
        try {
          const Courses c = lay_courses(h.walls, h.rules);
          check_pole(h, c, mode == CourseMode::fitted);
          laid += mode == CourseMode::fitted;
          noted += find(c, "ripped_start") != nullptr;
        } catch (const Refused& r) {
          BOOST_TEST(!r.faults.empty());
        }
      }
    }
  }
  BOOST_TEST(laid > count / 2);
  BOOST_TEST_MESSAGE(laid << " laid, " << noted << " with a ripped start");
}
