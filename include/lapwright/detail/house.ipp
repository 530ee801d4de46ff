#pragma once
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <set>
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/house.hpp>
#include <lapwright/detail/simplex.hpp>
#include <lapwright/geometry.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr std::size_t house_chain_edges = 40000;  // a chain with more forgets courses further down
inline constexpr std::size_t house_most_kinds = 240;     // priced, where seldom ones can be spared
inline constexpr int house_often = 12;  // a kind of piece that occurs so often is priced exactly
inline constexpr std::int64_t house_never = std::numeric_limits<std::int64_t>::max() / 4;

LAPW_INLINE bool house_layouts_agree(const HouseRun& below, const HouseLayout& lower, const HouseRun& above,
                                     const HouseLayout& upper) {
  const int apart = above.course - below.course;
  const bool neighbours = apart == 1;
  const bool strictly = apart >= 1 && apart < above.repeat_after;
  if (!neighbours && !strictly) return true;
  for (double p : lower.studs)
    for (double q : upper.studs) {
      const double d = std::abs(p - q);
      if (strictly && d <= tolerance) return false;
      if (neighbours && d < above.stagger - tolerance) return false;
    }
  return true;
}

LAPW_INLINE std::int64_t value_of(const HouseProof& proof, const HouseNeed& need) {
  std::int64_t best = 0;
  for (std::size_t k = 0; k < proof.kinds.size(); ++k)
    if (proof.values[k] > best && serves_as(need, proof.kinds[k], proof.layers)) best = proof.values[k];
  return best;
}

/// Least price that is not 0; the unit of costs.
inline double house_unit(const HouseModel& model) {
  double unit = 0;
  for (const HouseStock& stock : model.stocks)
    if (stock.price > 0 && (unit <= 0 || stock.price < unit)) unit = stock.price;
  return unit > 0 ? unit : 1;
}

/// A stock's price in units of a proof, rounded down.
inline std::int64_t scaled_price(const HouseStock& stock, double unit, int shift) {
  return static_cast<std::int64_t>(
      std::floor(stock.price / unit * static_cast<double>(std::int64_t{1} << shift)));
}

/// What a sum of values proves, given the most that each stock can give.
inline double house_bound(const HouseModel& model, int shift, std::int64_t sum,
                          const std::vector<std::int64_t>& most, std::int64_t* board_value) {
  const double unit = house_unit(model);
  const std::int64_t scale = std::int64_t{1} << shift;
  std::int64_t board = scale;
  std::vector<double> prices;
  double worst = 1;  // value bought by one unit of price, in units of the proof
  for (std::size_t s = 0; s < model.stocks.size(); ++s) {
    const HouseStock& stock = model.stocks[s];
    if (stock.available >= 0) {
      std::int64_t value = most[s];
      // An offcut as long as a stock length, with both ends, is a whole board.
      for (const HouseStock& bought : model.stocks)
        if (bought.available < 0 && stock.ends >= 2 && stock.capacity >= bought.capacity)
          value = std::max(value, scaled_price(bought, unit, shift) + 1);
      sum -= stock.available * value;
      continue;
    }
    prices.push_back(stock.price);
    board = std::max(board, most[s]);
    const double worth = static_cast<double>(most[s]) / (stock.price / unit * static_cast<double>(scale));
    worst = std::max(worst, worth);
  }
  if (board_value) *board_value = board;
  if (sum <= 0 || prices.empty()) return 0;
  if (prices.size() == 1) return static_cast<double>((sum + board - 1) / board) * prices[0];
  return reachable_cost(static_cast<double>(sum) / static_cast<double>(scale) / worst * unit * (1 - 1e-12),
                        prices);
}

// ---- Chains of courses ------------------------------------------------------------------------------------

/// Runs of one wall, one above the other in consecutive courses, and every way to lay them that their joints
/// allow: a node is the layouts of the last few courses.
struct HouseChain {
  struct Node {
    std::uint32_t layout = 0;
    std::uint32_t first = 0, last = 0;  // into `from`
  };
  std::vector<std::size_t> runs;
  std::vector<std::vector<Node>> nodes;          // by course
  std::vector<std::vector<std::uint32_t>> from;  // by course: nodes of the course before
  std::size_t edges = 0;
  std::size_t memory = 1;  // courses back that a node knows
};

/// \return false where there would be too many edges.
inline bool build_house_chain(const HouseModel& model, HouseChain& chain, std::size_t memory) {
  chain.nodes.assign(chain.runs.size(), {});
  chain.from.assign(chain.runs.size(), {});
  chain.edges = 0;
  chain.memory = memory;
  std::vector<std::vector<std::uint32_t>> keys;  // of the course before
  for (std::size_t c = 0; c < chain.runs.size(); ++c) {
    const HouseRun& run = model.runs[chain.runs[c]];
    const std::uint32_t count = static_cast<std::uint32_t>(run.layouts.size());
    if (c == 0) {
      for (std::uint32_t l = 0; l < count; ++l) {
        chain.nodes[0].push_back({l, 0, 0});
        keys.push_back({l});
      }
      continue;
    }
    // Agreement with each course that is remembered, once for every two layouts.
    const std::size_t back = std::min(memory, c);
    std::vector<std::vector<char>> agrees(back);
    for (std::size_t b = 0; b < back; ++b) {
      const HouseRun& below = model.runs[chain.runs[c - 1 - b]];
      agrees[b].resize(below.layouts.size() * count);
      for (std::size_t i = 0; i < below.layouts.size(); ++i)
        for (std::uint32_t j = 0; j < count; ++j)
          agrees[b][i * count + j] = house_layouts_agree(below, below.layouts[i], run, run.layouts[j]);
    }
    std::map<std::vector<std::uint32_t>, std::vector<std::uint32_t>> next;
    for (std::uint32_t n = 0; n < keys.size(); ++n)
      for (std::uint32_t j = 0; j < count; ++j) {
        bool good = true;
        for (std::size_t b = 0; b < back && good; ++b)
          good = agrees[b][keys[n][keys[n].size() - 1 - b] * count + j] != 0;
        if (!good) continue;
        std::vector<std::uint32_t> key = keys[n];
        key.push_back(j);
        if (key.size() > memory) key.erase(key.begin());
        next[std::move(key)].push_back(n);
        if (++chain.edges > house_chain_edges) return false;
      }
    keys.clear();
    for (auto& entry : next) {
      const std::uint32_t first = static_cast<std::uint32_t>(chain.from[c].size());
      chain.from[c].insert(chain.from[c].end(), entry.second.begin(), entry.second.end());
      chain.nodes[c].push_back({entry.first.back(), first, static_cast<std::uint32_t>(chain.from[c].size())});
      keys.push_back(entry.first);
    }
  }
  return true;
}

