// The house model against exhaustive search: the bound never exceeds the least cost, the check agrees with
// the search, and a dive's layouts agree with one another.
#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/house.hpp>
#include <lapwright/search.hpp>

#include "cutting_classes.hpp"
#include "laid_house.hpp"
#include "random_house.hpp"

using namespace lapwright::detail;

namespace {

HouseModel random_model(std::uint64_t seed) {
  cutting_classes::Random random(seed);
  HouseModel model;
  model.stocks.push_back({144, 2, 1, -1});
  if (random.between(0, 2) == 0) model.stocks.push_back({192, 2, 1.25, -1});
  if (random.between(0, 3) == 0) model.stocks.push_back({60, 1, 0, 1});
  model.joint_price = 0.002;
  const int courses = random.between(1, 4);
  for (int c = 0; c < courses; ++c) {
    HouseRun run;
    run.course = c;
    run.x_max = 260;
    run.stagger = 32;
    run.repeat_after = 3;
    const int layouts = random.between(1, 4);
    for (int l = 0; l < layouts; ++l) {
      HouseLayout layout;
      layout.studs.push_back(16 * random.between(2, 12));
      layout.needs.push_back({random.between(20, 120), 1});
      layout.needs.push_back({random.between(20, 120), 1});
      if (random.between(0, 3) == 0) layout.whole.push_back(0);
      run.layouts.push_back(layout);
    }
    model.runs.push_back(run);
    if (random.between(0, 1) == 1) {
      HouseRun single;
      single.course = c;
      single.x_min = 400;
      single.x_max = 440;
      HouseLayout layout;
      layout.needs.push_back({random.between(15, 100), 0});
      single.layouts.push_back(layout);
      model.runs.push_back(single);
    }
  }
  return model;
}

double packed(const HouseModel& model, const std::vector<std::size_t>& chosen) {
  std::vector<HouseNeed> needs;
  double cost = 0;
  for (std::size_t r = 0; r < chosen.size(); ++r) {
    const HouseLayout& layout = model.runs[r].layouts[chosen[r]];
    needs.insert(needs.end(), layout.needs.begin(), layout.needs.end());
    for (std::size_t s : layout.whole) cost += model.stocks[s].price;
  }
  std::sort(needs.begin(), needs.end(),
            [](const HouseNeed& a, const HouseNeed& b) { return a.weight > b.weight; });
  std::vector<PatternItem> items;
  for (const HouseNeed& need : needs) items.push_back({need.weight, need.ends, 1});
  std::vector<PatternStock> stocks;
  for (const HouseStock& stock : model.stocks)
    stocks.push_back({stock.capacity, stock.ends, stock.price, stock.available});
  const PatternResult result = solve_patterns(items, stocks, 20000);
  BOOST_TEST(result.proof.bound <= result.cost + 1e-9);
  return cost + result.cost;
}

bool agrees(const HouseModel& model, const std::vector<std::size_t>& chosen) {
  for (std::size_t a = 0; a < chosen.size(); ++a)
    for (std::size_t b = 0; b < chosen.size(); ++b)
      if (model.runs[b].course > model.runs[a].course &&
          !house_layouts_agree(model.runs[a], model.runs[a].layouts[chosen[a]], model.runs[b],
                               model.runs[b].layouts[chosen[b]]))
        return false;
  return true;
}

}  // namespace

