#include "sheets_words.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <utility>

#include <lapwright/detail/tape.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/lap.hpp>
#include <lapwright/length.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

namespace {

std::int64_t nearest(double inches, double division) {
  return static_cast<std::int64_t>(std::floor(inches / division + 0.5));
}

}  // namespace

bool is_metric(const Rules& rules) {
  return Tape(rules.courses.division).metric();
}
std::string_view unit_words(const Rules& rules) {
  return is_metric(rules) ? "mm" : "in";
}
std::string length_number(const Rules& rules, double inches) {
  const Tape tape(rules.courses.division);
  std::string s;
  tape.say(s, nearest(inches, tape.division()));
  return s;
}
std::string length_words(const Rules& rules, double inches) {
  return detail::format("{} {}", length_number(rules, inches), unit_words(rules));
}
std::string feet_words(const Rules& rules, double inches) {
  return is_metric(rules) ? length_words(rules, inches)
                          : format_length(inches, rules.courses.division, LengthStyle::feet_inches);
}
std::string length_decimal(const Rules& rules, double inches) {
  std::string s =
      is_metric(rules) ? detail::format("{:.2f}", inches * 25.4) : detail::format("{:.4f}", inches);
  s.erase(s.find_last_not_of('0') + 1);
  if (s.back() == '.') s.pop_back();
  return s == "-0" ? "0" : s;
}
std::string run_number(const Rules& rules, double inches) {
  return is_metric(rules) ? format("{:.1f}", inches * 0.0254) : format("{:.0f}", inches / 12);
}
std::string_view run_unit(const Rules& rules) {
  return is_metric(rules) ? "m" : "ft";
}
std::string cut_length(const Rules& rules, const Piece& piece) {
  return is_metric(rules) ? piece.callout : piece.callout + " in";
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
  const Rules& rules = job.rules;
  const FastenerRules& nail = rules.fasteners;
  // As it is written on a box: decimals with their unit.
  const auto fine = [&](double inches) {
    return format("{} {}", length_decimal(rules, inches), unit_words(rules));
  };
  std::vector<OrderRow> rows;
  for (const OrderLine& line : order.boards)
    rows.push_back(
        {"board " + feet_words(rules, line.length), std::to_string(line.count), "boards",
         format("{} wide, {} thick", length_words(rules, rules.board.width), fine(rules.board.thickness))});
  if (order.allowance_boards > 0)
    rows.push_back({"boards for breakage", std::to_string(order.allowance_boards), "boards",
                    detail::format("{:.3g} percent, rounded up; not in the cost", rules.allowance * 100)});
  const auto on_hand = std::count_if(plan.boards.begin(), plan.boards.end(),
                                     [](const Board& board) { return board.on_hand >= 0; });
  if (on_hand > 0)
    rows.push_back({"offcuts on hand", std::to_string(on_hand), "pieces", "used up; nothing to buy"});
  rows.push_back({"starter strip", run_number(rules, order.starter_inches), std::string(run_unit(rules)),
                  "cut from the boards above"});
  rows.push_back(
      {"joint flashing", std::to_string(order.joint_flashings), "pieces", "one behind each butt joint"});
  const NailCounts& nails = order.nails;
  const NailOrder& bought = plan.nail_order;
  const int all = nails.stud + nails.member + nails.sheathing;
  rows.push_back(
      {"nails for boards", std::to_string(all), "nails",
       detail::format("{} long, {} thick{}; {} into studs, {} into plates and blocking, {} into sheathing",
                      fine(nail.length), fine(nail.shank), nail.ring_shank ? ", ring shank" : "", nails.stud,
                      nails.member, nails.sheathing)});
  rows.push_back({"of these face nails", std::to_string(nails.face), "nails",
                  "their heads show: set flush and touch up"});
  if (bought.boxes > 0) {
    rows.push_back({"nails for starters", std::to_string(bought.starter), "nails", "the same nail"});
    rows.push_back({"boxes of nails", std::to_string(bought.boxes), "boxes",
                    detail::format("of {}; all nails above, {:.1f} lb", TakeoffOptions().nails_per_box,
                                   bought.weight_lb)});
  }
  rows.push_back(
      {"sealant", std::to_string(order.cartridges), "cartridges",
       format("{} {} of joint, a bead {} wide and {} deep", run_number(rules, order.sealant_inches),
              run_unit(rules), fine(rules.seal.width), fine(rules.seal.depth))});
  rows.push_back({"primer for cut edges", run_number(rules, order.prime_inches), std::string(run_unit(rules)),
                  "every cut edge that shows"});
  double least = 0;  // exposure: the steepest lean
  for (double e : plan.pole.exposures) least = least == 0 || e < least ? e : least;
  if (least > 0 && least < rules.board.width) {
    const LapProfile lap =
        lap_profile(rules.board.width, rules.board.thickness, least, rules.fasteners.top_edge);
    rows.push_back({"trim, thicker than", length_decimal(rules, lap.least_trim),
                    std::string(unit_words(rules)),
                    rules.trim ? "the job's is " + fine(rules.trim->thickness)
                               : std::string("or the siding stands proud of it")});
  }
  rows.push_back({"weight of the boards", detail::format("{:.0f}", order.weight_lb), "lb", "as bought"});
  return rows;
}