/// Runs that have a choice, in chains: each goes on from the run below that it overlaps most. Runs whose
/// layouts are not all listed stand alone.
inline std::vector<HouseChain> house_chains(const HouseModel& model) {
  std::vector<std::size_t> order;
  for (std::size_t r = 0; r < model.runs.size(); ++r)
    if (model.runs[r].layouts.size() > 1 || !model.runs[r].layouts[0].studs.empty()) order.push_back(r);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const HouseRun& p = model.runs[a];
    const HouseRun& q = model.runs[b];
    if (p.wall != q.wall) return p.wall < q.wall;
    if (p.course != q.course) return p.course < q.course;
    if (p.x_min < q.x_min || q.x_min < p.x_min) return p.x_min < q.x_min;
    return a < b;
  });
  std::vector<HouseChain> chains;
  for (std::size_t r : order) {
    const HouseRun& run = model.runs[r];
    std::size_t best = chains.size();
    double most = tolerance;
    for (std::size_t c = 0; c < chains.size() && run.links.empty(); ++c) {
      const HouseRun& top = model.runs[chains[c].runs.back()];
      if (top.wall != run.wall || top.course != run.course - 1 || !top.links.empty()) continue;
      const double overlap = std::min(top.x_max, run.x_max) - std::max(top.x_min, run.x_min);
      if (overlap > most) {
        most = overlap;
        best = c;
      }
    }
    if (best == chains.size()) chains.emplace_back();
    chains[best].runs.push_back(r);
  }
  std::vector<HouseChain> out;
  for (HouseChain& chain : chains) {
    std::size_t memory = 1;
    for (std::size_t r : chain.runs)
      memory = std::max<std::size_t>(
          memory, static_cast<std::size_t>(std::max(1, std::min(model.runs[r].repeat_after - 1, 4))));
    bool built = build_house_chain(model, chain, memory);
    while (!built && --memory > 0) built = build_house_chain(model, chain, memory);
    if (built) {
      out.push_back(std::move(chain));
      continue;
    }
    // Too many ways even from course to course: each run by itself.
    for (std::size_t r : chain.runs) {
      HouseChain alone;
      alone.runs = {r};
      build_house_chain(model, alone, 1);
      out.push_back(std::move(alone));
    }
  }
  return out;
}

/// The cheapest way through a chain; house_never where there is none.
inline std::int64_t cheapest_path(const HouseChain& chain,
                                  const std::vector<std::vector<std::int64_t>>& cost,  // by run, layout
                                  std::vector<std::vector<std::int64_t>>& at,
                                  std::vector<std::uint32_t>* path) {
  const std::size_t n = chain.runs.size();
  at.resize(std::max(at.size(), n));
  for (std::size_t c = 0; c < n; ++c) {
    const std::vector<HouseChain::Node>& nodes = chain.nodes[c];
    const std::vector<std::int64_t>& own = cost[chain.runs[c]];
    at[c].assign(nodes.size(), house_never);
    for (std::size_t k = 0; k < nodes.size(); ++k) {
      if (own[nodes[k].layout] >= house_never) continue;
      std::int64_t best = c == 0 ? 0 : house_never;
      for (std::uint32_t e = nodes[k].first; e < nodes[k].last; ++e)
        best = std::min(best, at[c - 1][chain.from[c][e]]);
      if (best < house_never) at[c][k] = best + own[nodes[k].layout];
    }
  }
  std::size_t end = 0;
  std::int64_t least = house_never;
  for (std::size_t k = 0; k < at[n - 1].size(); ++k)
    if (at[n - 1][k] < least) {
      least = at[n - 1][k];
      end = k;
    }
  if (path && least < house_never) {
    path->assign(n, 0);
    for (std::size_t c = n; c-- > 0;) {
      const HouseChain::Node& node = chain.nodes[c][end];
      (*path)[c] = node.layout;
      for (std::uint32_t e = node.first; c > 0 && e < node.last; ++e)
        if (at[c - 1][chain.from[c][e]] + cost[chain.runs[c]][node.layout] == at[c][end]) {
          end = chain.from[c][e];
          break;
        }
    }
  }
  return least;
}

/// The cheapest way through a run's links, in values of needs that `worth` gives.
template <class Worth>
std::int64_t cheapest_links(const HouseModel& model, const HouseRun& run, double unit, int shift,
                            const Worth& worth) {
  std::size_t last = 0;
  for (const HouseLink& link : run.links) last = std::max(last, link.to);
  std::vector<std::int64_t> at(last + 1, house_never);
  at[0] = 0;
  for (const HouseLink& link : run.links) {
    if (at[link.from] >= house_never) continue;
    std::int64_t cost = at[link.from];
    for (const HouseNeed& need : link.needs) cost += worth(need);
    for (std::size_t s : link.whole) cost += scaled_price(model.stocks[s], unit, shift);
    at[link.to] = std::min(at[link.to], cost);
  }
  return at[last];
}

/// What a chain costs at least, all layouts of its runs being listed or not.
inline bool has_links(const HouseModel& model, const HouseChain& chain) {
  for (std::size_t r : chain.runs)
    if (!model.runs[r].links.empty()) return true;
  return false;
}

// ---- The programme ----------------------------------------------------------------------------------------

inline bool house_kind_before(const HouseNeed& a, const HouseNeed& b) {
  if (a.ends != b.ends) return a.ends < b.ends;
  if (a.open != b.open) return a.open < b.open;
  if (a.weight != b.weight) return a.weight < b.weight;
  return a.closed > b.closed;
}

/// Needs of a model, each once, and how often they occur.
using HouseNumbers = std::map<HouseNeed, int, decltype(&house_kind_before)>;

