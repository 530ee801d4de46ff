#pragma once
/// \file plan.hpp  The whole way from a job to a plan.
#include <optional>
#include <string>
#include <vector>

#include <lapwright/rake.hpp>
#include <lapwright/search.hpp>
#include <lapwright/takeoff.hpp>

namespace lapwright {
inline namespace v0 {

struct PlanWall {
  std::string name;
  WallCourses courses;
  double region_area = 0;  ///< square inches, at or above the first line planned
  double framing_share = 0;
  double least_penetration = 0;  ///< in
  std::vector<Joint> joints;
  std::vector<Piece> pieces;
  std::vector<std::vector<Nail>> nails;  ///< nails[i] hold pieces[i]
  std::vector<Starter> starters;
  std::vector<std::vector<Nail>> starter_nails;  ///< starter_nails[i] hold starters[i]
  std::vector<RakeTemplate> templates;
  Region region;  ///< not in the plan document; drawings and take-off read it
};

struct Plan {
  std::string job;  ///< its name
  Pole pole;
  std::vector<PlanWall> walls;
  std::vector<Board> boards;
  Order order;
  Certificate certificate;
  std::vector<Lift> staging;
  NailOrder nail_order;
  std::vector<EdgeWork> edge_work;
  std::vector<CutStation> stations;
  double least_trim = 0;       ///< in; thinner trim is not proud of the siding. Not in the plan document
  std::optional<Loads> loads;  ///< figures for a licensed professional, where the job gives wind and species
  std::vector<Finding> findings;
  std::vector<std::string> cautions;
  std::vector<std::string> defaults_used;
};

struct PlanOptions {
  SearchCallback callback = nullptr;  ///< called as the board search goes on; return false to stop it
  void* context = nullptr;
};

/// Plans a house: the stages in order, joints and boards settled together. The same job gives the same plan
/// on every machine. \throws Refused with every fault found.
Plan plan_house(const Job& job, const PlanOptions& options = {});

/// The usual cautions, short, each with its published source.
std::vector<std::string> usual_cautions();

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/plan.ipp>
#endif
