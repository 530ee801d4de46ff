#pragma once
/// \file laid_house.hpp  A job taken through the stages up to its runs, or its pieces, joints wall by wall.
#include <cstddef>
#include <optional>
#include <vector>

#include <lapwright/courses.hpp>
#include <lapwright/pieces.hpp>
#include <lapwright/wall.hpp>

namespace lapwright_test {

struct LaidWall {
  lapwright::Region region;
  lapwright::Runs runs;
  lapwright::Joints joints;
  std::vector<lapwright::Piece> pieces;
};
struct LaidHouse {
  lapwright::Courses courses;
  std::vector<LaidWall> walls;
};

/// Up to the runs, which is where joints and boards begin. \throws Refused as the stages do.
inline LaidHouse lay_runs(const lapwright::Job& job) {
  using namespace lapwright;
  LaidHouse house;
  std::vector<WallHeights> heights;
  for (const Wall& wall : job.walls) heights.push_back(wall_heights(wall, siding_region(wall, job.rules)));
  house.courses = lay_courses(heights, job.rules);
  const Pole& pole = house.courses.pole;
  for (std::size_t w = 0; w < job.walls.size(); ++w) {
    const Wall& wall = job.walls[w];
    const WallCourses& courses = house.courses.walls[w];
    LaidWall& out = house.walls.emplace_back();
    std::optional<double> first_line;
    if (courses.last_course >= 0 && !courses.ripped_start)
      first_line = pole.lines[static_cast<std::size_t>(courses.first_course)];
    out.region = siding_region(wall, job.rules, first_line);
    if (courses.last_course >= 0) out.runs = find_runs(wall, out.region, pole, courses, job.rules);
  }
  return house;
}

/// \throws Refused as the stages do.
inline LaidHouse lay_house(const lapwright::Job& job) {
  using namespace lapwright;
  LaidHouse house = lay_runs(job);
  const Pole& pole = house.courses.pole;
  for (std::size_t w = 0; w < job.walls.size(); ++w) {
    const Wall& wall = job.walls[w];
    LaidWall& out = house.walls[w];
    if (house.courses.walls[w].last_course < 0) continue;
    out.joints = place_joints(wall, out.region, out.runs, pole, job.rules);
    out.pieces = cut_pieces(wall, out.region, out.runs, out.joints.joints, pole, job.rules);
  }
  return house;
}

}  // namespace lapwright_test