/// What is priced, in order. Needs that occur seldom are rounded down to fewer kinds, as coarsely as it
/// takes: a price for each slant of every gable would prove little more and cost most of the time. Each need
/// has a kind that it serves as, with the same ends.
inline std::vector<HouseNeed> house_kinds(const HouseNumbers& number) {
  std::vector<HouseNeed> kinds;
  for (std::int64_t grid = 1;; grid *= 2) {
    kinds.clear();
    for (const auto& entry : number) {
      HouseNeed kind = entry.first;
      if (entry.second < house_often) {
        const auto down = [grid](std::int64_t weight) {
          return std::max<std::int64_t>(1, weight - weight % grid);
        };
        // What loose things may fill matters less.
        std::int64_t solid = kind.weight - kind.closed;
        solid = kind.closed == 0 ? down(solid) : std::max<std::int64_t>(0, solid - solid % (16 * grid));
        kind.weight = down(kind.weight);
        kind.closed = kind.weight - solid;
        // The kind before may be nearer than the grid.
        if (!kinds.empty()) {
          const HouseNeed& before = kinds.back();
          if (before.ends == kind.ends && before.open == kind.open && before.weight >= kind.weight &&
              (before.closed == 0) == (entry.first.closed == 0) && serves_as(entry.first, before, {}))
            continue;
        }
      }
      kinds.push_back(kind);
    }
    std::sort(kinds.begin(), kinds.end(), house_kind_before);
    kinds.erase(std::unique(kinds.begin(), kinds.end(),
                            [](const HouseNeed& a, const HouseNeed& b) {
                              return !house_kind_before(a, b) && !house_kind_before(b, a);
                            }),
                kinds.end());
    if (kinds.size() <= house_most_kinds || grid > (std::int64_t{1} << 20)) return kinds;
  }
}

/// The heaviest kind that a need serves as, with the same ends.
inline std::uint32_t kind_of(const HouseNeed& need, const std::vector<HouseNeed>& kinds) {
  std::size_t best = kinds.size();
  for (std::size_t k = 0; k < kinds.size(); ++k) {
    const HouseNeed& kind = kinds[k];
    if (kind.ends != need.ends || kind.open != need.open || !serves_as(need, kind, {})) continue;
    if (best == kinds.size() || kind.weight > kinds[best].weight ||
        (kind.weight == kinds[best].weight && kind.closed < kinds[best].closed))
      best = k;
  }
  return static_cast<std::uint32_t>(best);
}

struct HouseSearch::State {
  struct Path {
    std::size_t chain = 0;
    std::vector<std::uint32_t> layouts;
    std::size_t column = 0;
    double cost = 0, joints = 0;  // without, and of, the joints' price
    bool out = false;             // goes through a banned layout
  };
  struct BoardColumn {
    std::size_t stock = 0;
    std::vector<PatternCount> items;
  };

  const HouseModel& model;
  std::int64_t budget;
  double unit;
  int shift = 26;
  std::vector<HouseChain> chains;
  std::vector<HouseNeed> kinds;                    // in the order of house_kind_before
  std::vector<std::vector<std::uint32_t>> serves;  // by kind: the others that it serves as
  /// Kinds that the needs of links serve as.
  std::map<HouseNeed, std::vector<std::uint32_t>, decltype(&house_kind_before)> linked{house_kind_before};
  std::vector<PatternStock> stocks;
  std::vector<std::vector<std::vector<std::uint32_t>>> kinds_of;  // by run, layout: kind of each need
  std::vector<std::int64_t> demand;                               // by kind: of runs without a choice
  double fixed_cost = 0;                                          // of their whole boards
  std::vector<double> bought_prices;
  std::unique_ptr<HousePricer> pricer;
  Simplex lp;
  std::vector<std::ptrdiff_t> row_of;  // by kind; -1: none yet
  std::vector<std::size_t> chain_row;
  std::vector<std::ptrdiff_t> stock_row;
  std::ptrdiff_t loose_row = -1;
  std::vector<Path> paths;
  std::set<std::vector<std::uint32_t>> known;          // chain, layouts of every path
  std::vector<std::vector<std::int64_t>> layout_cost;  // by run, layout; scratch
  std::vector<std::vector<std::int64_t>> at;           // scratch
  std::vector<std::vector<int>> banned;                // by run, layout: how often
  std::vector<char> fixed_runs;                        // by run
  std::vector<char> settled;                           // by chain
  std::vector<std::int64_t> value, centre, asked;      // by kind
  std::int64_t loose_value = 0, centre_loose = 0;
  HouseProof best;
  std::int64_t work = 0, spent = 0, seen_pivots = 0;
  double known_bound = 0;  // proven otherwise
  int dives = 0;
  bool begun = false, proved = false;

  State(const HouseModel& m, std::int64_t steps);
  State(const State&) = delete;
  State& operator=(const State&) = delete;

  std::int64_t steps() const { return spent + pricer->steps(); }
  bool over() const { return steps() > budget; }
  void complete_values(std::vector<std::int64_t>& values) const;
  bool cut_down(const std::vector<std::int64_t>& values);
  void cost_layouts(const std::vector<std::int64_t>& values, bool joints);
  std::size_t row(std::size_t kind);
  bool add_path(std::size_t chain, const std::vector<std::uint32_t>& layouts, bool joints);
  void add_board(std::size_t stock, const std::vector<PatternCount>& pattern);
  void guess();
  void solve();
  bool generate(int rounds, bool bounding, bool joints);
  double bound(const std::vector<std::int64_t>& values, std::int64_t loose, std::int64_t chains_sum,
               std::int64_t* board);
  std::int64_t least_of_run(const std::vector<std::int64_t>& values, std::size_t run) const;
  void use_costs(bool joints);
  void fix_run(std::size_t run, std::uint32_t layout);
  void ban_paths();
  std::size_t keep_wall(std::size_t wall, const std::vector<std::size_t>& kept,
                        std::vector<std::size_t>& chosen);
};

