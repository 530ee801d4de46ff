#pragma once
/// \file sheets.hpp  A plan as text, CSV and one page of HTML. Needs the compiled library
/// (lapwright::lapwright).
///
/// All are deterministic UTF-8. CSV follows RFC 4180, with a header line that carries the units: one row a
/// thing, lengths as decimals in the job's unit (inches, or millimetres on a metric division), and callouts
/// beside them as they are called across the site.
#include <string>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {

/// What a foreman wants first, in under 25 lines: the order and how far it is from the proven minimum, the
/// pole, warnings by kind, where to look first.
std::string summary_text(const Job& job, const Plan& plan);

/// Each piece by wall and course, in hanging order, with its cuts face up and as laid out on the back.
std::string cut_sheet_text(const Job& job, const Plan& plan);
/// Every cut, in the order of the cut sheet.
std::string cut_sheet_csv(const Job& job, const Plan& plan);
/// Every piece in hanging order: where it goes, its ends, its board, and when it can go up.
std::string pieces_csv(const Job& job, const Plan& plan);

/// Each board in cutting order, with what is cut from it, what goes up then, and what waits on the stack.
std::string board_sheet_text(const Job& job, const Plan& plan);
/// Every piece, starter strip and offcut of every board, in cutting order.
std::string board_sheet_csv(const Job& job, const Plan& plan);

/// What to buy: boards, nails, sealant, starter, flashings.
std::string order_csv(const Job& job, const Plan& plan);
/// The pole: line, running height, exposure.
std::string pole_csv(const Job& job, const Plan& plan);
/// Every nail.
std::string nails_csv(const Job& job, const Plan& plan);
/// Every lift of every wall: what is carried up, primed and sealed there.
std::string staging_csv(const Job& job, const Plan& plan);
/// Every finding.
std::string findings_csv(const Job& job, const Plan& plan);

/// A template repays its making from about the fourth cut (common practice); the page draws those full size,
/// the others are laid out by their numbers.
inline constexpr int uses_worth_a_template = 4;

/// One static page that shows the whole plan and prints on Letter or A4 in order - summary, order, pole,
/// walls, cut cards by wall and course in hanging order, boards in cutting order with what waits on the
/// stack, templates full size, staging with edge work, stations and loads, findings, cautions; no script,
/// nothing fetched.
std::string index_page(const Job& job, const Plan& plan);

}  // namespace v0
}  // namespace lapwright
