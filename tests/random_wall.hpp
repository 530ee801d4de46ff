#pragma once
// One wall from a seed, of any simple shape, with openings that may touch, overlap, share edges or pass the
// outline: harder than any house. Families: 0 the sixteenth grid, 1 irrational scale and offset, 2 turned by
// an irrational angle, 3 the grid with spikes and jitter of 1e-9, 4 whole millimetres.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include <lapwright/job.hpp>

#include "random_house.hpp"

namespace lapwright_test {

struct RandomWall {
  lapwright::Wall wall;
  double first_line = 0;
  int family = 0;
};

inline RandomWall random_wall(std::uint64_t seed) {
  using lapwright::Edge;
  using lapwright::EdgeKind;
  using lapwright::Opening;
  using lapwright::Point;
  using lapwright::Ring;
  Random r(seed ^ 0xBADD5EEDu);
  RandomWall out;
  out.family = r.whole(0, 4);
  lapwright::Wall& wall = out.wall;
  wall.name = "wall";

  // A coordinate on the grid; often on a course line (7 in), where everything goes wrong that can.
  const auto grid = [&](int low, int high) {
    switch (r.whole(0, 3)) {
      case 0:
        return 7.0 * r.whole((low + 6) / 7, high / 7);
      case 1:
        return static_cast<double>(r.whole(low, high));
      default:
        return r.whole(low * 16, high * 16) / 16.0;
    }
  };

  const int width = r.whole(60, 400), height = r.whole(30, 220);
  Ring outline;
  std::vector<EdgeKind> kinds;
  const int shape = r.whole(0, 3);
  if (shape == 0) {  // rectangle, gable or shed
    outline = {{0, 0}, {static_cast<double>(width), 0}, {static_cast<double>(width), grid(20, height)}};
    if (r.once_in(2)) outline.push_back({grid(width / 4, width * 3 / 4), grid(height, height + 120)});
    outline.push_back({0, grid(20, height)});
  } else if (shape == 1) {  // steps and slopes above and below, each over the other
    std::vector<double> x = {0, static_cast<double>(width)};
    for (int i = r.whole(1, 5); i > 0; --i) x.push_back(grid(5, width - 5));
    std::sort(x.begin(), x.end());
    x.erase(std::unique(x.begin(), x.end()), x.end());
    const bool steps = r.once_in(2);
    double y = grid(0, 40);
    for (std::size_t i = 0; i + 1 < x.size(); ++i) {
      outline.push_back({x[i], y});
      if (!steps || r.once_in(3)) y = grid(0, 40);
      outline.push_back({x[i + 1], y});
      if (steps && r.once_in(2)) y = grid(0, 40);
    }
    y = grid(60, 60 + height);
    for (std::size_t i = x.size() - 1; i > 0; --i) {
      outline.push_back({x[i], y});
      if (!steps || r.once_in(3)) y = grid(60, 60 + height);
      outline.push_back({x[i - 1], y});
      if (steps && r.once_in(2)) y = grid(60, 60 + height);
    }
  } else if (shape == 2) {  // a star of any radius: reflex corners, thin arms
    const int n = r.whole(5, 12);
    for (int i = 0; i < n; ++i) {
      const double turn = 6.283185307179586 * (i + r.whole(0, 40) / 100.0) / n;
      const double radius = grid(30, 150);
      outline.push_back({200 + std::round(16 * radius * std::cos(turn)) / 16,
                         150 + std::round(16 * radius * std::sin(turn)) / 16});
    }
  } else {  // convex: a cut-off rectangle
    const double w = width, h = height, c = grid(1, 25);
    outline = {{c, 0}, {w - c, 0}, {w, c}, {w, h}, {w - 2 * c, h + c}, {2 * c, h + c}, {0, h}, {0, c}};
    if (w < 5 * c) outline = {{0, 0}, {w, 0}, {w, h}, {0, h}};
  }
  if (r.once_in(3)) {  // measured in more points than needed
    const std::size_t i = static_cast<std::size_t>(r.whole(0, static_cast<int>(outline.size()) - 1));
    const Point a = outline[i], b = outline[(i + 1) % outline.size()];
    outline.insert(outline.begin() + static_cast<std::ptrdiff_t>(i) + 1, {(a.x + b.x) / 2, (a.y + b.y) / 2});
  }
  if (r.once_in(4)) {  // a vertex twice
    const std::size_t i = static_cast<std::size_t>(r.whole(0, static_cast<int>(outline.size()) - 1));
    outline.insert(outline.begin() + static_cast<std::ptrdiff_t>(i), outline[i]);
  }

  const auto opening = [&](Ring ring, double depth, bool rectangle) {
    Opening o;
    o.name = "O" + std::to_string(wall.openings.size());
    o.outline = std::move(ring);
    o.rectangle = rectangle;
    o.trim.assign(o.outline.size(), depth);
    o.gap.assign(o.outline.size(), 0);
    if (r.once_in(3))
      for (double& g : o.gap) g = r.whole(0, 8) / 16.0;
    wall.openings.push_back(std::move(o));
  };
  double before_x = 0, before_y = 0, before_right = 0, before_top = 0;
  for (int i = r.whole(0, 8); i > 0; --i) {
    double x = grid(0, width), y = grid(0, height);
    const double w = grid(7, 80), h = grid(7, 80);
    if (i % 3 == 1) x = before_right;  // shared edges and corners
    if (i % 4 == 1) y = r.once_in(2) ? before_top : before_y;
    if (r.once_in(8)) x = before_x;
    const double depth = r.of({0.0, 0.0, 1.0, 3.5, 3.625});
    const int kind = r.whole(0, 5);
    if (kind <= 2) {
      opening({{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, depth, true);
    } else if (kind == 3) {  // eight-sided
      const double c = std::min(w, h) / 4;
      opening({{x + c, y},
               {x + w - c, y},
               {x + w, y + c},
               {x + w, y + h - c},
               {x + w - c, y + h},
               {x + c, y + h},
               {x, y + h - c},
               {x, y + c}},
              depth, false);
    } else if (kind == 4) {  // triangle, either way round
      if (r.once_in(2))
        opening({{x, y}, {x + w, y}, {x + w / 2, y + h}}, depth, false);
      else
        opening({{x, y + h}, {x + w, y + h}, {x + w / 2, y}}, depth, false);
    } else {  // with an inside corner
      opening(
          {{x, y}, {x + w, y}, {x + w, y + h}, {x + w / 2, y + h}, {x + w / 2, y + h / 2}, {x, y + h / 2}},
          depth, false);
    }
    before_x = x, before_y = y, before_right = x + w, before_top = y + h;
  }

  double scale = 1, dx = 0, dy = 0, c = 1, s = 0;
  if (out.family == 1) scale = 1.0471975511965976, dx = 1.4142135623730951, dy = 1.7320508075688772;
  if (out.family == 2) {
    const double turn = r.whole(1, 1000) / 500.0 * 3.14159;
    c = std::cos(turn), s = std::sin(turn);
  }
  const auto place = [&](Ring& ring) {
    for (Point& p : ring) {
      p = {p.x * scale + dx, p.y * scale + dy};
      if (out.family == 2) p = {c * p.x - s * p.y, s * p.x + c * p.y};
      if (out.family == 3) p = {p.x + r.whole(-2, 2) * 1e-9, p.y + r.whole(-2, 2) * 1e-9};
      if (out.family == 4) p = {std::round(p.x * 25.4) / 25.4, std::round(p.y * 25.4) / 25.4};
    }
  };
  place(outline);
  for (Opening& o : wall.openings) place(o.outline);
  // As every stage sees them: on the coordinate grid.
  wall.outline = outline;
  const bool trimmed = r.whole(0, 2) > 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    Edge e{r.of({EdgeKind::corner, EdgeKind::rake, EdgeKind::roof, EdgeKind::wall, EdgeKind::top}), 0, 0};
    if (trimmed) e.trim = r.of({0.0, 1.0, 3.5, 3.5, 5.5}), e.gap = r.of({0.0, 0.125, 2.0});
    wall.edges.push_back(e);
  }
  if (r.once_in(3)) {
    std::reverse(wall.outline.begin(), wall.outline.end());
    std::reverse(wall.edges.begin(), wall.edges.end());
    std::rotate(wall.edges.begin(), wall.edges.begin() + 1, wall.edges.end());
  }
  double lowest = 1e9;
  for (Point p : outline) lowest = std::min(lowest, p.y);
  out.first_line = 7 * std::floor(lowest / 7) - 7;
  return out;
}

}  // namespace lapwright_test