LAPW_INLINE HouseSearch::State::State(const HouseModel& m, std::int64_t steps)
    : model(m), budget(steps), unit(house_unit(m)), chains(house_chains(m)), lp(0) {
  std::int64_t greatest = 1;
  for (const HouseStock& stock : model.stocks) {
    greatest = std::max(greatest, stock.capacity);
    stocks.push_back({stock.capacity, stock.ends, stock.price, stock.available});
  }
  HouseNumbers number(house_kind_before);
  for (const HouseRun& run : model.runs)
    for (const HouseLayout& layout : run.layouts)
      for (const HouseNeed& need : layout.needs) ++number[need];
  kinds = house_kinds(number);
  HouseNumbers index(house_kind_before);
  for (const auto& entry : number) index[entry.first] = static_cast<int>(kind_of(entry.first, kinds));
  serves.resize(kinds.size());
  for (std::size_t k = 0; k < kinds.size(); ++k)
    for (std::size_t j = 0; j < kinds.size(); ++j)
      if (j != k && serves_as(kinds[k], kinds[j], model.layers))
        serves[k].push_back(static_cast<std::uint32_t>(j));
  for (const HouseRun& run : model.runs)
    for (const HouseLink& link : run.links)
      for (const HouseNeed& need : link.needs) {
        const auto made = linked.emplace(need, std::vector<std::uint32_t>());
        for (std::size_t k = 0; k < kinds.size() && made.second; ++k)
          if (serves_as(need, kinds[k], model.layers))
            made.first->second.push_back(static_cast<std::uint32_t>(k));
      }
  pricer = std::make_unique<HousePricer>(kinds, stocks, model.layers);
  demand.assign(kinds.size(), 0);
  kinds_of.resize(model.runs.size());
  layout_cost.resize(model.runs.size());
  banned.resize(model.runs.size());
  for (std::size_t r = 0; r < model.runs.size(); ++r) {
    const HouseRun& run = model.runs[r];
    kinds_of[r].resize(run.layouts.size());
    layout_cost[r].resize(run.layouts.size());
    banned[r].assign(run.layouts.size(), 0);
    for (std::size_t l = 0; l < run.layouts.size(); ++l)
      for (const HouseNeed& need : run.layouts[l].needs)
        kinds_of[r][l].push_back(static_cast<std::uint32_t>(index[need]));
    if (run.layouts.size() == 1 && run.layouts[0].studs.empty()) {
      for (std::uint32_t kind : kinds_of[r][0]) ++demand[kind];
      for (std::size_t s : run.layouts[0].whole) fixed_cost += model.stocks[s].price;
    }
  }
  double dearest = unit;
  for (const HouseStock& stock : model.stocks) {
    dearest = std::max(dearest, stock.price);
    if (stock.available < 0) bought_prices.push_back(stock.price);
  }
  lp = Simplex(4000 * dearest / unit);  // far above the dearest chain
  row_of.assign(kinds.size(), -1);
  for (std::size_t k = kinds.size(); k-- > 0;)
    if (demand[k] > 0) row(k);
  for (std::size_t s = 0; s < stocks.size(); ++s)
    stock_row.push_back(stocks[s].available < 0
                            ? -1
                            : static_cast<std::ptrdiff_t>(
                                  lp.add_row(RowSense::at_most, static_cast<double>(stocks[s].available))));
  // One unit of the loose row is the greatest stock's worth, so that its entries are of the others' size.
  if (model.loose > 0)
    loose_row = static_cast<std::ptrdiff_t>(
        lp.add_row(RowSense::at_least, static_cast<double>(model.loose) / static_cast<double>(greatest)));
  settled.assign(chains.size(), 0);
  value.assign(kinds.size(), 0);
  centre.assign(kinds.size(), 0);
  best.shift = shift;
  best.kinds = kinds;
  best.layers = model.layers;
  best.values.assign(kinds.size(), 0);
  best.board_value = std::int64_t{1} << shift;
}

/// The row of a kind, made when first asked for: longer pieces may be cut down to it, and it to shorter ones.
LAPW_INLINE std::size_t HouseSearch::State::row(std::size_t kind) {
  if (row_of[kind] >= 0) return static_cast<std::size_t>(row_of[kind]);
  const std::size_t made = lp.add_row(RowSense::at_least, static_cast<double>(demand[kind]));
  row_of[kind] = static_cast<std::ptrdiff_t>(made);
  const auto exchange = [&](std::size_t longer, std::size_t shorter) {
    lp.add_column(
        0, {{static_cast<std::size_t>(row_of[shorter]), 1}, {static_cast<std::size_t>(row_of[longer]), -1}});
  };
  // The nearest in order; more where prices ask for them.
  for (std::size_t k = kind + 1; k < kinds.size() && kinds[k].ends == kinds[kind].ends; ++k)
    if (row_of[k] >= 0 && serves_as(kinds[k], kinds[kind], model.layers)) {
      exchange(k, kind);
      break;
    }
  for (std::size_t k = kind; k-- > 0 && kinds[k].ends == kinds[kind].ends;)
    if (row_of[k] >= 0 && serves_as(kinds[kind], kinds[k], model.layers)) {
      exchange(kind, k);
      break;
    }
  // A board of nothing else, so that no price is ever above a board's.
  for (std::size_t s = 0; s < stocks.size(); ++s) {
    if (stocks[s].available >= 0 || kinds[kind].weight > stocks[s].capacity) continue;
    std::int64_t n = stocks[s].capacity / std::max<std::int64_t>(1, kinds[kind].weight);
    if (kinds[kind].ends > 0) n = std::min<std::int64_t>(n, stocks[s].ends);
    if (kinds[kind].open != 0) n = std::max<std::int64_t>(1, n - n % 2);  // an odd one may waste too much
    lp.add_column(stocks[s].price / unit, {{made, static_cast<double>(n)}});
  }
  return made;
}

/// Kinds are worth no less than what they serve as.
LAPW_INLINE void HouseSearch::State::complete_values(std::vector<std::int64_t>& values) const {
  const std::vector<std::int64_t> own = values;
  for (std::size_t k = 0; k < kinds.size(); ++k)
    for (std::uint32_t j : serves[k]) values[k] = std::max(values[k], own[j]);
}

/// Lets the programme cut kinds down where its prices of them are below those of what they serve as.
LAPW_INLINE bool HouseSearch::State::cut_down(const std::vector<std::int64_t>& values) {
  bool added = false;
  const std::int64_t least = std::int64_t{1} << (shift - 20);
  for (std::size_t k = 0; k < kinds.size(); ++k) {
    if (row_of[k] < 0) continue;
    std::size_t dearest = k;
    for (std::uint32_t j : serves[k])
      if (row_of[j] >= 0 && values[j] > values[dearest] + least) dearest = j;
    if (dearest == k) continue;
    lp.add_column(
        0, {{static_cast<std::size_t>(row_of[dearest]), 1}, {static_cast<std::size_t>(row_of[k]), -1}});
    added = true;
  }
  return added;
}

