#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <string>

#include <lapwright/drawing.hpp>
#include <lapwright/length.hpp>
#include <lapwright/sheets.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

std::string length_of(const Job& job, double inches) {
  return format_length(inches, job.rules.courses.division);
}

// A CSV field after RFC 4180.
std::string field(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

const char* name_of(CutKind kind) {
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
const char* name_of(Tool tool) {
  return tool == Tool::shears ? "shears" : "saw";
}

}  // namespace

std::string summary_text(const Job& job, const Plan& plan) {
  std::size_t pieces = 0;
  for (const PlanWall& wall : plan.walls) pieces += wall.pieces.size();
  std::string s = fmt::format("{}: {} walls, {} pieces\n", plan.job.empty() ? "House" : plan.job,
                              plan.walls.size(), pieces);
  s += "Order:";
  for (const OrderLine& line : plan.order.boards)
    s += fmt::format(" {} boards of {}", line.count,
                     format_length(line.length, job.rules.courses.division, LengthStyle::feet_inches));
  if (plan.order.allowance_boards > 0) s += fmt::format(", and {} for breakage", plan.order.allowance_boards);
  s += fmt::format("\nCost {:.2f}, proven minimum {:.2f}\n", plan.order.cost, plan.order.proven_minimum);
  s += fmt::format("Pole: {} lines, {} gauge settings\n", plan.pole.lines.size(), plan.pole.settings);
  std::map<std::string, int> codes;
  for (const Finding& finding : plan.findings)
    if (finding.severity == Severity::warning) ++codes[finding.code];
  s += codes.empty() ? "No warnings\n" : "Warnings:";
  for (const auto& [code, count] : codes) s += fmt::format(" {} x {}", count, code);
  if (!codes.empty()) s += "\n";
  return s;
}

std::string cut_sheet_text(const Job& job, const Plan& plan) {
  std::string s;
  for (const PlanWall& wall : plan.walls) {
    s += fmt::format("WALL {}\n", wall.name);
    for (const Piece& piece : wall.pieces) {
      s += fmt::format("{}  {}{}\n", piece.id, piece.callout, piece.filler ? "  filler" : "");
      int n = 0;
      for (const Cut& cut : piece.cuts)
        s += fmt::format("   {}. {} ({}{})\n      from the back: {}\n", ++n,
                         cut.print.empty() ? cut.callout : cut.print, name_of(cut.tool),
                         cut.seal ? ", seal" : "", cut.back_callout);
    }
    for (const Starter& starter : wall.starters)
      s += fmt::format("{}  starter {} wide\n", starter.id, length_of(job, starter.width));
  }
  return s;
}

std::string cut_sheet_csv(const Job& job, const Plan& plan) {
  static_cast<void>(job);
  std::string s = "wall,course,piece,length,cut,kind,tool,seal,face up,back up\r\n";
  for (const PlanWall& wall : plan.walls)
    for (const Piece& piece : wall.pieces) {
      int n = 0;
      for (const Cut& cut : piece.cuts)
        s += fmt::format("{},{},{},{},{},{},{},{},{},{}\r\n", field(wall.name), piece.course, field(piece.id),
                         field(piece.callout), ++n, name_of(cut.kind), name_of(cut.tool),
                         cut.seal ? "yes" : "no", field(cut.callout), field(cut.back_callout));
      if (piece.cuts.empty())
        s += fmt::format("{},{},{},{},,,,,,\r\n", field(wall.name), piece.course, field(piece.id),
                         field(piece.callout));
    }
  return s;
}

std::string board_sheet_text(const Job& job, const Plan& plan) {
  std::string s;
  for (const Board& board : plan.boards) {
    s += fmt::format("BOARD {}  {}\n", board.id, length_of(job, board.length));
    for (const Placement& p : board.cut)
      s += fmt::format("   {} at {}{}\n", p.piece.empty() ? p.starter : p.piece, length_of(job, p.at.x),
                       p.turned ? ", turned" : "");
    for (const Offcut& o : board.offcuts)
      s += fmt::format("   keep {} x {}\n", length_of(job, o.size.x), length_of(job, o.size.y));
  }
  return s;
}

std::string board_sheet_csv(const Job& job, const Plan& plan) {
  std::string s = "board,board length,item,at,turned\r\n";
  for (const Board& board : plan.boards)
    for (const Placement& p : board.cut)
      s += fmt::format("{},{},{},{},{}\r\n", board.id, field(length_of(job, board.length)),
                       field(p.piece.empty() ? p.starter : p.piece), field(length_of(job, p.at.x)),
                       p.turned ? "yes" : "no");
  return s;
}

std::string index_page(const Job& job, const Plan& plan) {
  using detail::escaped;
  std::string s = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{0}</title>\n"
      "<style>body{{font-family:sans-serif;margin:2em}}pre{{white-space:pre-wrap}}section{{break-before:page}"
      "}"
      "svg{{max-width:100%;height:auto}}</style></head><body>\n<h1>{0}</h1>\n<pre>{1}</pre>\n",
      escaped(plan.job), escaped(summary_text(job, plan)));
  s += "<h2>Cautions</h2>\n<ul>\n";
  for (const std::string& caution : plan.cautions) s += "<li>" + escaped(caution) + "</li>\n";
  s += "</ul>\n<h2>Findings</h2>\n<ul>\n";
  for (const Finding& finding : plan.findings)
    s += fmt::format("<li>{} {}: {}</li>\n", escaped(finding.wall), escaped(finding.piece),
                     escaped(finding.message));
  s += "</ul>\n";
  for (std::size_t w = 0; w < plan.walls.size(); ++w)
    s += fmt::format("<section><h2>Wall {}</h2>\n{}</section>\n", escaped(plan.walls[w].name),
                     draw_elevation(job, plan, w));
  s += "<section><h2>Cut sheet</h2>\n<pre>" + escaped(cut_sheet_text(job, plan)) + "</pre></section>\n";
  s += "<section><h2>Boards</h2>\n<pre>" + escaped(board_sheet_text(job, plan)) + "</pre></section>\n";
  return s + "</body></html>\n";
}

}  // namespace v0
}  // namespace lapwright