BOOST_AUTO_TEST_CASE(the_bound_never_exceeds_exhaustive_search) {
  int feasible = 0, met = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    BOOST_TEST_CONTEXT("seed " << seed) {
      const HouseModel model = random_model(seed);
      double best = -1;
      std::vector<std::size_t> chosen(model.runs.size(), 0);
      while (true) {
        if (agrees(model, chosen)) {
          const double cost = packed(model, chosen);
          if (best < 0 || cost < best) best = cost;
        }
        std::size_t r = 0;
        while (r < chosen.size() && ++chosen[r] == model.runs[r].layouts.size()) chosen[r++] = 0;
        if (r == chosen.size()) break;
      }
      if (best < 0) continue;
      ++feasible;
      HouseSearch search(model, 50000);
      search.prove();
      BOOST_TEST(search.proof().bound <= best + 1e-9);
      BOOST_TEST(check_house_proof(model, search.proof()) >= search.proof().bound - 1e-9);
      BOOST_TEST(check_house_proof(model, search.proof()) <= best + 1e-9);
      std::vector<std::size_t> pick;
      double found = -1;
      for (int dive = 0; dive < 4; ++dive)
        if (search.dive(pick)) {
          BOOST_TEST(agrees(model, pick));
          const double cost = packed(model, pick);
          if (found < 0 || cost < found) found = cost;
        }
      if (found >= 0) BOOST_TEST(found >= best - 1e-9);
      met += found >= 0 && found <= best + 1e-9 ? 1 : 0;
    }
  }
  BOOST_TEST_MESSAGE(met << " of " << feasible << " small models solved to the optimum by four dives");
  BOOST_TEST(feasible > 100);
  BOOST_TEST(met * 2 > feasible);
}

namespace {

struct Stop {
  int after = 0;
  lapwright::SearchProgress last;
  int calls = 0;
};
bool stop_after(const lapwright::SearchProgress& progress, void* context) {
  Stop& stop = *static_cast<Stop*>(context);
  stop.last = progress;
  return ++stop.calls <= stop.after;
}

}  // namespace

// A host may stop the search at any report: it gets the best answer so far, whole.
BOOST_AUTO_TEST_CASE(stopped_search_gives_the_best_so_far) {
  for (const std::uint64_t seed : {2U, 3U, 7U}) {
    const lapwright::Job job = lapwright_test::random_house(seed);
    const lapwright_test::LaidHouse house = lapwright_test::lay_house(job);
    std::vector<lapwright::SearchWall> walls;
    for (std::size_t w = 0; w < job.walls.size(); ++w)
      walls.push_back({&job.walls[w], &house.walls[w].region, &house.courses.walls[w], &house.walls[w].runs});
    double before = -1, bound = 0;
    for (int after : {0, 1, 2, 4, 1 << 20}) {
      BOOST_TEST_CONTEXT("seed " << seed << ", stopped at report " << after + 1) {
        Stop stop;
        stop.after = after;
        const lapwright::Settled settled =
            lapwright::settle_boards(walls, house.courses.pole, job.rules, stop_after, &stop);
        if (after < 8) BOOST_TEST(stop.calls <= after + 1);
        BOOST_TEST(settled.packing.cost <= stop.last.cost + 1e-9);
        BOOST_TEST(settled.proven_minimum <= settled.packing.cost + 1e-9);
        BOOST_TEST(settled.proven_minimum >= bound - 1e-9);
        if (before >= 0) BOOST_TEST(settled.packing.cost <= before + 1e-9);  // longer is never worse
        before = settled.packing.cost;
        bound = settled.proven_minimum;
        std::map<std::string, int> cut;
        double sum = 0;
        for (const lapwright::Board& board : settled.packing.boards) {
          sum += board.price;
          for (const lapwright::Placement& placement : board.cut)
            if (!placement.piece.empty()) ++cut[placement.piece];
        }
        BOOST_TEST(std::abs(sum - settled.packing.cost) < 1e-6);
        std::size_t pieces = 0;
        for (std::size_t w = 0; w < walls.size(); ++w)
          for (const lapwright::Piece& piece :
               lapwright::cut_pieces(job.walls[w], *walls[w].region, *walls[w].runs, settled.joints[w].joints,
                                     house.courses.pole, job.rules)) {
            BOOST_TEST(cut[piece.id] == 1);
            ++pieces;
          }
        BOOST_TEST(cut.size() == pieces);
      }
    }
  }
}
