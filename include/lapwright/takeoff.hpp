#pragma once
/// \file takeoff.hpp  What to order, and what each lift must carry: every figure a sum of things in the plan.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <lapwright/boards.hpp>
#include <lapwright/fasteners.hpp>
#include <lapwright/loads.hpp>

namespace lapwright {
inline namespace v0 {

struct OrderLine {
  double length = 0;  ///< in
  int count = 0;
};
/// Of the pieces. What holds the starters is in Takeoff::nails.
struct NailCounts {
  int stud = 0;
  int member = 0;
  int sheathing = 0;
  int face = 0;  ///< face nails, counted again
};
struct Order {
  std::vector<OrderLine> boards;  ///< one for each stock length bought, in the job's order
  double cost = 0;
  double proven_minimum = 0;
  int allowance_boards = 0;  ///< for breakage, apart from `boards`
  NailCounts nails;
  double sealant_inches = 0;
  int cartridges = 0;
  double prime_inches = 0;
  int joint_flashings = 0;
  double starter_inches = 0;
  double weight_lb = 0;  ///< boards bought
};
/// One wall's share of one lift.
struct Lift {
  std::string wall;
  int lift = 1;  ///< from the wall's first planned line up
  int first_course = 0;
  int last_course = 0;  ///< included
  int pieces = 0;
  double weight_lb = 0;    ///< pieces hung
  double capacity_lb = 0;  ///< of one bay: staging.rating on its platform; 0 where the job gives no rating
  int bays = 0;            ///< over which the lift's pieces must be spread; 0 where the job gives no rating
  std::vector<std::size_t> hanging;  ///< the lift's pieces in hanging order: indices into the wall's pieces
};

/// Nails to buy, those of starters included.
struct NailOrder {
  int blind = 0;
  int face = 0;
  int starter = 0;
  int boxes = 0;         ///< of `nails_per_box`
  double weight_lb = 0;  ///< of the shanks, by volume
};
/// What one piece asks of the brush and of the sealant gun.
struct EdgeWork {
  std::string piece;
  double prime_inches = 0;    ///< field cuts that show
  double sealant_inches = 0;  ///< field ends against trim that show
};
/// Where the saw may stand so that the pieces of one wall are carried the shortest way in all.
struct CutStation {
  std::string wall;
  double x = 0;              ///< in; along the wall: the median of the pieces' middles
  double carry_inches = 0;   ///< sum of the ways along the wall, one a piece
  double longest_piece = 0;  ///< in; the bench that supports it end to end
  double bench_inches = 0;   ///< in; supports the longest board that the wall's pieces are cut from
};

/// Choices of the take-off that no job document has.
struct TakeoffOptions {
  int nails_per_box = 1000;  ///< common practice
};

/// Steel: pounds in a cubic inch.
inline constexpr double steel_lb_per_cubic_inch = 0.2836;

/// What the take-off sums over. Pointers are borrowed for the call.
struct TakeoffWall {
  const Wall* wall = nullptr;
  const Region* region = nullptr;
  const WallCourses* courses = nullptr;
  const std::vector<Piece>* pieces = nullptr;
  const std::vector<Starter>* starters = nullptr;
  const std::vector<Joint>* joints = nullptr;
  const Fastening* fastening = nullptr;
};
struct Takeoff {
  Order order;
  std::vector<Lift> staging;  ///< by wall, then lift
  std::vector<Finding> findings;
  NailOrder nails;
  std::vector<EdgeWork> edges;       ///< of the pieces that ask for any, in the order of walls and pieces
  std::vector<CutStation> stations;  ///< of the walls that have pieces
  std::optional<Loads> loads;        ///< where the job gives wind and species
  double least_trim = 0;  ///< in; thinner trim is not proud of the siding at the pole's smallest exposure
};

/// Sums up. Rules of each figure:
/// - boards bought, cost, weight: Packing::boards that are not on hand; allowance_boards = those times
///   `allowance`, rounded up.
/// - sealant: upright and slanted field edges of pieces along a corner, rake, wall or opening (never its
///   head) that leaves a gap, as far as they show.
/// - prime: all field cuts of pieces, as far as they show.
/// - a flashing a joint; starters by their length.
/// - staging: each piece in the lift that its lowest edge is in.
/// Findings: trim_too_thin; staging, where a lift's pieces weigh more than one bay may carry.
/// O(edges of pieces times log of the region's boundary, or near it).
Takeoff take_off(const std::vector<TakeoffWall>& walls, const Pole& pole, const Packing& packing,
                 double proven_minimum, const Rules& rules, const TakeoffOptions& options = {});

/// Cubic inches of a bead, and the cartridges that it takes: its volume / cartridge, rounded up.
double bead_volume(double inches, double width, double depth);
int cartridges_needed(double cubic_inches, double cartridge);

/// How far from `x` all of `middles` are, summed: least at their median. Of two medians the lower.
double median_of(std::vector<double> middles);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/takeoff.ipp>
#endif
