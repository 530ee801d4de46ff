// The house model against exhaustive search: the bound never exceeds the least cost, the check agrees with
// the search, and a dive's layouts agree with one another.
#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/detail/house.hpp>
#include <lapwright/detail/nesting.hpp>
#include <lapwright/detail/packing.hpp>
#include <lapwright/detail/piece_groups.hpp>
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
      if (model.runs[b].wall == model.runs[a].wall && model.runs[b].course > model.runs[a].course &&
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

// A wide run below two others; only the one on its left is in its chain, and its cheap joint lies under the
// only joint that the other can have: a dive comes to a dead end there. With layouts to keep, it goes on.
BOOST_AUTO_TEST_CASE(a_wall_at_a_dead_end_keeps_its_layouts) {
  HouseModel model;
  model.stocks.push_back({144, 2, 1, -1});
  const auto run = [&](std::size_t wall, int course, double x_min, double x_max) -> HouseRun& {
    HouseRun out;
    out.wall = wall;
    out.course = course;
    out.x_min = x_min;
    out.x_max = x_max;
    out.stagger = 32;
    model.runs.push_back(out);
    return model.runs.back();
  };
  for (std::size_t wall = 0; wall < 2; ++wall) {
    HouseRun& below = run(wall, 0, 0, 400);
    below.layouts.push_back({{300}, {{60, 1}, {60, 1}}, {}, true});
    below.layouts.push_back({{112}, {{140, 1}, {140, 1}}, {}, true});
    run(wall, 1, 0, 230).layouts.push_back({{160}, {{50, 1}, {70, 1}}, {}, true});
    // In the second wall there is a way out.
    HouseRun& right = run(wall, 1, 240, 400);
    right.layouts.push_back({{304}, {{60, 1}, {60, 1}}, {}, true});
    if (wall == 1) right.layouts.push_back({{352}, {{80, 1}, {60, 1}}, {}, true});
  }
  const std::vector<std::size_t> kept{1, 0, 0, 1, 0, 0};
  BOOST_REQUIRE(agrees(model, kept));
  std::vector<std::size_t> pick;
  BOOST_TEST(!HouseSearch(model, 50000).dive(pick));
  HouseSearch search(model, 50000);
  for (int dive = 0; dive < 3; ++dive) {
    BOOST_TEST(search.dive(pick, kept));
    BOOST_TEST(agrees(model, pick));
    BOOST_TEST(pick[0] == 1u);
  }
}

// Boards are priced before they are put in order: the order costs no more, and starters are in the price.
BOOST_AUTO_TEST_CASE(laid_boards_cost_what_they_say) {
  std::size_t exact = 0, houses = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const lapwright::Job job = lapwright_test::random_house(seed);
    lapwright_test::LaidHouse house;
    try {
      house = lapwright_test::lay_house(job);
    } catch (const lapwright::Refused&) {
      continue;
    }
    std::vector<lapwright::Piece> pieces;
    std::vector<lapwright::Starter> starters;
    for (const lapwright_test::LaidWall& wall : house.walls) {
      pieces.insert(pieces.end(), wall.pieces.begin(), wall.pieces.end());
      starters.insert(starters.end(), wall.runs.starters.begin(), wall.runs.starters.end());
    }
    for (const bool nested : {false, true}) {
      BOOST_TEST_CONTEXT("seed " << seed << (nested ? ", nested" : ", apart")) {
        std::int64_t steps = 0;
        const std::vector<BoardGroup> groups = group_pieces(pieces, job.rules, nested, 2000, 0, steps);
        std::vector<int> times(pieces.size(), 0);
        for (const BoardGroup& group : groups)
          for (std::size_t i : group.pieces) ++times[i];
        for (std::size_t i = 0; i < times.size(); ++i) {
          // Only low pieces are left to be found on the boards.
          const bool left_out = !nested && nest_shape(pieces[i], job.rules).low(job.rules);
          BOOST_TEST((times[i] == 1 || (times[i] == 0 && left_out)));
        }
        const LaidBoards boards(pieces, starters, job.rules, groups, 0.05);
        const lapwright::Packing packing = boards.packing();
        BOOST_TEST(packing.cost <= boards.cost() + 1e-9);
        BOOST_TEST(packing.cost == boards.packing().cost);  // asked twice, the same
        exact += packing.cost > boards.cost() - 1e-9 ? 1 : 0;
        ++houses;
      }
    }
  }
  BOOST_TEST(houses > 10u);
  BOOST_TEST(exact * 2 > houses);
}

// Whole boards ripped to less than half lie two to a board.
BOOST_AUTO_TEST_CASE(low_whole_boards_share_a_board) {
  lapwright::Rules rules;
  rules.board.lengths = {144};
  rules.board.width = 8.25;
  std::vector<lapwright::Piece> pieces;
  for (int i = 0; i < 5; ++i) {
    lapwright::Piece piece;
    piece.id = "w-00-" + std::to_string(i + 1);
    piece.x_min = 200.0 * i;
    piece.x_max = piece.x_min + 144;
    piece.length = 144;
    piece.left.factory = piece.right.factory = true;
    piece.outline = {{piece.x_min, 0}, {piece.x_max, 0}, {piece.x_max, 3}, {piece.x_min, 3}};
    pieces.push_back(piece);
  }
  for (const bool nested : {false, true}) {
    std::int64_t steps = 0;
    const std::vector<BoardGroup> groups = group_pieces(pieces, rules, nested, 100, 0, steps);
    BOOST_TEST(groups.size() == 3u);
    BOOST_TEST(LaidBoards(pieces, {}, rules, groups, 0).cost() == 3.0);
  }
}