Orders reconcile(const Plan& plan) {
  Orders out;
  for (std::size_t w = 0; w < plan.walls.size(); ++w)
    for (std::size_t i = 0; i < plan.walls[w].pieces.size(); ++i) {
      out.find.emplace(plan.walls[w].pieces[i].id, out.pieces.size());
      out.pieces.push_back({w, i, npos, 0, npos});
    }
  for (std::size_t b = 0; b < plan.boards.size(); ++b)
    for (std::size_t n = 0; n < plan.boards[b].cut.size(); ++n) {
      const auto found = out.find.find(plan.boards[b].cut[n].piece);
      if (found == out.find.end()) continue;
      out.pieces[found->second].board = b;
      out.pieces[found->second].place = n;
    }
  // A piece goes up once it and all before it are cut.
  out.hung.resize(plan.boards.size());
  std::size_t ready = 0;
  for (std::size_t i = 0; i < out.pieces.size(); ++i) {
    Origin& piece = out.pieces[i];
    if (piece.board == npos) continue;  // a plan that cuts it from no board is not whole; the audit says so
    ready = std::max(ready, piece.board);
    piece.ready = ready;
    out.hung[ready].push_back(i);
  }
  std::size_t waiting = 0;
  for (std::size_t b = 0; b < plan.boards.size(); ++b) {
    for (const Placement& p : plan.boards[b].cut) waiting += out.find.count(p.piece);
    waiting -= std::min(waiting, out.hung[b].size());
    out.waiting.push_back(waiting);
    if (waiting <= out.most) continue;
    out.most = waiting;
    out.most_after = b;
  }
  return out;
}

std::string piece_ranges(const std::vector<std::string>& ids) {
  // WALL-CC-N: neighbours that differ in N alone, by one, are told as a range.
  std::string s, stem;
  long first = 0, last = 0;
  const auto number_of = [](const std::string& id, std::string& stem_of) {
    const std::size_t dash = id.rfind('-');
    const bool plain = dash != std::string::npos && dash + 1 < id.size() && id.size() - dash < 8 &&
                       id.find_first_not_of("0123456789", dash + 1) == std::string::npos;
    stem_of = plain ? id.substr(0, dash + 1) : id;
    return plain ? std::stol(id.substr(dash + 1)) : -1;
  };
  const auto flush = [&] {
    if (stem.empty()) return;
    if (!s.empty()) s += ", ";
    s += first < 0 ? stem : detail::format("{}{}", stem, first);
    if (last > first) s += detail::format(" to {}", last);
  };
  for (const std::string& id : ids) {
    std::string stem_of;
    const long n = number_of(id, stem_of);
    if (n >= 0 && stem_of == stem && n == last + 1) {
      last = n;
      continue;
    }
    flush();
    stem = stem_of;
    first = last = n;
  }
  flush();
  return s;
}

std::string placement_words(const Job& job, const Plan& plan, const Orders& orders, std::size_t board,
                            const Placement& placement) {
  const Rules& rules = job.rules;
  const std::string from = placement.at.x <= tolerance
                               ? "from the left end"
                               : "starting " + length_words(rules, placement.at.x) + " from the left end";
  const auto found = orders.find.find(placement.piece);
  if (found == orders.find.end())
    return detail::format("{}: starter strip {} x {}, {}, {}", placement.starter,
                          length_number(rules, placement.size.x), length_words(rules, placement.size.y), from,
                          placement.at.y > tolerance
                              ? length_words(rules, placement.at.y) + " up from the lower edge"
                              : "along the lower edge");
  const Origin& origin = orders.pieces[found->second];
  const Piece& piece = plan.walls[origin.wall].pieces[origin.piece];
  std::string s = detail::format("{}: {}, {}", piece.id, cut_length(rules, piece), from);
  if (placement.at.y > tolerance) s += ", " + length_words(rules, placement.at.y) + " up";
  if (placement.turned) s += ", turned end for end";
  const std::string wait = wait_words(plan, orders, board, placement);
  return wait.empty() ? s : s + "; on the stack " + wait;
}

std::string wait_words(const Plan& plan, const Orders& orders, std::size_t board,
                       const Placement& placement) {
  const auto found = orders.find.find(placement.piece);
  if (found == orders.find.end()) return {};
  const Origin& origin = orders.pieces[found->second];
  if (origin.ready == npos || origin.ready <= board) return {};
  return detail::format("until board {} is cut", plan.boards[origin.ready].id);
}

std::string hung_words(const Plan& plan, const Orders& orders, std::size_t board) {
  std::vector<std::string> ids;
  for (std::size_t i : orders.hung[board])
    ids.push_back(plan.walls[orders.pieces[i].wall].pieces[orders.pieces[i].piece].id);
  return piece_ranges(ids);
}

std::vector<LiftRow> lift_rows(const Plan& plan) {
  std::map<std::string_view, const EdgeWork*> edges;
  for (const EdgeWork& work : plan.edge_work) edges.emplace(work.piece, &work);
  std::vector<LiftRow> rows;
  for (const Lift& lift : plan.staging) {
    LiftRow row;
    row.lift = &lift;
    for (const PlanWall& wall : plan.walls)
      if (wall.name == lift.wall)
        for (std::size_t i : lift.hanging) {
          if (i >= wall.pieces.size()) continue;
          const auto found = edges.find(wall.pieces[i].id);
          if (found == edges.end()) continue;
          row.prime_inches += found->second->prime_inches;
          row.sealant_inches += found->second->sealant_inches;
        }
    rows.push_back(row);
  }
  return rows;
}

std::string keep_words(const Rules& rules, const Offcut& offcut) {
  return detail::format(
      "Keep {} x {}, {} from the left end{}.", length_number(rules, offcut.size.x),
      length_words(rules, offcut.size.y), length_words(rules, offcut.at.x),
      offcut.at.y > tolerance ? ", " + length_words(rules, offcut.at.y) + " up" : std::string());
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
