/// \file hung_wall.hpp  A wall whose pieces are hung by hand, for the stages after the cuts.
#pragma once
#include <algorithm>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/fasteners.hpp>
#include <lapwright/takeoff.hpp>

namespace lapwright_test {

/// A wall with a pole of even courses from 0; it has no pieces yet.
struct HungWall {
  lapwright::Wall wall;
  lapwright::Rules rules;
  lapwright::Pole pole;
  lapwright::WallCourses courses;
  lapwright::Region region;
  std::vector<lapwright::Piece> pieces;
  std::vector<lapwright::Starter> starters;
  std::vector<lapwright::Joint> joints;

  explicit HungWall(double width = 192, int lines = 4, double exposure = 7) {
    wall.name = "south";
    wall.outline = {{0, 0}, {width, 0}, {width, lines * exposure}, {0, lines * exposure}};
    wall.edges.assign(4, lapwright::default_edge(lapwright::EdgeKind::corner));
    rules.board.lengths = {144};
    for (int k = 0; k < lines; ++k) pole.lines.push_back(k * exposure);
    pole.exposures.assign(static_cast<std::size_t>(lines) - 1, exposure);
    pole.settings = 1;
    courses.first_course = 0;
    courses.last_course = lines - 1;
    courses.last_rip = exposure;
  }
  lapwright::Piece& add(int course, lapwright::Ring outline, lapwright::Meets left = lapwright::Meets::corner,
                        lapwright::Meets right = lapwright::Meets::corner) {
    lapwright::Piece p;
    p.course = course;
    p.outline = std::move(outline);
    p.y = pole.lines[static_cast<std::size_t>(course)];
    p.x_min = p.x_max = p.outline[0].x;
    for (lapwright::Point q : p.outline) {
      p.x_min = std::min(p.x_min, q.x);
      p.x_max = std::max(p.x_max, q.x);
    }
    p.length = p.x_max - p.x_min;
    p.left.meets = left;
    p.right.meets = right;
    p.id = "south-" + std::to_string(course) + "-" + std::to_string(pieces.size());
    pieces.push_back(p);
    return pieces.back();
  }
  lapwright::Piece& board(int course, double x0, double x1, lapwright::Meets left = lapwright::Meets::corner,
                          lapwright::Meets right = lapwright::Meets::corner) {
    const double y = pole.lines[static_cast<std::size_t>(course)];
    const double top = course == courses.last_course ? y + courses.last_rip : y + rules.board.width;
    return add(course, {{x0, y}, {x1, y}, {x1, top}, {x0, top}}, left, right);
  }
  /// A board in each course that has none yet.
  void cover(double x0, double x1) {
    for (int k = 0; k <= courses.last_course; ++k) {
      bool there = false;
      for (const lapwright::Piece& p : pieces) there = there || p.course == k;
      if (!there) board(k, x0, x1);
    }
    std::stable_sort(pieces.begin(), pieces.end(), [](const lapwright::Piece& a, const lapwright::Piece& b) {
      return a.course < b.course;
    });
  }
  lapwright::Fastening nail() const {
    return lapwright::place_fasteners(wall, region, pole, courses, pieces, starters, rules);
  }
  lapwright::Takeoff take(const lapwright::Packing& packing = {}, double proven_minimum = 0,
                          const lapwright::TakeoffOptions& options = {}) const {
    const lapwright::Fastening fastening = nail();
    return lapwright::take_off({{&wall, &region, &courses, &pieces, &starters, &joints, &fastening}}, pole,
                               packing, proven_minimum, rules, options);
  }
};

}  // namespace lapwright_test
