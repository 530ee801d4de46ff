// How far boards are from the least that is proven: house_costs [--effort E] [-v] JOB.json|A-B ...
//
// A job file, or random houses of seeds A to B (random_house.hpp). Prints one line a house - cost, proven
// minimum, how far over, steps, CPU milliseconds of the first answer and of the whole search - then sums and
// the distribution. Exit code 0 whatever the figures.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include <lapwright/document.hpp>
#include <lapwright/plan.hpp>
#include <lapwright/search.hpp>

#include "../laid_house.hpp"
#include "../random_house.hpp"

namespace {

using namespace lapwright;

double milliseconds() {
  std::timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) / 1e6;
}

struct Watch {
  double start = 0, first = -1;
  bool every = false;
};
bool watch(const SearchProgress& progress, void* context) {
  Watch& w = *static_cast<Watch*>(context);
  if (w.first < 0) w.first = milliseconds() - w.start;
  if (w.every)
    std::printf("    %8.1f ms  steps %7lld  cost %g  bound %g\n", milliseconds() - w.start,
                static_cast<long long>(progress.steps), progress.cost, progress.bound);
  return true;
}

struct Line {
  std::string name;
  double cost = 0, bound = 0, unit = 1, first = 0, whole = 0, steps = 0;
  double boards() const { return (cost - bound) / unit; }
  double percent() const { return bound > 0 ? (cost / bound - 1) * 100 : 0; }
};

/// \return whether it was not refused
bool measure(const std::string& name, const Job& job, bool every, std::vector<Line>& lines) {
  const Rules& rules = job.rules;
  const std::size_t count = job.walls.size();
  try {
    std::vector<Fault> faults = check_job(job);
    if (!faults.empty()) throw Refused(std::move(faults));
    const lapwright_test::LaidHouse house = lapwright_test::lay_runs(job);
    std::vector<SearchWall> walls;
    std::size_t number = 0;
    for (std::size_t k = 0; k < count; ++k) {
      walls.push_back({&job.walls[k], &house.walls[k].region, &house.courses.walls[k], &house.walls[k].runs});
      number += house.walls[k].runs.runs.size();
    }
    Watch w;
    w.every = every;
    w.start = milliseconds();
    const Settled settled = settle_boards(walls, house.courses.pole, rules, watch, &w);
    Line line;
    line.whole = milliseconds() - w.start;
    line.first = w.first;
    line.steps = static_cast<double>(settled.steps);
    line.name = name;
    line.cost = settled.packing.cost;
    line.bound = settled.proven_minimum;
    const std::vector<double> prices = board_prices(rules);
    for (std::size_t s = 0; s < prices.size(); ++s)
      if (s == 0 || prices[s] < line.unit) line.unit = prices[s];
    std::printf(
        "%-26s walls %zu  runs %4zu  cost %9.3f  bound %9.3f  over %6.2f %6.2f %%  steps %7lld  first %6.2f "
        "ms  all %7.1f ms\n",
        name.c_str(), count, number, line.cost, line.bound, line.boards(), line.percent(),
        static_cast<long long>(settled.steps), line.first, line.whole);
    lines.push_back(line);
  } catch (const Refused& refused) {
    std::printf("%-26s refused: %s\n", name.c_str(), refused.what());
    std::fflush(stdout);
    return false;
  }
  std::fflush(stdout);
  return true;
}

double middle(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

void summary(const std::vector<Line>& lines, int refused) {
  if (lines.empty()) return;
  double cost = 0, bound = 0, most = 0, most_percent = 0, steps = 0;
  std::vector<double> first, whole;
  std::size_t proven = 0, far = 0;
  std::map<int, std::size_t> over;
  for (const Line& line : lines) {
    cost += line.cost;
    bound += line.bound;
    const bool met = line.boards() <= 1e-6;
    proven += met ? 1 : 0;
    const int boards = met ? 0 : static_cast<int>(line.boards() - 1e-6) + 1;
    ++over[std::min(boards, 9)];
    most = std::max(most, line.boards());
    most_percent = std::max(most_percent, line.percent());
    far += line.boards() > 2 + 1e-6 && line.percent() > 2 + 1e-6 ? 1 : 0;
    first.push_back(line.first);
    whole.push_back(line.whole);
    steps += line.steps;
  }
  const double n = static_cast<double>(lines.size());
  std::printf("\n%zu houses (%d more refused): cost %.3f, proven minimum %.3f, over by %.3f %%\n",
              lines.size(), refused, cost, bound, (cost / bound - 1) * 100);
  std::printf(
      "proven best: %zu (%.1f %%); more than 2 boards and 2 %% over: %zu; most over %.2f boards, %.2f %%\n",
      proven, 100 * static_cast<double>(proven) / n, far, most, most_percent);
  std::printf("boards over:");
  for (const auto& entry : over)
    std::printf("  %s%d: %zu", entry.first == 9 ? ">= " : "", entry.first, entry.second);
  std::printf(
      "\nfirst answer: median %.2f ms, slowest %.2f ms; whole search: median %.1f ms, slowest %.1f ms; "
      "%.0f steps in all\n",
      middle(first), *std::max_element(first.begin(), first.end()), middle(whole),
      *std::max_element(whole.begin(), whole.end()), steps);
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<Line> lines;
  bool every = false;
  int refusals = 0;
  double effort = 0;
  for (int i = 1; i < argc; ++i) {
    if (std::strcmp(argv[i], "-v") == 0) {
      every = true;
      continue;
    }
    if (std::strcmp(argv[i], "--effort") == 0 && i + 1 < argc) {
      effort = std::strtod(argv[++i], nullptr);
      continue;
    }
    int a = 0, b = 0;
    const int read = std::sscanf(argv[i], "%d-%d", &a, &b);
    std::ifstream in(argv[i]);
    if (!in && read >= 1) {
      for (int seed = a; seed <= (read > 1 ? b : a); ++seed) {
        Job job = lapwright_test::random_house(static_cast<std::uint64_t>(seed));
        if (effort > 0) job.rules.search.effort = effort;
        refusals += measure("house " + std::to_string(seed), job, every, lines) ? 0 : 1;
      }
      continue;
    }
    std::string name = argv[i];
    name = name.substr(name.rfind('/') + 1);
    try {
      Job job = read_job(std::string(std::istreambuf_iterator<char>(in), {}));
      if (effort > 0) job.rules.search.effort = effort;
      refusals += measure(name, job, every, lines) ? 0 : 1;
    } catch (const Refused& refused) {
      ++refusals;
      std::printf("%-26s refused: %s\n", name.c_str(), refused.what());
    }
  }
  summary(lines, refusals);
}
