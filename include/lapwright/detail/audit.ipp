#pragma once
// The audit: the house seen again from the job alone, then every part of the plan held against it.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include <lapwright/audit.hpp>
#include <lapwright/detail/audit_boards.ipp>
#include <lapwright/detail/audit_cover.ipp>
#include <lapwright/detail/audit_cuts.ipp>
#include <lapwright/detail/audit_ground.ipp>
#include <lapwright/detail/audit_nails.ipp>
#include <lapwright/detail/audit_parts.hpp>
#include <lapwright/detail/audit_pieces.ipp>
#include <lapwright/detail/audit_pole.ipp>
#include <lapwright/detail/config.hpp>

#include <lapwright/detail/contract_off.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace audited {

LAPW_INLINE void audit_document(const House& house, Report& report) {
  const Job& job = *house.job;
  const Plan& plan = *house.plan;
  for (const AuditWall& w : house.walls)
    if (w.plan == nullptr)
      report.insist("format", {w.wall->name, {}, {}}, {}, {}, "the plan has no such wall");
  for (std::size_t i = 0; i < plan.walls.size(); ++i) {
    bool known = false;
    for (const Wall& wall : job.walls) known = known || wall.name == plan.walls[i].name;
    if (!known)
      report.insist("format", {plan.walls[i].name, {}, {}}, {}, {}, "the job has no wall of this name");
    for (std::size_t j = 0; j < i; ++j)
      if (plan.walls[i].name == plan.walls[j].name)
        report.insist("format", {plan.walls[i].name, {}, {}}, {}, {}, "the plan has this wall twice");
  }
  if (plan.job != job.name) report.insist("format", {}, {}, {}, "the plan names another job: " + plan.job);
  if (plan.cautions.empty()) report.insist("format", {}, 0, {}, "the plan has no cautions");
  std::vector<std::string> said = plan.defaults_used, due = job.defaults_used;
  std::sort(said.begin(), said.end());
  std::sort(due.begin(), due.end());
  if (said != due) {
    std::string what;
    for (const std::string& s : due)
      if (!std::binary_search(said.begin(), said.end(), s))
        what = "the plan does not say that it took the default of " + s;
    for (const std::string& s : said)
      if (!std::binary_search(due.begin(), due.end(), s))
        what = "the plan says that it took the default of " + s + ", the job gives it";
    report.insist("defaults_used", {}, static_cast<double>(said.size()), static_cast<double>(due.size()),
                  what);
  }
}

}  // namespace audited
}  // namespace detail

LAPW_INLINE std::vector<Finding> audit(const Job& job, const Plan& plan) {
  using namespace detail::audited;
  std::vector<Fault> faults = check_job(job);
  if (!faults.empty()) throw Refused(std::move(faults));
  House house;
  house.job = &job;
  house.plan = &plan;
  house.rules = &job.rules;
  house.built = job.rules.courses.lines.size();
  house.walls.resize(job.walls.size());
  for (std::size_t w = 0; w < job.walls.size(); ++w) {
    house.walls[w].wall = &job.walls[w];
    for (const PlanWall& p : plan.walls)
      if (p.name == job.walls[w].name) {
        house.walls[w].plan = &p;
        break;
      }
    const PlanWall* p = house.walls[w].plan;
    if (p == nullptr) continue;
    for (std::size_t i = 0; i < p->pieces.size(); ++i) house.piece_at[p->pieces[i].id] = {w, i};
    for (std::size_t i = 0; i < p->starters.size(); ++i) house.starter_at[p->starters[i].id] = {w, i};
  }
  Report report(plan.findings);
  audit_document(house, report);
  measure_ground(house, report);
  audit_pole(house, report);
  // On a pole that is none, nothing can be measured.
  for (const Finding& f : report.found)
    if (f.code == "pole_order") return report.found;
  audit_fitted(house, report);
  expect_courses(house);
  audit_cover(house, report);
  audit_pieces(house, report);
  audit_joints(house, report);
  audit_cuts(house, report);
  audit_nails(house, report);
  audit_boards(house, report);
  audit_starters(house, report);
  audit_order(house, report);
  return report.found;
}

}  // namespace v0
}  // namespace lapwright

#include <lapwright/detail/contract_restore.hpp>
