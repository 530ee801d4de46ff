#pragma once
/// \file sheets.hpp  A plan as text, CSV and one page of HTML. Needs the compiled library
/// (lapwright::lapwright).
///
/// All are deterministic UTF-8. CSV follows RFC 4180, with a header line; lengths are written in the job's
/// divisions.
#include <string>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

/// What a foreman wants first, in under 25 lines: the order and how far it is from the proven minimum, the
/// pole, warnings by kind, where to look first.
std::string summary_text(const Job& job, const Plan& plan);

/// Each piece by wall and course, in hanging order, with its cuts face up and as laid out on the back.
std::string cut_sheet_text(const Job& job, const Plan& plan);
std::string cut_sheet_csv(const Job& job, const Plan& plan);

/// Each board in cutting order, with what is cut from it.
std::string board_sheet_text(const Job& job, const Plan& plan);
std::string board_sheet_csv(const Job& job, const Plan& plan);

/// What to buy: boards, nails, sealant, starter, flashings.
std::string order_csv(const Job& job, const Plan& plan);
/// The pole: line, running height, exposure.
std::string pole_csv(const Job& job, const Plan& plan);
/// Every nail.
std::string nails_csv(const Job& job, const Plan& plan);

/// One static page that shows the whole plan and prints in order - summary, order, pole, walls, cut cards by
/// wall and course, boards, templates, staging, findings, cautions; no script, nothing fetched.
std::string index_page(const Job& job, const Plan& plan);

}  // namespace v0
}  // namespace lapwright
