
#include <initializer_list>
#include <string>

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

}  // namespace

std::string cut_sheet_csv(const Job&, const Plan& plan) {
  std::string s = record({"wall", "course", "piece", "length", "left end", "right end", "cut", "kind", "tool",
                          "seal", "face up", "back up"});
  for (const PlanWall& wall : plan.walls)
    for (const Piece& piece : wall.pieces) {
      const std::string course = std::to_string(piece.course), left = detail::end_words(piece.left),
                        right = detail::end_words(piece.right);
      int n = 0;
      for (const Cut& cut : piece.cuts)
        s += record({wall.name, course, piece.id, piece.callout, left, right, std::to_string(++n),
                     detail::kind_words(cut.kind), detail::tool_words(cut.tool), cut.seal ? "yes" : "no",
                     cut.callout, cut.back_callout});
      if (piece.cuts.empty())
        s += record({wall.name, course, piece.id, piece.callout, left, right, "", "", "", "", "", ""});
    }
  return s;
}

std::string board_sheet_csv(const Job& job, const Plan& plan) {
  std::string s =
      record({"board", "length", "on hand", "sequence", "item", "from", "turned", "width", "height"});
  for (const Board& board : plan.boards) {
    int n = 0;
    const std::string id = std::to_string(board.id), length = detail::length_words(job, board.length),
                      on_hand = board.on_hand >= 0 ? "yes" : "no";
    for (const Placement& p : board.cut)
      s += record({id, length, on_hand, std::to_string(++n), p.piece.empty() ? p.starter : p.piece,
                   detail::length_words(job, p.at.x), p.turned ? "yes" : "no",
                   p.piece.empty() ? detail::length_words(job, p.size.x) : "",
                   p.piece.empty() ? detail::length_words(job, p.size.y) : ""});
    for (const Offcut& o : board.offcuts)
      s += record({id, length, on_hand, "", "offcut to keep", detail::length_words(job, o.at.x), "",
                   detail::length_words(job, o.size.x), detail::length_words(job, o.size.y)});
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
  std::string s = record({"line", "height", "exposure", "nailed"});
  for (std::size_t k = 0; k < plan.pole.lines.size(); ++k)
    s += record({std::to_string(k), detail::feet_words(job, plan.pole.lines[k]),
                 k < plan.pole.exposures.size() ? detail::length_words(job, plan.pole.exposures[k]) : "",
                 static_cast<int>(k) < plan.pole.built ? "yes" : "no"});
  return s;
}

std::string nails_csv(const Job& job, const Plan& plan) {
  std::string s = record({"wall", "piece", "x", "y", "into", "face", "penetration"});
  for (const PlanWall& wall : plan.walls)
    for (std::size_t i = 0; i < wall.pieces.size() && i < wall.nails.size(); ++i)
      for (const Nail& nail : wall.nails[i])
        s += record({wall.name, wall.pieces[i].id, detail::length_words(job, nail.at.x),
                     detail::length_words(job, nail.at.y),
                     nail.into == NailBase::stud     ? "stud"
                     : nail.into == NailBase::member ? "member"
                                                     : "sheathing",
                     nail.face ? "yes" : "no", detail::format("{:.2f}", nail.penetration)});
  return s;
}

}  // namespace v0
}  // namespace lapwright