LAPW_INLINE void HouseSearch::State::cost_layouts(const std::vector<std::int64_t>& values, bool joints) {
  const double scale = static_cast<double>(std::int64_t{1} << shift);
  const std::int64_t joint =
      joints ? static_cast<std::int64_t>(std::floor(model.joint_price / unit * scale)) : 0;
  for (const HouseChain& chain : chains)
    for (std::size_t r : chain.runs) {
      const HouseRun& run = model.runs[r];
      for (std::size_t l = 0; l < run.layouts.size(); ++l) {
        if (banned[r][l] > 0) {
          layout_cost[r][l] = house_never;
          continue;
        }
        std::int64_t cost = joint * static_cast<std::int64_t>(run.layouts[l].studs.size());
        for (std::uint32_t kind : kinds_of[r][l]) cost += values[kind];
        for (std::size_t s : run.layouts[l].whole) cost += scaled_price(model.stocks[s], unit, shift);
        layout_cost[r][l] = cost;
      }
      work += static_cast<std::int64_t>(run.layouts.size()) * 8;
    }
}

LAPW_INLINE bool HouseSearch::State::add_path(std::size_t chain, const std::vector<std::uint32_t>& layouts,
                                              bool joints) {
  std::vector<std::uint32_t> key{static_cast<std::uint32_t>(chain)};
  key.insert(key.end(), layouts.begin(), layouts.end());
  if (!known.insert(std::move(key)).second) return false;
  std::map<std::size_t, double> needs;  // by kind
  Path path;
  path.chain = chain;
  path.layouts = layouts;
  for (std::size_t c = 0; c < layouts.size(); ++c) {
    const std::size_t r = chains[chain].runs[c];
    const HouseLayout& layout = model.runs[r].layouts[layouts[c]];
    for (std::uint32_t kind : kinds_of[r][layouts[c]]) needs[kind] += 1;
    for (std::size_t s : layout.whole) path.cost += model.stocks[s].price / unit;
    path.joints += static_cast<double>(layout.studs.size()) * model.joint_price / unit;
  }
  for (const auto& need : needs) row(need.first);
  std::vector<SimplexEntry> entries{{chain_row[chain], 1}};
  for (const auto& need : needs)
    entries.push_back({static_cast<std::size_t>(row_of[need.first]), -need.second});
  path.column = lp.add_column(path.cost + (joints ? path.joints : 0), entries);
  paths.push_back(std::move(path));
  return true;
}

LAPW_INLINE void HouseSearch::State::add_board(std::size_t stock, const std::vector<PatternCount>& pattern) {
  std::vector<SimplexEntry> entries;
  std::int64_t greatest = 1;
  for (const PatternStock& s : stocks) greatest = std::max(greatest, s.capacity);
  const std::int64_t room = pricer->room(stock, pattern);
  for (const PatternCount& p : pattern) entries.push_back({row(p.item), static_cast<double>(p.count)});
  if (loose_row >= 0 && room != 0)
    entries.push_back(
        {static_cast<std::size_t>(loose_row), static_cast<double>(room) / static_cast<double>(greatest)});
  if (stock_row[stock] >= 0) entries.push_back({static_cast<std::size_t>(stock_row[stock]), 1});
  lp.add_column(stocks[stock].price / unit, entries);
}

/// What the values prove. The pricer must have priced them, and `chains_sum` be the cheapest paths' sum.
LAPW_INLINE double HouseSearch::State::bound(const std::vector<std::int64_t>& values, std::int64_t loose,
                                             std::int64_t chains_sum, std::int64_t* board) {
  std::int64_t sum = chains_sum + loose * model.loose;
  for (std::size_t k = 0; k < kinds.size(); ++k) sum += demand[k] * values[k];
  for (const HouseRun& run : model.runs)
    if (run.layouts.size() == 1 && run.layouts[0].studs.empty())
      for (std::size_t s : run.layouts[0].whole) sum += scaled_price(model.stocks[s], unit, shift);
  std::vector<std::int64_t> upper;
  for (std::size_t s = 0; s < stocks.size(); ++s) upper.push_back(pricer->value(s));
  return house_bound(model, shift, sum, upper, board);
}

LAPW_INLINE void HouseSearch::State::solve() {
  lp.solve(20000);
  const std::int64_t rows = static_cast<std::int64_t>(lp.rows());
  work += (lp.pivots() - seen_pivots + 1) * (rows * rows + 8 * static_cast<std::int64_t>(lp.columns()));
  seen_pivots = lp.pivots();
  spent += work / 4096;
  work %= 4096;
}

/// First prices: by length, with more and more of a board's price on its ends.
LAPW_INLINE void HouseSearch::State::guess() {
  begun = true;
  const double scale = static_cast<double>(std::int64_t{1} << shift);
  double per_weight = 0;
  for (const PatternStock& stock : stocks)
    if (stock.available < 0) {
      const double rate = stock.price / unit / static_cast<double>(stock.capacity);
      per_weight = per_weight <= 0 ? rate : std::min(per_weight, rate);
    }
  for (const HouseChain& chain : chains) {
    (void)chain;
    chain_row.push_back(lp.add_row(RowSense::equal, 1));
  }
  for (int share = 0; share < 5; ++share) {
    const double ends = 0.15 * share;
    for (std::size_t k = 0; k < kinds.size(); ++k)
      value[k] =
          static_cast<std::int64_t>(scale * ((1 - ends) * per_weight * static_cast<double>(kinds[k].weight) +
                                             ends / 2 * kinds[k].ends));
    complete_values(value);
    cost_layouts(value, false);
    for (std::size_t c = 0; c < chains.size(); ++c) {
      std::vector<std::uint32_t> path;
      if (cheapest_path(chains[c], layout_cost, at, &path) < house_never) add_path(c, path, false);
    }
  }
  // Boards for every kind that has a row: the piece, and what fits beside it best by weight.
  for (std::size_t k = kinds.size(); k-- > 0;) {
    if (row_of[k] < 0) continue;
    for (std::size_t s = 0; s < stocks.size(); ++s) {
      if (stocks[s].available >= 0 || kinds[k].weight > stocks[s].capacity) continue;
      std::vector<PatternCount> pattern{{k, 1}};
      const std::int64_t left = stocks[s].capacity - kinds[k].weight;
      for (std::size_t other = kinds.size(); other-- > 0;)
        if (row_of[other] >= 0 && kinds[other].weight <= left && kinds[other].ends + kinds[k].ends <= 2 &&
            kinds[other].open == kinds[k].open) {
          if (other == k)
            pattern[0].count = 2;
          else
            pattern.push_back({other, 1});
          break;
        }
      add_board(s, pattern);
    }
  }
}

