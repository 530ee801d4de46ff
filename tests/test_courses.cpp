#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/courses.hpp>
#include <lapwright/error.hpp>

using lapwright::CourseMode;
using lapwright::Courses;
using lapwright::lay_courses;
using lapwright::Mark;
using lapwright::Pole;
using lapwright::Refused;
using lapwright::Rules;
using lapwright::WallHeights;

namespace {

struct Random {  // splitmix64: the same numbers on every machine
  std::uint64_t state;
  std::uint64_t next() {
    std::uint64_t z = (state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
  }
  int below(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }
  int between(int low, int high) { return low + below(high - low + 1); }
  bool one_in(int n) { return below(n) == 0; }
};

int case_count(int usual) {
  const char* cases = std::getenv("LAPW_CASES");
  return cases != nullptr ? std::atoi(cases) : usual;
}

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

private:
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
        if (std::fabs(e - before) > rules_.courses.max_step + slack) continue;
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
  double base_, top_, d_, max_, min_;
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
  const int count = case_count(1500);
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
