
#include <initializer_list>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include <lapwright/detail/text.hpp>
#include <lapwright/sheets.hpp>

#include "sheets_words.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

// One record after RFC 4180.
std::string record(std::initializer_list<std::string_view> fields) {
  std::string out;
  bool first = true;
  for (std::string_view field : fields) {
    if (!first) out += ',';
    first = false;
    if (field.find_first_of(",\"\r\n") == std::string_view::npos) {
      out += field;
      continue;
    }
    out += '"';
    for (char c : field) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    out += '"';
  }
  return out + "\r\n";
}

std::string with_unit(const Rules& rules, std::string_view head) {
  return detail::format("{} ({})", head, detail::unit_words(rules));
}
std::string_view yes(bool value) {
  return value ? "yes" : "no";
}

}  // namespace

std::string cut_sheet_csv(const Job&, const Plan& plan) {
  std::string s = record({"wall", "course", "piece", "cut", "kind", "tool", "seal", "face up", "back up"});
  for (const PlanWall& wall : plan.walls)
    for (const Piece& piece : wall.pieces) {
      int n = 0;
      for (const Cut& cut : piece.cuts)
        s += record({wall.name, std::to_string(piece.course), piece.id, std::to_string(++n),
                     detail::kind_words(cut.kind), detail::tool_words(cut.tool), yes(cut.seal), cut.callout,
                     cut.back_callout});
    }
  return s;
}

std::string pieces_csv(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  const detail::Orders orders = detail::reconcile(plan);
  std::map<std::string_view, const EdgeWork*> edges;
  for (const EdgeWork& work : plan.edge_work) edges.emplace(work.piece, &work);
  std::string s =
      record({"wall", "course", "piece", "filler", with_unit(rules, "length"), "callout",
              with_unit(rules, "left end at"), "left end", "right end", "cuts", "board", "place on board",
              "goes up after board", with_unit(rules, "prime"), with_unit(rules, "sealant")});
  for (const detail::Origin& origin : orders.pieces) {
    const PlanWall& wall = plan.walls[origin.wall];
    const Piece& piece = wall.pieces[origin.piece];
    const auto found = edges.find(piece.id);
    const bool has_board = origin.board < plan.boards.size();
    s += record({wall.name, std::to_string(piece.course), piece.id, yes(piece.filler),
                 detail::length_decimal(rules, piece.length), piece.callout,
                 detail::length_decimal(rules, piece.x_min), detail::end_words(piece.left),
                 detail::end_words(piece.right), std::to_string(piece.cuts.size()),
                 has_board ? std::to_string(plan.boards[origin.board].id) : "",
                 has_board ? std::to_string(origin.place + 1) : "",
                 has_board ? std::to_string(plan.boards[origin.ready].id) : "",
                 detail::length_decimal(rules, found == edges.end() ? 0 : found->second->prime_inches),
                 detail::length_decimal(rules, found == edges.end() ? 0 : found->second->sealant_inches)});
  }
  return s;
}

std::string board_sheet_csv(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  const detail::Orders orders = detail::reconcile(plan);
  std::string s = record({"board", with_unit(rules, "board length"), "on hand", "sequence", "what", "name",
                          with_unit(rules, "from left end"), with_unit(rules, "from lower edge"), "turned",
                          with_unit(rules, "length"), with_unit(rules, "height"), "on the stack"});
  for (std::size_t b = 0; b < plan.boards.size(); ++b) {
    const Board& board = plan.boards[b];
    int n = 0;
    const std::string id = std::to_string(board.id), length = detail::length_decimal(rules, board.length);
    const auto row = [&](std::string_view what, std::string_view name, Point at, bool turned, Point size,
                         const std::string& waits) {
      s += record({id, length, yes(board.on_hand >= 0), std::to_string(++n), what, name,
                   detail::length_decimal(rules, at.x), detail::length_decimal(rules, at.y), yes(turned),
                   detail::length_decimal(rules, size.x), detail::length_decimal(rules, size.y), waits});
    };
    for (const Placement& p : board.cut) {
      const auto found = orders.find.find(p.piece);
      if (found == orders.find.end()) {
        row("starter", p.starter, p.at, p.turned, p.size, "");
        continue;
      }
      const detail::Origin& origin = orders.pieces[found->second];
      const Piece& piece = plan.walls[origin.wall].pieces[origin.piece];
      row("piece", p.piece, p.at, p.turned, {piece.length, rules.board.width},
          detail::wait_words(plan, orders, b, p));
    }
    for (const Offcut& o : board.offcuts) row("offcut to keep", "", o.at, false, o.size, "");
  }
  return s;
}