LAPW_INLINE bool HouseSearch::State::generate(int rounds, bool bounding, bool joints) {
  const double scale = static_cast<double>(std::int64_t{1} << shift);
  std::int64_t greatest = 1;
  for (const PatternStock& s : stocks) greatest = std::max(greatest, s.capacity);
  std::vector<std::uint32_t> path;
  for (int round = 0; round < rounds; ++round) {
    solve();
    std::vector<std::int64_t> exact(kinds.size(), 0);
    for (std::size_t k = 0; k < kinds.size(); ++k)
      if (row_of[k] >= 0)
        exact[k] = static_cast<std::int64_t>(
            std::floor(std::max(0.0, lp.dual(static_cast<std::size_t>(row_of[k]))) * scale));
    bool added = bounding && cut_down(exact);
    complete_values(exact);
    const std::int64_t exact_loose =
        loose_row < 0 ? 0
                      : static_cast<std::int64_t>(
                            std::floor(std::max(0.0, lp.dual(static_cast<std::size_t>(loose_row))) * scale /
                                       static_cast<double>(greatest)));
    bool priced = false;
    for (int pass = bounding && round > 0 ? 0 : 1; pass < 2 && !priced; ++pass) {
      loose_value = exact_loose;
      value = exact;
      if (pass == 0) {
        // The mean of two greatest values may be more than any mean: kinds without a row take theirs anew.
        for (std::size_t k = 0; k < kinds.size(); ++k)
          value[k] = row_of[k] < 0 ? 0 : (exact[k] + centre[k]) / 2;
        complete_values(value);
        loose_value = (exact_loose + centre_loose) / 2;
      }
      // Kinds without a row are worth no more than lighter ones that have one: boards can do without them.
      asked = value;
      for (std::size_t k = 0; k < kinds.size(); ++k)
        if (row_of[k] < 0) asked[k] = 0;
      pricer->price(asked, loose_value);
      cost_layouts(value, joints);
      std::int64_t sum = 0;
      for (std::size_t c = 0; c < chains.size(); ++c) {
        if (settled[c]) continue;
        const std::int64_t cost = cheapest_path(chains[c], layout_cost, at, &path);
        work += static_cast<std::int64_t>(chains[c].edges) * 2;
        if (cost >= house_never) {
          sum = house_never;
          continue;
        }
        if (bounding && has_links(model, chains[c])) {
          for (std::size_t r : chains[c].runs) sum += least_of_run(value, r);
        } else if (sum < house_never) {
          sum += cost;
        }
        // Judged by the programme's own prices, which the smoothed ones stand in for.
        double reduced = -lp.dual(chain_row[c]);
        for (std::size_t i = 0; i < path.size(); ++i) {
          const std::size_t r = chains[c].runs[i];
          const HouseLayout& layout = model.runs[r].layouts[path[i]];
          for (std::uint32_t kind : kinds_of[r][path[i]]) reduced += static_cast<double>(exact[kind]) / scale;
          for (std::size_t s : layout.whole) reduced += model.stocks[s].price / unit;
          if (joints) reduced += static_cast<double>(layout.studs.size()) * model.joint_price / unit;
        }
        if (reduced < -1e-6) priced = add_path(c, path, joints) || priced;
      }
      if (bounding && sum < house_never) {
        std::int64_t board = 0;
        const double proved_now = bound(value, loose_value, sum, &board);
        if (proved_now > best.bound) {
          best.bound = proved_now;
          best.values = value;
          best.loose = loose_value;
          best.board_value = board;
        }
        if (pass == 1 || round == 0) {
          centre = value;
          centre_loose = loose_value;
        }
      }
      for (std::size_t s = 0; s < stocks.size(); ++s) {
        const auto reduced_cost = [&](const std::vector<PatternCount>& pattern) {
          double reduced = stocks[s].price / unit;
          for (const PatternCount& p : pattern)
            reduced -= static_cast<double>(exact[p.item] * p.count) / scale;
          reduced -= static_cast<double>(exact_loose) * static_cast<double>(pricer->room(s, pattern)) / scale;
          return stock_row[s] >= 0 ? reduced - lp.dual(static_cast<std::size_t>(stock_row[s])) : reduced;
        };
        const std::vector<PatternCount> pattern = pricer->pattern(s);
        if (!(reduced_cost(pattern) < -1e-6)) continue;
        add_board(s, pattern);
        priced = true;
        // More of them at once, each around a piece that those before do without.
        std::vector<char> held(kinds.size(), 0);
        for (const PatternCount& p : pattern) held[p.item] = 1;
        int more = 0;
        for (std::size_t k = kinds.size(); k-- > 0 && more < 12;) {
          if (row_of[k] < 0 || held[k] || asked[k] <= 0) continue;
          const std::vector<PatternCount> other = pricer->pattern_with(s, k);
          work += static_cast<std::int64_t>(kinds.size());
          if (other.empty() || !(reduced_cost(other) < -1e-6)) continue;
          for (const PatternCount& p : other) held[p.item] = 1;
          add_board(s, other);
          ++more;
        }
      }
      if (pass == 0 && priced) {
        centre = value;
        centre_loose = loose_value;
      }
    }
    added = added || priced;
    if (!added) return true;
    if (over()) return false;
    // The programme's own value is never below what it proves in the end: nothing more to come.
    if (bounding && std::max(best.bound, known_bound) > 0 &&
        std::max(best.bound, known_bound) >=
            reachable_cost(lp.objective() * unit + fixed_cost, bought_prices) - 1e-9 * unit)
      return true;
  }
  return false;
}

/// The cheapest layout of a run by itself, listed or not.
LAPW_INLINE std::int64_t HouseSearch::State::least_of_run(const std::vector<std::int64_t>& values,
                                                          std::size_t r) const {
  const HouseRun& run = model.runs[r];
  const auto worth = [&](const HouseNeed& need) {
    std::int64_t dearest = 0;
    for (std::uint32_t k : linked.find(need)->second) dearest = std::max(dearest, values[k]);
    return dearest;
  };
  if (!run.links.empty()) return cheapest_links(model, run, unit, shift, worth);
  std::int64_t least = house_never;
  for (std::size_t l = 0; l < run.layouts.size(); ++l) {
    std::int64_t cost = 0;
    for (std::uint32_t k : kinds_of[r][l]) cost += values[k];
    for (std::size_t s : run.layouts[l].whole) cost += scaled_price(model.stocks[s], unit, shift);
    least = std::min(least, cost);
  }
  return least;
}

