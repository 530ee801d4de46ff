
#include <string>

#include <lapwright/detail/text.hpp>
#include <lapwright/sheets.hpp>

#include "sheets_words.hpp"

namespace lapwright {
inline namespace v0 {

std::string summary_text(const Job& job, const Plan& plan) {
  std::size_t pieces = 0, joints = 0;
  for (const PlanWall& wall : plan.walls) pieces += wall.pieces.size(), joints += wall.joints.size();
  std::string s =
      detail::format("{}: {} {}, {} pieces, {} joints\n", plan.job.empty() ? "House" : plan.job,
                     plan.walls.size(), plan.walls.size() == 1 ? "wall" : "walls", pieces, joints);
  s += "Order  ";
  for (std::size_t i = 0; i < plan.order.boards.size(); ++i)
    s += detail::format("{}{} boards of {}", i ? ", " : "", plan.order.boards[i].count,
                        detail::feet_words(job, plan.order.boards[i].length));
  if (plan.order.boards.empty()) s += "no boards";
  if (plan.order.allowance_boards > 0)
    s += detail::format(", and {} more for breakage", plan.order.allowance_boards);
  const double over = plan.order.cost - plan.order.proven_minimum;
  s += detail::format("\nCost   {:.4g}; proven minimum {:.4g}: {}\n", plan.order.cost,
                      plan.order.proven_minimum,
                      over < 0.005 ? "no plan under these rules costs less"
                                   : detail::format("at most {:.3g} could be saved", over));
  s += detail::format("Pole   {} lines, {} gauge {}", plan.pole.lines.size(), plan.pole.settings,
                      plan.pole.settings == 1 ? "setting" : "settings");
  if (!plan.pole.exposures.empty()) {
    double low = plan.pole.exposures.front(), high = low;
    for (double e : plan.pole.exposures) low = e < low ? e : low, high = e > high ? e : high;
    s += low < high ? detail::format(", exposures {} to {}", detail::length_words(job, low),
                                     detail::length_words(job, high))
                    : detail::format(", exposure {}", detail::length_words(job, low));
  }
  s += detail::format("\nNails  {} in studs, {} in plates and blocking, {} in sheathing; {} show\n",
                      plan.order.nails.stud, plan.order.nails.member, plan.order.nails.sheathing,
                      plan.order.nails.face);
  s += detail::format("Seal   {} cartridges; prime {:.0f} ft of cut edge\n", plan.order.cartridges,
                      plan.order.prime_inches / 12);
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

std::string cut_sheet_text(const Job& job, const Plan& plan) {
  std::string s;
  for (const PlanWall& wall : plan.walls) {
    s += detail::format("WALL {}\n", wall.name);
    for (const Piece& piece : wall.pieces) {
      s += detail::format("\n{}  {}{}\n   left {}; right {}\n", piece.id, piece.callout,
                          piece.filler ? "  filler" : "", detail::end_words(piece.left),
                          detail::end_words(piece.right));
      int n = 0;
      for (const Cut& cut : piece.cuts)
        s += detail::format("   {}. {}\n      back up: {}\n", ++n,
                            cut.print.empty() ? cut.callout : cut.print, cut.back_callout);
      if (piece.cuts.empty()) s += "   no cut\n";
    }
    if (!wall.starters.empty()) s += "\n";
    for (const Starter& starter : wall.starters)
      s += detail::format("{}  starter {} wide, {}, from {} to {}\n", starter.id,
                          detail::length_words(job, starter.width), detail::place_words(starter.where),
                          detail::length_words(job, starter.from.x), detail::length_words(job, starter.to.x));
    s += "\n";
  }
  return s;
}

std::string board_sheet_text(const Job& job, const Plan& plan) {
  std::string s;
  for (const Board& board : plan.boards) {
    s += detail::format("BOARD {}  {}{}\n", board.id, detail::feet_words(job, board.length),
                        board.on_hand >= 0 ? ", on hand" : "");
    int n = 0;
    for (const Placement& p : board.cut)
      s += detail::format("   {}. {}\n", ++n, detail::placement_words(job, plan, p));
    for (const Offcut& o : board.offcuts)
      s += detail::format("   keep {} x {}, from {}\n", detail::length_words(job, o.size.x),
                          detail::length_words(job, o.size.y), detail::length_words(job, o.at.x));
  }
  return s;
}

}  // namespace v0
}  // namespace lapwright