std::string order_csv(const Job& job, const Plan& plan) {
  std::string s = record({"what", "amount", "unit", "note"});
  for (const detail::OrderRow& row : detail::order_rows(job, plan))
    s += record({row.what, row.amount, row.unit, row.note});
  return s;
}

std::string pole_csv(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  std::string s =
      record({"course", with_unit(rules, "height"), "on the tape", with_unit(rules, "exposure"), "nailed"});
  for (std::size_t k = 0; k < plan.pole.lines.size(); ++k)
    s += record({std::to_string(k), detail::length_decimal(rules, plan.pole.lines[k]),
                 detail::feet_words(rules, plan.pole.lines[k]),
                 k < plan.pole.exposures.size() ? detail::length_decimal(rules, plan.pole.exposures[k]) : "",
                 yes(static_cast<int>(k) < plan.pole.built)});
  return s;
}

std::string nails_csv(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  std::string s = record({"wall", "piece", with_unit(rules, "x"), with_unit(rules, "y"), "into", "face",
                          with_unit(rules, "penetration")});
  for (const PlanWall& wall : plan.walls)
    for (std::size_t i = 0; i < wall.pieces.size() && i < wall.nails.size(); ++i)
      for (const Nail& nail : wall.nails[i])
        s += record({wall.name, wall.pieces[i].id, detail::length_decimal(rules, nail.at.x),
                     detail::length_decimal(rules, nail.at.y),
                     nail.into == NailBase::stud     ? "stud"
                     : nail.into == NailBase::member ? "member"
                                                     : "sheathing",
                     yes(nail.face), detail::length_decimal(rules, nail.penetration)});
  return s;
}

std::string staging_csv(const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  std::string s =
      record({"wall", "lift", "first course", "last course", "pieces", "weight (lb)",
              "capacity of a bay (lb)", "bays", with_unit(rules, "prime"), with_unit(rules, "sealant")});
  for (const detail::LiftRow& row : detail::lift_rows(plan)) {
    const Lift& lift = *row.lift;
    s += record({lift.wall, std::to_string(lift.lift), std::to_string(lift.first_course),
                 std::to_string(lift.last_course), std::to_string(lift.pieces),
                 detail::format("{:.1f}", lift.weight_lb),
                 lift.bays > 0 ? detail::format("{:.0f}", lift.capacity_lb) : "",
                 lift.bays > 0 ? std::to_string(lift.bays) : "",
                 detail::length_decimal(rules, row.prime_inches),
                 detail::length_decimal(rules, row.sealant_inches)});
  }
  return s;
}

std::string findings_csv(const Job&, const Plan& plan) {
  std::string s = record({"severity", "kind", "wall", "course", "piece", "measured", "limit", "message"});
  const auto number = [](const std::optional<double>& value) {
    return value ? detail::format("{:.6g}", *value) : std::string();
  };
  for (const Finding& f : plan.findings)
    s += record({f.severity == Severity::warning ? "warning" : "note", f.code, f.wall,
                 f.course ? std::to_string(*f.course) : "", f.piece, number(f.measured), number(f.limit),
                 f.message});
  return s;
}

}  // namespace v0
}  // namespace lapwright
