#pragma once
/// \file takeoff.hpp  What to order, and what each lift must carry: every figure a sum of things in the plan.
#include <cstdint>
#include <string>
#include <vector>

#include <lapwright/boards.hpp>
#include <lapwright/fasteners.hpp>

namespace lapwright {
inline namespace v0 {

struct OrderLine {
  double length = 0;  ///< in
  int count = 0;
};
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
  int allowance_boards = 0;
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
  double weight_lb = 0;  ///< pieces hung
};

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
};

Takeoff take_off(const std::vector<TakeoffWall>& walls, const Pole& pole, const Packing& packing,
                 double proven_minimum, const Rules& rules);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/takeoff.ipp>
#endif
