
#include <cmath>
#include <string>
#include <vector>

#include <lapwright/detail/text.hpp>
#include <lapwright/sheets.hpp>

#include "sheets_words.hpp"

namespace lapwright {
inline namespace v0 {

std::string summary_text(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  std::size_t pieces = 0, joints = 0;
  for (const PlanWall& wall : plan.walls) pieces += wall.pieces.size(), joints += wall.joints.size();
  std::string s =
      detail::format("{}: {} {}, {} pieces, {} joints\n", plan.job.empty() ? "House" : plan.job,
                     plan.walls.size(), plan.walls.size() == 1 ? "wall" : "walls", pieces, joints);
  s += "Order   ";
  int bought = 0;
  for (std::size_t i = 0; i < plan.order.boards.size(); ++i) {
    const OrderLine& line = plan.order.boards[i];
    s += detail::format("{}{} {} of {}", i ? ", " : "", line.count, line.count == 1 ? "board" : "boards",
                        detail::feet_words(rules, line.length));
    bought += line.count;
  }
  if (plan.order.boards.empty()) s += "no boards";
  if (plan.order.allowance_boards > 0)
    s += detail::format(", and {} more for breakage", plan.order.allowance_boards);
  // In boards where all cost alike, else in the unit of the prices.
  const double over = plan.order.cost - plan.order.proven_minimum;
  const bool alike = plan.order.boards.size() == 1 && bought > 0;
  const double price = alike ? plan.order.cost / bought : 1;
  s += "\nProof   ";
  if (over < 0.005)
    s += "no choice of joints and boards under these rules takes less";
  else if (alike && price > 0)
    s += detail::format("these rules need {:.4g} boards at least; the order is {:.3g} above that",
                        plan.order.proven_minimum / price, over / price);
  else
    s += detail::format("cost {:.4g}; these rules cost {:.4g} at least, {:.3g} less", plan.order.cost,
                        plan.order.proven_minimum, over);
  s += detail::format("\nPole    {} lines, {} gauge {}", plan.pole.lines.size(), plan.pole.settings,
                      plan.pole.settings == 1 ? "setting" : "settings");
  std::size_t told = 0;
  for (std::size_t k = 0; k < plan.pole.exposures.size(); ++k) {
    if (k > 0 && std::fabs(plan.pole.exposures[k] - plan.pole.exposures[k - 1]) <= tolerance) continue;
    if (++told == 5) {
      s += ", ...";
      break;
    }
    s += detail::format("{} {} from course {}", told == 1 ? ":" : ",",
                        detail::length_number(rules, plan.pole.exposures[k]), k);
  }
  const detail::Orders orders = detail::reconcile(plan);
  s += detail::format("\nCutting boards in order; at most {} cut pieces wait on the stack{}\n", orders.most,
                      orders.most > 0 ? detail::format(", after board {}", plan.boards[orders.most_after].id)
                                      : std::string());
  s += detail::format(
      "Nails   {} in studs, {} in plates and blocking, {} in sheathing; {} show{}\n", plan.order.nails.stud,
      plan.order.nails.member, plan.order.nails.sheathing, plan.order.nails.face,
      plan.nail_order.boxes > 0
          ? detail::format("; {} {}", plan.nail_order.boxes, plan.nail_order.boxes == 1 ? "box" : "boxes")
          : std::string());
  s += detail::format("Seal    {} cartridges; prime {} {} of cut edge\n", plan.order.cartridges,
                      detail::run_number(rules, plan.order.prime_inches), detail::run_unit(rules));
  const std::vector<detail::FindingCount> counts = detail::count_findings(plan.findings);
  int warnings = 0, notes = 0;
  for (const detail::FindingCount& c : counts)
    (c.severity == Severity::warning ? warnings : notes) += c.count;
  s += detail::format("{} {}, {} {}\n", warnings, warnings == 1 ? "warning" : "warnings", notes,
                      notes == 1 ? "note" : "notes");
  int shown = 0;
  for (const detail::FindingCount& c : counts) {
    if (shown == 10) {
      s += detail::format("  and {} kinds more: see the findings\n", counts.size() - 10);
      break;
    }
    ++shown;
    s += detail::format("  {:3} {}{}\n", c.count, c.code, c.severity == Severity::note ? " (note)" : "");
  }
  if (!counts.empty())
    s += detail::format("Look first at {}: {}\n", detail::where_words(*counts.front().first),
                        counts.front().first->message);
  return s;
}

namespace {

// A sheet may lie at the station without the others.
std::string cautions_text(const Plan& plan) {
  std::string s = plan.cautions.empty() ? "" : "CAUTIONS\n";
  for (const std::string& caution : plan.cautions) s += "   " + caution + "\n";
  return s;
}

}  // namespace

std::string cut_sheet_text(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  const detail::Orders orders = detail::reconcile(plan);
  std::string s;
  std::size_t at = 0;
  for (const PlanWall& wall : plan.walls) {
    s += detail::format("WALL {}\n", wall.name);
    for (const Piece& piece : wall.pieces) {
      s += detail::format("\n{}  {}{}\n   left end: {}; right end: {}\n", piece.id,
                          detail::cut_length(rules, piece), piece.filler ? ", filler" : "",
                          detail::end_words(piece.left), detail::end_words(piece.right));
      const detail::Origin& origin = orders.pieces[at++];
      if (origin.board < plan.boards.size()) {
        s += detail::format("   from board {}, number {}", plan.boards[origin.board].id, origin.place + 1);
        if (origin.ready > origin.board)
          s += detail::format("; goes up after board {}", plan.boards[origin.ready].id);
        s += "\n";
      }
      int n = 0;
      for (const Cut& cut : piece.cuts)
        s += detail::format("   {}. {}\n      back up: {}\n", ++n,
                            cut.print.empty() ? cut.callout : cut.print, cut.back_callout);
      if (piece.cuts.empty()) s += "   no cut: a whole board\n";
    }
    if (!wall.starters.empty()) s += "\n";
    for (const Starter& starter : wall.starters)
      s += detail::format("{}  starter {} wide, {}, from {} to {}\n", starter.id,
                          detail::length_words(rules, starter.width), detail::place_words(starter.where),
                          detail::length_number(rules, starter.from.x),
                          detail::length_words(rules, starter.to.x));
    s += "\n";
  }
  return s + cautions_text(plan);
}

std::string board_sheet_text(const Job& job, const Plan& plan) {
  const detail::Orders orders = detail::reconcile(plan);
  std::string s;
  for (std::size_t b = 0; b < plan.boards.size(); ++b) {
    const Board& board = plan.boards[b];
    s += detail::format("BOARD {}  {}{}\n", board.id, detail::feet_words(job.rules, board.length),
                        board.on_hand >= 0 ? ", an offcut on hand" : "");
    int n = 0;
    for (const Placement& p : board.cut)
      s += detail::format("   {}. {}\n", ++n, detail::placement_words(job, plan, orders, b, p));
    for (const Offcut& o : board.offcuts) s += "   " + detail::keep_words(job.rules, o) + "\n";
    const std::string hung = detail::hung_words(plan, orders, b);
    if (!hung.empty()) s += "   now hang " + hung + "\n";
    if (orders.waiting[b] > 0) s += detail::format("   {} on the stack\n", orders.waiting[b]);
  }
  return s + cautions_text(plan);
}

}  // namespace v0
}  // namespace lapwright
