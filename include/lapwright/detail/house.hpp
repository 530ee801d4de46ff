#pragma once
/// \file detail/house.hpp  Joints and boards of a whole house as whole numbers: the model that is bounded.
///
/// A run offers layouts; a layout needs pieces (weight, factory ends, open ends) and whole boards, and puts
/// joints on studs. Runs of one wall in consecutive courses must agree about their studs. Boards give pieces
/// as in house_pricer.hpp. The model is a relaxation: its weights are never above what a piece takes up on a
/// board (see house_model.hpp), so that its bound holds for every real cutting.
#include <cstddef>
#include <cstdint>
#include <vector>

#include <lapwright/detail/house_pricer.hpp>
#include <lapwright/detail/patterns.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

struct HouseLayout {
  std::vector<double> studs;       ///< centres of the studs that carry its joints, ascending
  std::vector<HouseNeed> needs;    ///< pieces that are not whole boards
  std::vector<std::size_t> whole;  ///< stock of each whole board
  bool usable = true;              ///< false: only bounded, never chosen
};
/// A piece between two places (0: the run's left end, then its studs, then its right end).
struct HouseLink {
  std::size_t from = 0, to = 0;
  std::vector<HouseNeed> needs;    ///< one, or none where it is a whole board
  std::vector<std::size_t> whole;  ///< stock of the whole board
};
struct HouseRun {
  std::size_t wall = 0;
  int course = 0;
  double x_min = 0, x_max = 0;       ///< in
  double stagger = 0;                ///< least distance of its studs from those of the course below, in
  int repeat_after = 1;              ///< a stud of an earlier course nearer than this is not used again
  std::vector<HouseLayout> layouts;  ///< never empty
  /// Where the layouts are not all that there are: every piece that any layout can have, by `from`. The bound
  /// then takes the cheapest way through, without regard to other courses.
  std::vector<HouseLink> links;
};
struct HouseStock {
  std::int64_t capacity = 0;
  int ends = 2;
  double price = 1;
  std::int64_t available = -1;  ///< -1: as many as wanted; others cost nothing
};
struct HouseModel {
  std::vector<HouseStock> stocks;
  std::vector<HouseRun> runs;
  std::vector<std::int64_t> layers;  ///< what one open end left over wastes, by layer
  std::int64_t loose = 0;            ///< weight of what may be cut to any lengths (starters)
  double joint_price = 0;            ///< of one joint, in the stocks' prices
};

/// Integer prices and what they prove of a model.
struct HouseProof {
  int shift = 0;                     ///< 2^shift units make the least price
  std::vector<HouseNeed> kinds;      ///< what is priced
  std::vector<std::int64_t> layers;  ///< as the model's
  std::vector<std::int64_t> values;  ///< one a kind
  std::int64_t loose = 0;            ///< value of one unit of `loose`
  std::int64_t board_value = 0;      ///< greatest value that the least price buys
  double bound = 0;
};

/// Whether two layouts of runs of one wall may stand together.
bool house_layouts_agree(const HouseRun& below, const HouseLayout& lower, const HouseRun& above,
                         const HouseLayout& upper);

/// Value of a piece at the proof's prices: that of the dearest kind that it could be cut down to.
std::int64_t value_of(const HouseProof& proof, const HouseNeed& need);

/// What the prices of a proof prove of a model, in whole numbers, by means of its own. A wall whose courses
/// cannot agree at all proves infinity.
double check_house_proof(const HouseModel& model, const HouseProof& proof);

/// Runs that are bounded together, from the lowest up.
struct HouseStack {
  std::vector<std::size_t> runs;
  std::size_t memory = 1;  ///< courses back that are held against each other
};

/// The linear programme over stacks of layouts, its bound, and dives that choose layouts.
class HouseSearch {
public:
  HouseSearch(const HouseModel& model, std::int64_t steps);
  ~HouseSearch();
  HouseSearch(const HouseSearch&) = delete;
  HouseSearch& operator=(const HouseSearch&) = delete;

  /// Raises the bound as far as the programme goes.
  /// \param known  a bound that is proven otherwise: stops where the programme cannot beat it
  void prove(double known = 0);
  const HouseProof& proof() const;
  /// The stacks that the proof rests on; other runs are bounded one by one.
  std::vector<HouseStack> stacks() const;
  /// Chooses a layout for each run. Each call makes another choice.
  /// \param kept  layouts that agree, or none: a wall at a dead end keeps them. \return false at a dead end
  ///   without them
  bool dive(std::vector<std::size_t>& chosen, const std::vector<std::size_t>& kept = {});
  std::int64_t steps() const;
  bool out_of_steps() const;

private:
  struct State;
  State* state_;
};

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/house.ipp>
#endif
