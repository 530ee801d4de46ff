#pragma once
/// \file audit.hpp  Every rule broken by a plan, from whoever made it.
#include <vector>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

/// Checks a plan against its job by other means than the makers': none of their stages is called. Findings
/// that the plan itself declares at the same place are not repeated. \throws Refused for a job that cannot be
/// read.
std::vector<Finding> audit(const Job& job, const Plan& plan);

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/audit.ipp>
#endif
