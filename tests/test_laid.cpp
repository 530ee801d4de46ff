// From a job to its pieces: walls that people really have, and slopes measured in many points.
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/document.hpp>

#include "area_between.hpp"
#include "laid_house.hpp"
#include "real_jobs.hpp"

using namespace lapwright;

namespace {

std::string file_text(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

using lapwright_test::area_between;

}  // namespace

// 46 facades of real houses; ../shared/data/real says where they come from.
BOOST_AUTO_TEST_CASE(real_walls_become_pieces) {
  const std::vector<std::filesystem::path> files = lapwright_test::real_jobs();
  if (files.empty()) return;
  std::size_t walls = 0, runs = 0, pieces = 0;
  for (const std::filesystem::path& path : files) {
    const Job job = read_job(file_text(path));
    std::vector<WallHeights> heights;
    for (const Wall& wall : job.walls) heights.push_back(wall_heights(wall, siding_region(wall, job.rules)));
    const Courses courses = lay_courses(heights, job.rules);
    const std::vector<double>& lines = courses.pole.lines;
    for (std::size_t w = 0; w < job.walls.size(); ++w) {
      const Wall& wall = job.walls[w];
      const WallCourses& own = courses.walls[w];
      if (own.last_course < 0) continue;
      BOOST_TEST_CONTEXT(path.filename() << " wall " << wall.name) {
        ++walls;
        std::optional<double> first_line;
        if (!own.ripped_start) first_line = lines[static_cast<std::size_t>(own.first_course)];
        const Region region = siding_region(wall, job.rules, first_line);
        const Runs found = find_runs(wall, region, courses.pole, own, job.rules);
        runs += found.runs.size();
        double shown = 0;
        for (const Run& run : found.runs) {
          const auto k = static_cast<std::size_t>(run.course);
          const double top = run.course < own.last_course ? lines[k + 1] : 1e5;
          BOOST_TEST(detail::signed_area(run.shape.outer) > 0);
          shown += area_between(run.shape.outer, lines[k], top);
          for (const Ring& hole : run.shape.holes) shown += area_between(hole, lines[k], top);
        }
        // What is too narrow for a nail is reported and left.
        double left = 0;
        for (const Finding& f : found.findings)
          if (f.code == "infill") left += f.measured.value_or(0) * job.rules.board.width;
        const auto first = static_cast<std::size_t>(std::max(own.first_course, courses.pole.built));
        const double whole = region_area(region, lines[first]);
        BOOST_TEST(shown <= whole * (1 + 1e-6));
        BOOST_TEST(shown >= whole * (1 - 1e-6) - left);
        // Pieces without a joint: as many as runs, and with the same outline.
        std::vector<Run> short_enough;
        for (const Run& run : found.runs)
          if (run.x_max - run.x_min <= 144) short_enough.push_back(run);
        Runs laid;
        laid.runs = short_enough;
        const std::vector<Piece> cut = cut_pieces(wall, region, laid, {}, courses.pole, job.rules);
        pieces += cut.size();
        BOOST_TEST(cut.size() == laid.runs.size());
        for (const Piece& piece : cut)
          for (const Cut& c : piece.cuts) {
            BOOST_TEST(c.front.size() == c.back.size());
            BOOST_TEST(!c.callout.empty());
          }
      }
    }
  }
  BOOST_TEST_MESSAGE(files.size() << " jobs, " << walls << " walls, " << runs << " runs, " << pieces
                                  << " pieces without a joint");
  BOOST_TEST(files.size() >= 40);
}

// A tape read three times along one rake must not make three cuts of it: points that lie on a line but for
// the coordinate grid, and for whole millimetres' worth of nothing.
BOOST_AUTO_TEST_CASE(a_slope_in_many_points_is_one_rake) {
  for (int points = 0; points <= 7; ++points)
    for (double rise : {37.3, 63.7, 96.0, 111.1}) {
      Wall wall;
      wall.name = "gable";
      const double half = 120.0 / 7 * 5;
      wall.outline = {{0, 0}, {2 * half, 0}, {2 * half, 60}};
      wall.edges = {{EdgeKind::base, 0, 0}, {EdgeKind::corner, 3.5, 0.125}};
      for (int i = 1; i <= points; ++i) {  // right to left, up to the top
        wall.outline.push_back({2 * half - half * i / (points + 1), 60 + rise * i / (points + 1)});
        wall.edges.push_back({EdgeKind::rake, 5.5, 0.125});
      }
      wall.outline.push_back({half, 60 + rise});
      wall.outline.push_back({0, 60});
      wall.edges.push_back({EdgeKind::rake, 5.5, 0.125});
      wall.edges.push_back({EdgeKind::rake, 5.5, 0.125});
      wall.edges.push_back({EdgeKind::corner, 3.5, 0.125});
      Rules rules;
      rules.board.lengths = {192};
      const Region region = siding_region(wall, rules);
      const WallHeights heights = wall_heights(wall, region);
      const Courses courses = lay_courses({heights}, rules);
      const Runs runs = find_runs(wall, region, courses.pole, courses.walls[0], rules);
      int rakes = 0;
      for (const Piece& piece : cut_pieces(wall, region, runs, {}, courses.pole, rules)) {
        int leaning_left = 0, leaning_right = 0;  // one slope of the gable each
        for (const Cut& cut : piece.cuts)
          if (cut.kind == CutKind::rake)
            ++(cut.front.back().x < cut.front.front().x ? leaning_left : leaning_right);
        BOOST_TEST(std::max(leaning_left, leaning_right) <= 1,
                   piece.id << " with " << points << " points more, rise " << rise);
        rakes += leaning_left + leaning_right;
      }
      BOOST_TEST(rakes > 8);
    }
}
