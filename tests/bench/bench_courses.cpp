// The story pole: time against height, grid and freedom. The ratios of 10, 20, 40 and 80 ft stand side by
// side.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

#include <lapwright/courses.hpp>

namespace {

// Windows at changing heights, storey by storey: `count` marks in all.
std::vector<lapwright::WallHeights> tall_wall(double feet, int count) {
  lapwright::WallHeights wall;
  wall.wall = "south";
  wall.highest = feet * 12 + 0.4375;
  std::uint64_t state = 1;
  for (int m = 0; m < count; ++m) {
    state = state * 6364136223846793005u + 1442695040888963407u;
    const double jitter = static_cast<double>((state >> 33) % 64) / 16;
    lapwright::Mark mark;
    mark.height = (m + 0.7) * (feet * 12 - 8) / count + jitter;
    mark.board_below = m % 2 == 0;
    wall.marks.push_back(mark);
  }
  return {wall};
}

void fitted(benchmark::State& state, double feet, int marks, double division) {
  lapwright::Rules rules;
  rules.courses.division = division;
  const auto walls = tall_wall(feet, marks);
  lapwright::Courses courses;
  for (auto _ : state) {
    courses = lapwright::lay_courses(walls, rules);
    benchmark::DoNotOptimize(courses.pole.lines.data());
  }
  const lapwright::PoleCost cost = lapwright::pole_cost(walls, courses.pole, rules);
  state.counters["bad_strips"] = cost.bad_strips;
  state.counters["courses"] = cost.courses;
  state.counters["settings"] = cost.settings;
}

/// Milliseconds of one call, the least of several.
double best_time(double feet, double division) {
  lapwright::Rules rules;
  rules.courses.division = division;
  const auto walls = tall_wall(feet, 30);
  double best = 1e9;
  for (int i = 0; i < 15; ++i) {
    const std::clock_t before = std::clock();
    for (int k = 0; k < 4; ++k)
      benchmark::DoNotOptimize(lapwright::lay_courses(walls, rules).pole.lines.data());
    best = std::min(best, static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC * 1000 / 4);
  }
  return best;
}

}  // namespace

int main(int argc, char** argv) {
  const double mm = 1 / 25.4;
  const struct {
    const char* name;
    double division;
  } grids[] = {{"1/16 in", 1.0 / 16}, {"1/32 in", 1.0 / 32}, {"1 mm", mm}};
  for (const auto& grid : grids)
    for (double feet : {10.0, 20.0, 40.0, 80.0})
      benchmark::RegisterBenchmark(("fitted/" + std::string(grid.name) + "/" +
                                    std::to_string(static_cast<int>(feet)) + " ft, 30 marks")
                                       .c_str(),
                                   [=](benchmark::State& s) { fitted(s, feet, 30, grid.division); })
          ->Unit(benchmark::kMillisecond);
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  std::printf("time over that of 10 ft (linear: 2, 4, 8)\n");
  for (const auto& grid : grids) {
    const double ten = best_time(10, grid.division);
    std::printf("  %-8s", grid.name);
    for (double feet : {20.0, 40.0, 80.0})
      std::printf("  %2.0f ft %5.2f", feet, best_time(feet, grid.division) / ten);
    std::printf("\n");
  }
  return 0;
}
