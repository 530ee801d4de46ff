#pragma once
// Joints and boards as a problem of its own, written apart from the search: small walls from a seed, every
// layout of a run by plain recursion, what a board can give by plain counting. Joints stand on the centres of
// their studs (window 0) and boards keep their height, so that lengths, ends and prices are all there is.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include <lapwright/framing.hpp>
#include <lapwright/search.hpp>

#include "random_house.hpp"

namespace joint_model {

using lapwright_test::Random;

struct Case {
  lapwright::Wall wall;
  lapwright::Region region;
  lapwright::Runs runs;
  lapwright::Pole pole;
  lapwright::Rules rules;
  lapwright::WallCourses courses;

  std::vector<lapwright::SearchWall> walls() const { return {{&wall, &region, &courses, &runs}}; }
};

struct Size {
  int least_width = 60, greatest_width = 140, spacing = 12, least_courses = 1, most_courses = 4;
  std::size_t most_runs = 8, most_studs = 12;
  std::vector<double> lengths{48};
};

inline lapwright::Run box(int course, double x0, double x1, double y) {
  lapwright::Run run;
  run.course = course;
  run.x_min = x0;
  run.x_max = x1;
  run.shape.outer = {{x0, y}, {x1, y}, {x1, y + 8.25}, {x0, y + 8.25}};
  return run;
}

/// A wall of full courses with openings through whole bands.
inline Case random_case(std::uint64_t seed, const Size& size) {
  Random random(seed);
  Case c;
  c.wall.name = "w";
  const double width = random.whole(size.least_width, size.greatest_width);
  const int courses = random.whole(size.least_courses, size.most_courses);
  c.wall.outline = {{0, 0}, {width, 0}, {width, 7.0 * courses + 20}, {0, 7.0 * courses + 20}};
  c.wall.edges.assign(4, lapwright::default_edge(lapwright::EdgeKind::corner));
  c.wall.framing.spacing = size.spacing;
  c.wall.framing.first = random.of({0.75, 3.0, 6.0});
  c.rules.board.lengths = size.lengths;
  if (random.once_in(3)) {
    c.rules.board.lengths.push_back(size.lengths[0] * 1.5);
    c.rules.board.prices = {1, random.of({1.4, 1.5, 1.625})};
  }
  if (random.once_in(5))
    c.rules.board.offcuts.push_back(
        {static_cast<double>(random.whole(16, 40)), random.once_in(2), random.once_in(3)});
  c.rules.joints.gap = 0;
  c.rules.joints.window = 0;
  c.rules.joints.stagger = random.of({1.0, 2.0, 1.5}) * size.spacing;
  c.rules.joints.min_piece = random.of({1.0, 0.75}) * size.spacing;
  c.rules.joints.repeat_after = random.whole(1, 3);
  c.rules.joints.factory_ends = !random.once_in(4);
  c.rules.cutting.kerf = random.of({0.0, 0.125});
  for (int k = 0; k <= courses; ++k) c.pole.lines.push_back(7.0 * k);
  for (int k = 0; k < courses; ++k) c.pole.exposures.push_back(7.0);
  c.pole.lines.pop_back();
  c.pole.exposures.pop_back();
  c.courses = {0, courses - 1, 8.25, false};
  double hole_from = 0, hole_to = 0;
  int hole_low = 0, hole_high = -1;
  if (random.once_in(2)) {
    hole_from = random.whole(12, static_cast<int>(width) - 24);
    hole_to = hole_from + random.whole(6, 24);
    hole_low = random.whole(0, courses - 1);
    hole_high = random.whole(hole_low, courses - 1);
    lapwright::GrownOpening grown;
    const double y0 = 7.0 * hole_low, y1 = 7.0 * hole_high + 8.25;
    grown.outline = {{hole_from, y0}, {hole_to, y0}, {hole_to, y1}, {hole_from, y1}};
    c.region.openings.push_back(grown);
  }
  for (int k = 0; k < courses; ++k) {
    const double y = 7.0 * k;
    std::vector<std::pair<double, double>> parts{{3.625, width - 3.625}};
    if (k >= hole_low && k <= hole_high) parts = {{3.625, hole_from}, {hole_to, width - 3.625}};
    for (const auto& part : parts)
      if (part.second - part.first > 1 && c.runs.runs.size() < size.most_runs)
        c.runs.runs.push_back(box(k, part.first, part.second, y));
  }
  return c;
}

/// Something to be cut that is no whole board.
struct Part {
  double length = 0;
  int ends = 0;
  bool operator<(const Part& o) const { return length != o.length ? length < o.length : ends < o.ends; }
};
struct Choice {
  std::vector<double> studs;
  std::vector<Part> parts;
  std::vector<std::size_t> whole;  // stock
};

inline double longest(const Case& c) {
  return *std::max_element(c.rules.board.lengths.begin(), c.rules.board.lengths.end());
}

/// Every way to joint a run that keeps every rule; `most` and one more where there are more.
inline std::vector<Choice> choices(const Case& c, const lapwright::Run& run, std::size_t most_ways = 100000) {
  constexpr double near = 1e-6;
  const double most = longest(c), least = c.rules.joints.min_piece;
  const bool factory = c.rules.joints.factory_ends;
  if (run.x_max - run.x_min <= most + near) return {{{}, {{run.x_max - run.x_min, 0}}, {}}};
  std::vector<double> studs;
  const double low = c.pole.lines[static_cast<std::size_t>(run.course)], high = low + c.rules.board.width;
  for (const lapwright::Stud& stud : lapwright::lay_studs(c.wall)) {
    bool leg = stud.centre <= run.x_min || stud.centre >= run.x_max;
    for (const lapwright::GrownOpening& g : c.region.openings)
      leg = leg || (g.outline[2].y > low + near && g.outline[0].y < high - near &&
                    stud.centre > g.outline[0].x - c.rules.cutting.min_leg + near &&
                    stud.centre < g.outline[1].x + c.rules.cutting.min_leg - near);
    if (!leg) studs.push_back(stud.centre);
  }
  std::vector<Choice> out;
  Choice now;
  struct Grow {
    static void from(const Case& of, const lapwright::Run& r, const std::vector<double>& at,
                     std::size_t first, double begin, double shortest, double greatest, bool ends,
                     Choice& built, std::vector<Choice>& all, std::size_t limit) {
      if (all.size() > limit) return;
      const auto fits = [&](double length) { return length >= shortest - 1e-6 && length <= greatest + 1e-6; };
      if (!built.studs.empty() && fits(r.x_max - begin)) {
        built.parts.push_back({r.x_max - begin, ends ? 1 : 0});
        all.push_back(built);
        built.parts.pop_back();
      }
      for (std::size_t i = first; i < at.size(); ++i) {
        const double length = at[i] - begin;
        if (!fits(length)) continue;
        const bool middle = !built.studs.empty();
        std::size_t stock = of.rules.board.lengths.size();
        for (std::size_t s = 0; s < of.rules.board.lengths.size(); ++s)
          if (std::fabs(of.rules.board.lengths[s] - length) < 1e-6) stock = s;
        const bool whole = stock < of.rules.board.lengths.size();
        if (middle && ends && !whole) continue;
        const double grid = length / of.rules.courses.division;
        if (middle && !whole && std::fabs(grid - std::round(grid)) > 1e-4) continue;
        built.studs.push_back(at[i]);
        if (middle && ends)
          built.whole.push_back(stock);
        else
          built.parts.push_back({length, ends ? 1 : 0});
        from(of, r, at, i + 1, at[i], shortest, greatest, ends, built, all, limit);
        built.studs.pop_back();
        if (middle && ends)
          built.whole.pop_back();
        else
          built.parts.pop_back();
      }
    }
  };
  Grow::from(c, run, studs, 0, run.x_min, least, most, factory, now, out, most_ways);
  return out;
}

/// Whether two choices may stand in courses that far apart.
inline bool agree(const Case& c, const Choice& a, const Choice& b, int apart) {
  for (double p : a.studs)
    for (double q : b.studs) {
      if (apart == 1 && std::fabs(p - q) < c.rules.joints.stagger - 1e-6) return false;
      if (apart >= 1 && apart < c.rules.joints.repeat_after && std::fabs(p - q) < 1e-6) return false;
    }
  return true;
}

inline double price(const Case& c, std::size_t stock) {
  const std::vector<double>& lengths = c.rules.board.lengths;
  return c.rules.board.prices.empty() ? lengths[stock] / *std::min_element(lengths.begin(), lengths.end())
                                      : c.rules.board.prices[stock];
}

/// A board that can be bought, or an offcut on hand.
struct Stock {
  double length = 0, price = 0;
  int ends = 2, available = -1;
};
inline std::vector<Stock> stocks(const Case& c) {
  std::vector<Stock> out;
  for (std::size_t s = 0; s < c.rules.board.lengths.size(); ++s)
    out.push_back({c.rules.board.lengths[s], price(c, s), 2, -1});
  for (const lapwright::StockOffcut& o : c.rules.board.offcuts)
    out.push_back({o.length, 0, (o.factory_left ? 1 : 0) + (o.factory_right ? 1 : 0), 1});
  return out;
}

}  // namespace joint_model
