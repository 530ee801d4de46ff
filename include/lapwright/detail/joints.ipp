#pragma once
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/layouts.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/joints.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {

namespace detail {

inline constexpr double least_joint_grid = 1.0 / 1024;  // in; far below any tape
inline constexpr double most_pieces_of_run = 2000;

LAPW_INLINE void check_joint_rules(const Runs& runs, const Pole& pole, const Rules& rules) {
  std::vector<Fault> faults;
  if (rules.board.lengths.empty()) faults.push_back({"board.lengths", "must hold at least one length"});
  for (std::size_t i = 0; i < rules.board.lengths.size(); ++i)
    if (!(rules.board.lengths[i] > 0) || !(rules.board.lengths[i] <= greatest_length))
      faults.push_back({format("board.lengths[{}]", i), format("must be more than 0 and at most {}, got {}",
                                                               greatest_length, rules.board.lengths[i])});
  const double division = rules.courses.division;
  if (!(division >= least_joint_grid) || !(division <= greatest_length))
    faults.push_back({"courses.division",
                      format("must be {} to {}, got {}", least_joint_grid, greatest_length, division)});
  const auto length = [&](const char* path, double value) {
    if (!(value >= 0) || !(value <= greatest_length))
      faults.push_back({path, format("must be 0 to {}, got {}", greatest_length, value)});
  };
  length("joints.gap", rules.joints.gap);
  length("joints.window", rules.joints.window);
  length("joints.min_piece", rules.joints.min_piece);
  length("joints.stagger", rules.joints.stagger);
  length("joints.price", rules.joints.price);
  length("cutting.min_leg", rules.cutting.min_leg);
  length("fasteners.end_edge", rules.fasteners.end_edge);
  if (rules.joints.repeat_after < 1 || rules.joints.repeat_after > 1000)
    faults.push_back({"joints.repeat_after", format("a stud carries its next joint 1 to 1000 courses later, "
                                                    "got {}",
                                                    rules.joints.repeat_after)});
  for (std::size_t k = 0; k < pole.lines.size(); ++k)
    if (!(std::fabs(pole.lines[k]) <= greatest_length))
      faults.push_back(
          {format("pole.lines[{}]", k), format("must be within {}, got {}", greatest_length, pole.lines[k])});
  double longest = 0;
  for (double board : rules.board.lengths)
    if (board <= greatest_length) longest = std::max(longest, board);
  for (std::size_t i = 0; i < runs.runs.size(); ++i) {
    const Run& run = runs.runs[i];
    bool finite = std::fabs(run.x_min) <= greatest_length && std::fabs(run.x_max) <= greatest_length &&
                  run.x_min < run.x_max && run.shape.outer.size() >= 3;
    for (Point p : run.shape.outer) finite = finite && std::isfinite(p.x) && std::isfinite(p.y);
    for (const Ring& hole : run.shape.holes)
      for (Point p : hole) finite = finite && std::isfinite(p.x) && std::isfinite(p.y);
    if (!finite)
      faults.push_back({format("runs[{}].shape", i), format("must be a ring of finite points, left of right, "
                                                            "within {}",
                                                            greatest_length)});
    else if (longest > 0 && (run.x_max - run.x_min) / longest > most_pieces_of_run)
      faults.push_back(
          {"board.lengths", format("run {} is {} in long: more than {} of the longest board ({} in)", i,
                                   run.x_max - run.x_min, most_pieces_of_run, longest)});
    if (runs.runs[i].course < 0 || static_cast<std::size_t>(runs.runs[i].course) >= pole.lines.size())
      faults.push_back({format("runs[{}].course", i), format("must be one of the pole's {} lines, got {}",
                                                             pole.lines.size(), runs.runs[i].course)});
  }
  if (!faults.empty()) throw Refused(std::move(faults));
}

}  // namespace detail

LAPW_INLINE Joints place_joints(const Wall& wall, const Region& region, const Runs& runs, const Pole& pole,
                                const Rules& rules) {
  detail::check_joint_rules(runs, pole, rules);
  const detail::ChosenLayouts chosen = detail::choose_layouts(wall, region, runs, pole, rules);
  std::vector<const detail::Layout*> layouts;
  layouts.reserve(chosen.layouts.size());
  for (const detail::Layout& layout : chosen.layouts) layouts.push_back(&layout);
  return detail::joints_from_layouts(wall, region, runs, pole, rules, layouts);
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
