#pragma once
#include <cmath>
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

LAPW_INLINE void check_joint_rules(const Runs& runs, const Pole& pole, const Rules& rules) {
  std::vector<Fault> faults;
  if (rules.board.lengths.empty()) faults.push_back({"board.lengths", "must hold at least one length"});
  for (std::size_t i = 0; i < rules.board.lengths.size(); ++i)
    if (!(rules.board.lengths[i] > 0) || !(rules.board.lengths[i] <= greatest_length))
      faults.push_back({format("board.lengths[{}]", i), format("must be more than 0 and at most {}, got {}",
                                                               greatest_length, rules.board.lengths[i])});
  if (!(rules.courses.division > 0))
    faults.push_back({"courses.division", format("must be more than 0, got {}", rules.courses.division)});
  const auto length = [&](const char* path, double value) {
    if (!(value >= 0) || !(value <= greatest_length))
      faults.push_back({path, format("must be 0 to {}, got {}", greatest_length, value)});
  };
  length("joints.gap", rules.joints.gap);
  length("joints.window", rules.joints.window);
  length("joints.min_piece", rules.joints.min_piece);
  length("joints.stagger", rules.joints.stagger);
  for (std::size_t i = 0; i < runs.runs.size(); ++i)
    if (runs.runs[i].course < 0 || static_cast<std::size_t>(runs.runs[i].course) >= pole.lines.size())
      faults.push_back({format("runs[{}].course", i), format("must be one of the pole's {} lines, got {}",
                                                             pole.lines.size(), runs.runs[i].course)});
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
