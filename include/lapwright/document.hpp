#pragma once
/// \file document.hpp  Job and plan as JSON text. Needs the compiled library (lapwright::lapwright).
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

/// Reads a job document (UTF-8, format version 1) and checks it. \throws Refused with every fault, each with
/// its path: text that is not JSON, unknown and missing keys, values that cannot be read, all that check_job
/// finds.
Job read_job(std::string_view json);

/// A plan document as text; numbers in shortest round-trip form; the same plan gives the same bytes.
std::string write_plan(const Plan& plan);

/// The document that answers a refused job.
std::string write_refusal(const Refused& refused);

/// A plan document read leniently: unknown keys are ignored; a missing or misshapen part is a finding (code
/// `format`) and stays at its default.
struct ReadPlan {
  Plan plan;
  std::vector<Finding> findings;
};
ReadPlan read_plan(std::string_view json);

/// Job text in, plan text out, or the refusal document: the whole job in one call. Never throws but
/// bad_alloc.
std::string plan_job(std::string_view json);

}  // namespace v0
}  // namespace lapwright
