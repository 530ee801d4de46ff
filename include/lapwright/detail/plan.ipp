#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/detail/config.hpp>
#include <lapwright/plan.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline void append_findings(std::vector<Finding>& to, std::vector<Finding> from) {
  for (Finding& finding : from) to.push_back(std::move(finding));
}

/// The lowest line that anything is planned from on this wall.
inline int first_planned_course(const Pole& pole, const WallCourses& courses) {
  return courses.first_course > pole.built ? courses.first_course : pole.built;
}

/// The greatest exposure of the pole; the greatest allowed where it has a single line.
inline double greatest_laid_exposure(const Pole& pole, const Rules& rules) {
  double greatest = 0;
  for (std::size_t k = static_cast<std::size_t>(pole.built); k < pole.exposures.size(); ++k)
    if (pole.exposures[k] > greatest) greatest = pole.exposures[k];
  return greatest > 0 ? greatest : greatest_exposure(rules);
}

}  // namespace detail

LAPW_INLINE std::vector<std::string> usual_cautions() {
  return {
      "Dust: cutting fibre cement frees respirable silica. Cut outdoors, with shears or score-and-snap, or "
      "with a saw whose dust collector filters 99 percent or better. (29 CFR 1926.1153 Table 1; NIOSH "
      "2015-185)",
      "Eyes and lungs: wear eye protection at every cut and nail, and a respirator where your local rule "
      "asks for one. (29 CFR 1926.102; 29 CFR 1926.1153)",
      "Nail guns: full sequential trigger, hand away from the line of fire, air off before clearing a jam. "
      "(NIOSH and OSHA, Nail Gun Safety, 2011)",
      "Falls: protection from 6 ft up, on a scaffold from 10 ft. Ladders reach 3 ft past the landing and "
      "stand one out for four up. (29 CFR 1926.501, 1926.451, 1926.1053)",
      "Lifting: boards are heavy and brittle. Carry them on edge, two to a long board, and keep a stack "
      "within the rated load of its platform. (NIOSH 2007-122; 29 CFR 1926.451)",
      "This plan is arithmetic, not an approval: local codes, the maker's written instructions and a "
      "licensed professional decide. Measure again before the first board goes up. (IRC R703.10.2 defers to "
      "approved instructions)",
  };
}

LAPW_INLINE Plan plan_house(const Job& job, const PlanOptions& options) {
  std::vector<Fault> faults = check_job(job);
  if (!faults.empty()) throw Refused(std::move(faults));
  const Rules& rules = job.rules;
  const std::size_t count = job.walls.size();

  Plan plan;
  plan.job = job.name;
  plan.defaults_used = job.defaults_used;
  plan.cautions = usual_cautions();
  plan.walls.resize(count);

  std::vector<WallHeights> heights;
  heights.reserve(count);
  for (const Wall& wall : job.walls) heights.push_back(wall_heights(wall, siding_region(wall, rules)));
  Courses courses = lay_courses(heights, rules);
  plan.pole = courses.pole;
  detail::append_findings(plan.findings, std::move(courses.findings));

  std::vector<Runs> runs(count);
  std::vector<SearchWall> search(count);
  for (std::size_t w = 0; w < count; ++w) {
    const Wall& wall = job.walls[w];
    PlanWall& out = plan.walls[w];
    out.name = wall.name;
    out.courses = courses.walls[w];
    const bool empty = out.courses.last_course < 0;
    std::optional<double> first_line;
    if (!empty && !out.courses.ripped_start)
      first_line = plan.pole.lines[static_cast<std::size_t>(out.courses.first_course)];
    out.region = siding_region(wall, rules, first_line);
    detail::append_findings(plan.findings, out.region.findings);
    if (!empty) {
      const int first = detail::first_planned_course(plan.pole, out.courses);
      if (first <= out.courses.last_course)
        out.region_area = region_area(out.region, plan.pole.lines[static_cast<std::size_t>(first)]);
      runs[w] = find_runs(wall, out.region, plan.pole, out.courses, rules);
      detail::append_findings(plan.findings, std::move(runs[w].findings));
    }
    out.starters = runs[w].starters;
    search[w] = {&wall, &out.region, &out.courses, &runs[w]};
  }

  Settled settled = settle_boards(search, plan.pole, rules, options.callback, options.context);
  plan.boards = std::move(settled.packing.boards);
  plan.certificate = std::move(settled.certificate);
  detail::append_findings(plan.findings, std::move(settled.packing.findings));

  std::vector<Fastening> fastening(count);
  std::vector<TakeoffWall> takeoff(count);
  const double exposure = detail::greatest_laid_exposure(plan.pole, rules);
  for (std::size_t w = 0; w < count; ++w) {
    const Wall& wall = job.walls[w];
    PlanWall& out = plan.walls[w];
    out.joints = std::move(settled.joints[w].joints);
    detail::append_findings(plan.findings, std::move(settled.joints[w].findings));
    out.pieces = cut_pieces(wall, out.region, runs[w], out.joints, plan.pole, rules);
    out.templates = rake_templates(out.pieces, rules, exposure);
    fastening[w] = place_fasteners(wall, out.region, plan.pole, out.courses, out.pieces, out.starters, rules);
    out.framing_share = fastening[w].framing_share;
    out.least_penetration = fastening[w].least_penetration;
    detail::append_findings(plan.findings, fastening[w].findings);
    takeoff[w] = {&wall, &out.region, &out.courses, &out.pieces, &out.starters, &out.joints, &fastening[w]};
  }

  Packing packing;
  packing.boards = plan.boards;
  packing.cost = settled.packing.cost;
  Takeoff taken = take_off(takeoff, plan.pole, packing, settled.proven_minimum, rules);
  plan.order = std::move(taken.order);
  plan.staging = std::move(taken.staging);
  plan.nail_order = taken.nails;
  plan.edge_work = std::move(taken.edges);
  plan.stations = std::move(taken.stations);
  plan.least_trim = taken.least_trim;
  plan.loads = std::move(taken.loads);
  detail::append_findings(plan.findings, std::move(taken.findings));
  for (std::size_t w = 0; w < count; ++w) {
    plan.walls[w].nails = std::move(fastening[w].pieces);
    plan.walls[w].starter_nails = std::move(fastening[w].starters);
  }
  return plan;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
