// The plain cutting problem beside arc-flow models (Valerio de Carvalho 1999) that CBC and GLPK solve: bins,
// bound, steps and time of each in one run. Instances are made from their published definitions.
//   bench_cutting [SECONDS]    processor seconds that each solver may take for one instance (default 20)
// Needs the commands cbc (coinor-cbc) and glpsol (glpk-utils). `?`: not proven in time; `-`: no answer.
#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/cutting.hpp>

#include "../cutting_classes.hpp"

namespace {

/// Arc-flow: positions on the stock length are nodes, a piece an arc; pieces come by falling length, so that
/// a position is reached by no longer piece than those before it.
std::string arc_flow(const std::vector<lapwright::CutDemand>& demands, int capacity) {
  std::vector<std::pair<int, long long>> items;
  for (const lapwright::CutDemand& d : demands) items.push_back({static_cast<int>(d.length), d.count});
  std::sort(items.rbegin(), items.rend());
  std::set<std::pair<int, std::size_t>> arcs;  // from, item
  std::vector<char> reached(static_cast<std::size_t>(capacity) + 1, 0);
  reached[0] = 1;
  for (std::size_t i = 0; i < items.size(); ++i) {
    std::vector<int> from;
    for (int p = 0; p <= capacity; ++p)
      if (reached[static_cast<std::size_t>(p)]) from.push_back(p);
    for (int p : from)
      for (long long n = 0; n < items[i].second && p + items[i].first <= capacity; ++n) {
        arcs.insert({p, i});
        p += items[i].first;
        reached[static_cast<std::size_t>(p)] = 1;
      }
  }
  std::vector<std::string> in(static_cast<std::size_t>(capacity) + 1),
      out(static_cast<std::size_t>(capacity) + 1), used(items.size());
  std::ostringstream generals;
  for (const auto& arc : arcs) {
    const std::string name = "a" + std::to_string(arc.first) + "_" + std::to_string(arc.second);
    out[static_cast<std::size_t>(arc.first)] += " - " + name + "\n";
    in[static_cast<std::size_t>(arc.first + items[arc.second].first)] += " + " + name + "\n";
    used[arc.second] += " + " + name + "\n";
    generals << " " << name << "\n";
  }
  // What is left of a stock length goes to its end.
  for (int p = 1; p < capacity; ++p)
    if (reached[static_cast<std::size_t>(p)]) {
      const std::string name = "w" + std::to_string(p);
      out[static_cast<std::size_t>(p)] += " - " + name + "\n";
      in[static_cast<std::size_t>(capacity)] += " + " + name + "\n";
    }
  std::ostringstream lp;
  lp << "Minimize\n obj: z\nSubject To\n z" << out[0] << " = 0\n";
  for (int p = 1; p < capacity; ++p)
    if (reached[static_cast<std::size_t>(p)])
      lp << in[static_cast<std::size_t>(p)] << out[static_cast<std::size_t>(p)] << " = 0\n";
  lp << in[static_cast<std::size_t>(capacity)] << " - z = 0\n";
  for (std::size_t i = 0; i < items.size(); ++i) lp << used[i] << " >= " << items[i].second << "\n";
  lp << "Generals\n z\n" << generals.str() << "End\n";
  return lp.str();
}

double child_seconds() {
  rusage usage{};
  getrusage(RUSAGE_CHILDREN, &usage);
  return static_cast<double>(usage.ru_utime.tv_sec) + static_cast<double>(usage.ru_utime.tv_usec) * 1e-6;
}

/// Runs a solver; what it says and how long it took.
std::string run(const std::string& command, const std::string& answer, const char* optimal,
                const char* value) {
  std::remove(answer.c_str());
  const double before = child_seconds();
  const int status = std::system(command.c_str());
  const double seconds = child_seconds() - before;
  std::ifstream in(answer);
  std::string line, said = "-";
  bool proven = false;
  while (std::getline(in, line)) {
    proven = proven || line.find(optimal) != std::string::npos;
    if (line.find("UNDEFINED") != std::string::npos) break;  // no answer
    const std::size_t at = line.find(value);
    if (said == "-" && at != std::string::npos) {
      const std::size_t digit = line.find_first_of("0123456789", at + std::string(value).size());
      if (digit != std::string::npos) said = std::to_string(std::lround(std::atof(line.c_str() + digit)));
    }
  }
  char out[64];
  std::snprintf(out, sizeof out, "%6s%s %8.2f s", said.c_str(), proven && status == 0 ? " " : "?", seconds);
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  using namespace cutting_classes;
  const int limit = argc > 1 ? std::max(1, std::atoi(argv[1])) : 20;
  const std::vector<Instance> instances{uniform(120, 0),
                                        uniform(250, 0),
                                        uniform(1000, 0),
                                        triplet(60, 0),
                                        triplet(120, 0),
                                        triplet(501, 0),
                                        schwerin(1, 0),
                                        schwerin(2, 0),
                                        scholl1(200, 100, 20, 0),
                                        scholl1(500, 150, 1, 0),
                                        scholl2(100, 5, 50, 0),
                                        scholl2(200, 3, 90, 0),
                                        scholl3(1)};
  const bool cbc = std::system("command -v cbc >/dev/null 2>&1") == 0;
  const bool glpk = std::system("command -v glpsol >/dev/null 2>&1") == 0;
  std::printf("%-20s %6s %6s %6s %9s %10s | %18s | %18s\n", "instance", "known", "bins", "bound", "steps",
              "time", "CBC, arc-flow", "GLPK, arc-flow");
  for (const Instance& instance : instances) {
    const std::vector<lapwright::CutDemand> all = demands(instance);
    const std::clock_t start = std::clock();
    const lapwright::CutLengths cut =
        lapwright::cut_lengths(all, {{static_cast<double>(instance.capacity), 1}}, 0);
    const double ms = 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    std::string other[2] = {"too large", "too large"};
    if (instance.capacity <= 10000) {
      other[0] = cbc ? "" : "not here";
      other[1] = glpk ? "" : "not here";
      std::ofstream("bench_cutting.lp") << arc_flow(all, instance.capacity);
      const std::string seconds = std::to_string(limit), most = std::to_string(2 * limit);
      // Their own limits are not always kept; the shell's is.
      if (cbc)
        other[0] = run("ulimit -t " + most + "; cbc bench_cutting.lp sec " + seconds +
                           " solve solution bench_cutting.sol >/dev/null 2>&1",
                       "bench_cutting.sol", "Optimal", "objective value");
      if (glpk)
        other[1] = run("ulimit -t " + most + "; glpsol --lp bench_cutting.lp --tmlim " + seconds +
                           " --cuts -o bench_cutting.sol >/dev/null 2>&1",
                       "bench_cutting.sol", "INTEGER OPTIMAL", "Objective:  obj =");
    }
    const std::string known = instance.optimum < 0 ? "-" : std::to_string(instance.optimum);
    std::printf("%-20s %6s %6.0f %6.0f %9lld %7.1f ms | %18s | %18s\n", instance.name.c_str(), known.c_str(),
                cut.cost, cut.bound, static_cast<long long>(cut.steps), ms, other[0].c_str(),
                other[1].c_str());
    std::fflush(stdout);
  }
  std::printf("?: not proven within %d s\n", limit);
  std::remove("bench_cutting.lp");
  std::remove("bench_cutting.sol");
}