LAPW_INLINE void HouseSearch::State::use_costs(bool joints) {
  for (const Path& path : paths) lp.set_cost(path.column, path.cost + (joints ? path.joints : 0));
}

/// Fixes one run's layout, and bans whatever does not agree with it.
LAPW_INLINE void HouseSearch::State::fix_run(std::size_t r, std::uint32_t layout) {
  const HouseRun& fixed = model.runs[r];
  fixed_runs[r] = 1;
  for (std::size_t l = 0; l < fixed.layouts.size(); ++l)
    if (l != layout) ++banned[r][l];
  const HouseLayout& mine = fixed.layouts[layout];
  if (mine.studs.empty()) return;
  for (const HouseChain& chain : chains)
    for (std::size_t other : chain.runs) {
      const HouseRun& run = model.runs[other];
      if (run.wall != fixed.wall) break;
      const int apart = run.course - fixed.course;
      if (apart == 0 || fixed_runs[other]) continue;
      if (apart > std::max(1, run.repeat_after - 1) || -apart > std::max(1, fixed.repeat_after - 1)) continue;
      for (std::size_t l = 0; l < run.layouts.size(); ++l)
        if (apart > 0 ? !house_layouts_agree(fixed, mine, run, run.layouts[l])
                      : !house_layouts_agree(run, run.layouts[l], fixed, mine))
          ++banned[other][l];
    }
}

/// Paths through a banned layout cost far more than any other.
LAPW_INLINE void HouseSearch::State::ban_paths() {
  for (Path& path : paths) {
    if (path.out) continue;
    const std::vector<std::size_t>& runs = chains[path.chain].runs;
    for (std::size_t c = 0; c < path.layouts.size() && !path.out; ++c)
      path.out = banned[runs[c]][path.layouts[c]] > 0;
    if (path.out) lp.set_cost(path.column, path.cost + 64);
    work += static_cast<std::int64_t>(path.layouts.size());
  }
}

/// Takes back what a dive has chosen in a wall, for layouts that agree. \return how many more chains are
/// settled
LAPW_INLINE std::size_t HouseSearch::State::keep_wall(std::size_t wall, const std::vector<std::size_t>& kept,
                                                      std::vector<std::size_t>& chosen) {
  for (std::size_t r = 0; r < model.runs.size(); ++r) {
    if (model.runs[r].wall != wall) continue;
    chosen[r] = kept[r];
    fixed_runs[r] = 1;
    for (std::size_t l = 0; l < banned[r].size(); ++l) banned[r][l] = l == kept[r] ? 0 : 1;
  }
  for (Path& path : paths)
    if (model.runs[chains[path.chain].runs.front()].wall == wall) {
      path.out = false;
      lp.set_cost(path.column, path.cost + path.joints);
    }
  std::size_t more = 0;
  for (std::size_t c = 0; c < chains.size(); ++c) {
    if (model.runs[chains[c].runs.front()].wall != wall) continue;
    std::vector<std::uint32_t> layouts;
    for (std::size_t r : chains[c].runs) layouts.push_back(static_cast<std::uint32_t>(kept[r]));
    add_path(c, layouts, true);
    more += settled[c] ? 0 : 1;
    settled[c] = 1;
  }
  ban_paths();
  return more;
}

LAPW_INLINE HouseSearch::HouseSearch(const HouseModel& model, std::int64_t steps)
    : state_(new State(model, steps)) {}
LAPW_INLINE HouseSearch::~HouseSearch() {
  delete state_;
}
LAPW_INLINE const HouseProof& HouseSearch::proof() const {
  return state_->best;
}
LAPW_INLINE std::vector<HouseStack> HouseSearch::stacks() const {
  std::vector<HouseStack> out;
  for (const HouseChain& chain : state_->chains)
    if (!has_links(state_->model, chain)) out.push_back({chain.runs, chain.memory});
  return out;
}
LAPW_INLINE std::int64_t HouseSearch::steps() const {
  return state_->steps();
}
LAPW_INLINE bool HouseSearch::out_of_steps() const {
  return state_->over();
}

LAPW_INLINE void HouseSearch::prove(double known) {
  State& s = *state_;
  s.known_bound = known;
  if (s.proved) return;
  s.proved = true;
  if (!s.begun) s.guess();
  // Half of the steps at most: the rest is for choosing.
  const std::int64_t all = s.budget;
  s.budget /= 2;
  s.generate(2000, true, false);
  s.budget = all;
}

