#include "sheets_words.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include <lapwright/detail/text.hpp>
#include <lapwright/length.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

std::string length_words(const Job& job, double inches) {
  return format_length(inches, job.rules.courses.division);
}
std::string feet_words(const Job& job, double inches) {
  return format_length(inches, job.rules.courses.division, LengthStyle::feet_inches);
}

std::string_view kind_words(CutKind kind) {
  switch (kind) {
    case CutKind::crosscut:
      return "crosscut";
    case CutKind::rip:
      return "rip";
    case CutKind::rake:
      return "rake";
    case CutKind::notch:
      return "notch";
  }
  return "";
}
std::string_view tool_words(Tool tool) {
  return tool == Tool::shears ? "shears" : "saw";
}
std::string_view place_words(StarterPlace place) {
  switch (place) {
    case StarterPlace::base:
      return "at the base";
    case StarterPlace::head:
      return "over a head";
    case StarterPlace::roof:
      return "over a roof";
  }
  return "";
}
std::string_view meets_words(Meets meets) {
  switch (meets) {
    case Meets::base:
      return "base";
    case Meets::corner:
      return "corner";
    case Meets::top:
      return "top";
    case Meets::rake:
      return "rake";
    case Meets::roof:
      return "roof";
    case Meets::wall:
      return "wall";
    case Meets::opening:
      return "opening";
    case Meets::joint:
      return "joint";
    case Meets::filler:
      return "filler";
  }
  return "";
}
std::string end_words(const PieceEnd& end) {
  return std::string(meets_words(end.meets)) + (end.factory ? ", factory end"
                                                : end.seal  ? ", cut and seal"
                                                            : ", cut");
}

std::vector<FindingCount> count_findings(const std::vector<Finding>& findings) {
  std::map<std::pair<int, std::string>, FindingCount> counts;
  for (const Finding& finding : findings) {
    FindingCount& count = counts[{finding.severity == Severity::warning ? 0 : 1, finding.code}];
    count.code = finding.code;
    count.severity = finding.severity;
    if (count.count++ == 0) count.first = &finding;
  }
  std::vector<FindingCount> out;
  for (auto& entry : counts) out.push_back(entry.second);
  std::stable_sort(out.begin(), out.end(), [](const FindingCount& a, const FindingCount& b) {
    if (a.severity != b.severity) return a.severity == Severity::warning;
    return a.count > b.count;
  });
  return out;
}

std::string where_words(const Finding& finding) {
  std::string s = finding.wall.empty() ? "house" : finding.wall;
  if (finding.course) s += detail::format(", course {}", *finding.course);
  if (!finding.piece.empty()) s += ", " + finding.piece;
  return s;
}

std::vector<OrderRow> order_rows(const Job& job, const Plan& plan) {
  const Order& order = plan.order;
  std::vector<OrderRow> rows;
  for (const OrderLine& line : order.boards)
    rows.push_back({"board " + feet_words(job, line.length), std::to_string(line.count), "pieces",
                    "cut as the board sheet says"});
  if (order.allowance_boards > 0)
    rows.push_back(
        {"boards for breakage", std::to_string(order.allowance_boards), "pieces",
         detail::format("{:.3g} percent, rounded up; not in the cost", job.rules.allowance * 100)});
  rows.push_back({"starter", length_words(job, order.starter_inches), "in", "cut from the boards above"});
  rows.push_back(
      {"joint flashing", std::to_string(order.joint_flashings), "pieces", "one behind each butt joint"});
  rows.push_back({"nails into studs", std::to_string(order.nails.stud), "nails", ""});
  rows.push_back({"nails into plates and blocking", std::to_string(order.nails.member), "nails", ""});
  rows.push_back({"nails into sheathing", std::to_string(order.nails.sheathing), "nails", ""});
  rows.push_back({"of these face nails", std::to_string(order.nails.face), "nails",
                  "heads show: set flush and touch up"});
  rows.push_back({"sealant", std::to_string(order.cartridges), "cartridges",
                  detail::format("{:.0f} in of joint", order.sealant_inches)});
  rows.push_back({"cut edge to prime", detail::format("{:.0f}", order.prime_inches), "in", ""});
  rows.push_back({"weight of the boards", detail::format("{:.0f}", order.weight_lb), "lb", ""});
  return rows;
}

std::string placement_words(const Job& job, const Plan& plan, const Placement& placement) {
  const std::string up =
      placement.at.y > tolerance ? ", up " + length_words(job, placement.at.y) : std::string();
  if (placement.piece.empty())
    return detail::format("{}, starter {} x {}, from {}{}", placement.starter,
                          length_words(job, placement.size.x), length_words(job, placement.size.y),
                          length_words(job, placement.at.x), up);
  std::string callout;
  for (const PlanWall& wall : plan.walls)
    for (const Piece& piece : wall.pieces)
      if (piece.id == placement.piece) callout = piece.callout;
  return detail::format("{}, {}{}, from {}", placement.piece, callout,
                        placement.turned ? ", turned end for end" : "", length_words(job, placement.at.x));
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
