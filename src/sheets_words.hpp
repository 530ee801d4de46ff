#pragma once
// Words that text, CSV and HTML sheets share.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

std::string length_words(const Job& job, double inches);  ///< 62 3/8
std::string feet_words(const Job& job, double inches);    ///< 5' 2 3/8"
std::string_view kind_words(CutKind kind);
std::string_view tool_words(Tool tool);
std::string_view place_words(StarterPlace place);
std::string_view meets_words(Meets meets);
std::string end_words(const PieceEnd& end);  ///< "corner, cut, seal"

/// Findings by code, warnings first, the most frequent first.
struct FindingCount {
  std::string code;
  Severity severity = Severity::note;
  int count = 0;
  const Finding* first = nullptr;
};
std::vector<FindingCount> count_findings(const std::vector<Finding>& findings);

/// "south, course 4, south-04-2": where a finding is.
std::string where_words(const Finding& finding);

/// What to buy, a line each: what, how many, unit, how it comes about.
struct OrderRow {
  std::string what;
  std::string amount;
  std::string unit;
  std::string note;
};
std::vector<OrderRow> order_rows(const Job& job, const Plan& plan);

/// What a board gives, a line each, in cutting order.
std::string placement_words(const Job& job, const Plan& plan, const Placement& placement);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
