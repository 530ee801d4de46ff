#pragma once
/// \file sheets.hpp  A plan as text, CSV and one page of HTML. Needs the compiled library
/// (lapwright::lapwright).
#include <string>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

/// What a foreman wants first, in under 25 lines: order, how far from the proven minimum, pole, findings.
std::string summary_text(const Job& job, const Plan& plan);

/// Each piece by wall and course, with its cuts face up and as laid out on the back.
std::string cut_sheet_text(const Job& job, const Plan& plan);
std::string cut_sheet_csv(const Job& job, const Plan& plan);

/// Each board in cutting order, with what is cut from it.
std::string board_sheet_text(const Job& job, const Plan& plan);
std::string board_sheet_csv(const Job& job, const Plan& plan);

/// One static page that shows the whole plan and prints in order; no script, nothing fetched.
std::string index_page(const Job& job, const Plan& plan);

}  // namespace v0
}  // namespace lapwright