LAPW_INLINE bool HouseSearch::dive(std::vector<std::size_t>& chosen, const std::vector<std::size_t>& kept) {
  State& s = *state_;
  if (!s.begun) s.guess();
  const int attempt = s.dives++;
  std::fill(s.settled.begin(), s.settled.end(), char{0});
  s.fixed_runs.assign(s.model.runs.size(), 0);
  for (std::size_t r = 0; r < s.banned.size(); ++r)
    for (std::size_t l = 0; l < s.banned[r].size(); ++l)
      s.banned[r][l] = s.model.runs[r].layouts[l].usable ? 0 : 1;
  for (State::Path& path : s.paths) path.out = false;
  s.use_costs(true);
  s.ban_paths();
  std::uint64_t random = 0x9E3779B97F4A7C15ULL * static_cast<std::uint64_t>(attempt + 1);
  const auto noise = [&random] {
    random ^= random << 13;
    random ^= random >> 7;
    random ^= random << 17;
    return static_cast<double>(random >> 40) / 16777216.0;
  };
  chosen.assign(s.model.runs.size(), 0);
  std::size_t left = s.chains.size();
  bool first = true;
  while (left > 0) {
    s.generate(first ? 60 : 5, false, true);
    first = false;
    s.ban_paths();
    // The strongest path of each chain that is still open.
    struct Choice {
      std::size_t path = 0;
      double value = -1, score = -1;
    };
    std::vector<Choice> strongest(s.chains.size());
    for (std::size_t p = 0; p < s.paths.size(); ++p) {
      const State::Path& path = s.paths[p];
      if (s.settled[path.chain] || path.out) continue;
      const double value = s.lp.value(path.column);
      const double score = value + (attempt > 0 ? 0.3 * noise() : 0);
      if (score > strongest[path.chain].score) strongest[path.chain] = {p, value, score};
    }
    std::vector<std::size_t> order;
    for (std::size_t c = 0; c < s.chains.size(); ++c)
      if (!s.settled[c]) order.push_back(c);
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return strongest[a].score > strongest[b].score || (!(strongest[b].score > strongest[a].score) && a < b);
    });
    std::size_t few = std::max<std::size_t>(1, s.chains.size() / 10);
    bool any = false;
    for (std::size_t c : order) {
      if (s.settled[c]) continue;  // with its wall
      const HouseChain& chain = s.chains[c];
      const Choice& choice = strongest[c];
      const bool whole = choice.value > 0.999;
      if (any && !whole && few == 0) break;
      std::vector<std::uint32_t> layouts;
      if (choice.score >= 0) {
        layouts = s.paths[choice.path].layouts;
        bool stale = false;  // what was fixed a moment ago may have banned it
        for (std::size_t i = 0; i < layouts.size() && !stale; ++i)
          stale = s.banned[chain.runs[i]][layouts[i]] > 0;
        if (stale && any) continue;
        if (stale) layouts.clear();
      }
      if (layouts.empty()) {
        // Nothing known agrees with what is fixed: is there any way at all?
        s.cost_layouts(s.value, true);
        if (cheapest_path(chain, s.layout_cost, s.at, &layouts) >= house_never) {
          if (kept.empty()) return false;
          left -= s.keep_wall(s.model.runs[chain.runs.front()].wall, kept, chosen);
          any = true;
          continue;
        }
        s.add_path(c, layouts, true);
      }
      // The whole of a path that stands alone; of a mixture a stretch, and prices again.
      std::size_t stretch = whole ? layouts.size() : std::max<std::size_t>(2, layouts.size() / 7);
      for (std::size_t i = 0; i < layouts.size() && stretch > 0; ++i) {
        const std::size_t r = chain.runs[i];
        if (s.fixed_runs[r]) continue;
        // A chain may have forgotten courses further down: what was just fixed has banned it then.
        if (s.banned[r][layouts[i]] > 0) break;
        chosen[r] = layouts[i];
        s.fix_run(r, layouts[i]);
        --stretch;
      }
      if (!whole && few > 0) --few;
      any = true;
      bool open = false;
      for (std::size_t r : chain.runs) open = open || !s.fixed_runs[r];
      if (!open) {
        for (std::size_t i = 0; i < layouts.size(); ++i)
          layouts[i] = static_cast<std::uint32_t>(chosen[chain.runs[i]]);
        s.add_path(c, layouts, true);
        s.settled[c] = 1;
        --left;
      }
    }
    if (!any) return false;
    s.ban_paths();
  }
  return true;
}

// ---- The check, by means of its own -----------------------------------------------------------------------

/// The greatest value of one board, by a table over capacity, factory ends taken and open ends.
inline std::int64_t checked_board_value(const HouseProof& proof, std::int64_t capacity, int ends) {
  const int any = house_any;
  const std::int64_t none = -house_never;
  const auto cell = [&](std::int64_t c, int taken, int open) {
    return static_cast<std::size_t>((c * 3 + taken) * (any + 1) + open);
  };
  std::vector<std::int64_t> table(cell(capacity + 1, 0, 0), none);
  table[0] = 0;
  std::int64_t best = 0;
  for (std::int64_t c = 0; c <= capacity; ++c)
    for (int taken = 0; taken <= ends; ++taken)
      for (int open = 0; open <= any; ++open) {
        std::int64_t& here = table[cell(c, taken, open)];
        if (c > 0) here = std::max(here, table[cell(c - 1, taken, open)] + proof.loose);
        if (here <= none / 2) continue;
        if (c + wasted_by(open, proof.layers) <= capacity)
          best = std::max(best, here + (capacity - c) * proof.loose);
        for (std::size_t k = 0; k < proof.kinds.size(); ++k) {
          const HouseNeed& kind = proof.kinds[k];
          const std::int64_t to = c + std::max<std::int64_t>(1, kind.weight);
          if (to > capacity || taken + kind.ends > ends || proof.values[k] <= 0) continue;
          const int both = open == any || kind.open == any ? any : open ^ kind.open;
          std::int64_t& there = table[cell(to, taken + kind.ends, both)];
          there = std::max(there, here + proof.values[k] + proof.loose * kind.closed);
        }
      }
  return best;
}

LAPW_INLINE double check_house_proof(const HouseModel& model, const HouseProof& proof) {
  const double unit = house_unit(model);
  std::vector<std::vector<std::int64_t>> cost(model.runs.size());
  std::int64_t sum = 0;
  for (std::size_t r = 0; r < model.runs.size(); ++r)
    for (const HouseLayout& layout : model.runs[r].layouts) {
      std::int64_t price = 0;
      for (const HouseNeed& need : layout.needs) price += value_of(proof, need);
      for (std::size_t s : layout.whole) price += scaled_price(model.stocks[s], unit, proof.shift);
      cost[r].push_back(price);
    }
  std::vector<char> chained(model.runs.size(), 0);
  std::vector<std::vector<std::int64_t>> at;
  for (const HouseChain& chain : house_chains(model)) {
    for (std::size_t r : chain.runs) chained[r] = 1;
    if (has_links(model, chain)) {
      for (std::size_t r : chain.runs) {
        const auto worth = [&](const HouseNeed& need) { return value_of(proof, need); };
        sum += model.runs[r].links.empty() ? *std::min_element(cost[r].begin(), cost[r].end())
                                           : cheapest_links(model, model.runs[r], unit, proof.shift, worth);
      }
      continue;
    }
    const std::int64_t least = cheapest_path(chain, cost, at, nullptr);
    if (least >= house_never) return std::numeric_limits<double>::infinity();
    sum += least;
  }
  for (std::size_t r = 0; r < model.runs.size(); ++r)
    if (!chained[r]) sum += *std::min_element(cost[r].begin(), cost[r].end());
  sum += proof.loose * model.loose;
  std::vector<std::int64_t> most;
  for (const HouseStock& stock : model.stocks)
    most.push_back(checked_board_value(proof, stock.capacity, stock.ends));
  return house_bound(model, proof.shift, sum, most, nullptr);
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
