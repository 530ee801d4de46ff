
#include <string>
#include <string_view>

#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/sheets.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::escaped;

// Letter and A4 both hold 7.5 in x 10 in inside these margins.
constexpr std::string_view style =
    "@page{margin:0.5in}body{font-family:sans-serif;font-size:10pt;line-height:1.35;max-width:7.5in;margin:0."
    "5in auto}"
    "@media print{body{margin:0}}h1{font-size:20pt;margin:0}h2{font-size:14pt;border-bottom:2px solid "
    "black;margin:1em 0 .4em}"
    "section{break-before:page}.card,.board{break-inside:avoid;border-bottom:1px solid black;padding:2pt 0}"
    "table{border-collapse:collapse;width:100%}td,th{border:1px solid black;padding:1pt "
    "4pt;text-align:left;vertical-align:top}"
    "tr{break-inside:avoid}pre{font-size:9pt;white-space:pre-wrap}svg{max-width:100%;height:auto;display:"
    "block}.page{break-before:page}"
    ".page svg{width:7.5in;max-height:9.9in}";

void open_section(std::string& s, std::string_view id, std::string_view title) {
  s += detail::format("<section id=\"{}\"><h2>{}</h2>\n", id, escaped(title));
}

}  // namespace

std::string index_page(const Job& job, const Plan& plan) {
  const std::string name = plan.job.empty() ? "House" : plan.job;
  std::string s = detail::format(
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{0}: siding "
      "plan</title>\n<style>{1}</style></head>\n<body>\n<h1>{0}</h1>\n",
      escaped(name), style);
  s += "<pre>" + escaped(summary_text(job, plan)) + "</pre>\n<p>";
  for (auto [id, title] : {std::pair<const char*, const char*>{"order", "Order"},
                           {"pole", "Story pole"},
                           {"walls", "Walls"},
                           {"cards", "Cut cards"},
                           {"boards", "Boards"},
                           {"templates", "Rake templates"},
                           {"staging", "Staging"},
                           {"findings", "Findings"},
                           {"cautions", "Cautions"}})
    s += detail::format("<a href=\"#{}\">{}</a> ", id, title);
  s += "</p>\n<h2 "
       "id=\"order\">Order</h2>\n<table><tr><th>what</th><th>amount</th><th>unit</th><th>note</th></tr>\n";
  for (const detail::OrderRow& row : detail::order_rows(job, plan))
    s += detail::format("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n", escaped(row.what),
                        escaped(row.amount), escaped(row.unit), escaped(row.note));
  s += "</table>\n";

  open_section(s, "pole", "Story pole");
  s += draw_pole(job, plan) + "</section>\n";
  if (!plan.pole.exposures.empty()) s += draw_lap(job.rules, plan.pole.exposures.front());

  open_section(s, "walls", "Walls");
  for (std::size_t w = 0; w < plan.walls.size() && w < job.walls.size(); ++w)
    s += detail::format("<div class=\"{}\">{}</div>\n", w == 0 ? "wall" : "wall page",
                        draw_elevation(job, plan, w));
  s += "</section>\n";

  open_section(s, "cards", "Cut cards, in hanging order");
  for (std::size_t w = 0; w < plan.walls.size(); ++w)
    for (std::size_t i = 0; i < plan.walls[w].pieces.size(); ++i)
      s += "<div class=\"card\">" + draw_piece(job, plan, w, i) + "</div>\n";
  s += "</section>\n";

  open_section(s, "boards", "Boards, in cutting order");
  for (std::size_t b = 0; b < plan.boards.size(); ++b)
    s += "<div class=\"board\">" + draw_board(job, plan, b) + "</div>\n";
  s += "</section>\n";

  open_section(s, "templates", "Rake templates");
  s += "<table><tr><th>wall</th><th>hand</th><th>slope</th><th>degrees</th><th>long to short "
       "point</th><th>step a course</th><th>square</th><th>uses</th></tr>\n";
  for (const PlanWall& wall : plan.walls)
    for (const RakeTemplate& t : wall.templates)
      s += detail::format(
          "<tr><td>{}</td><td>{}</td><td>{} in 12</td><td>{:.1f}</td><td>{}</td><td>{}</td><td>{} and "
          "{}</td><td>{}</td></tr>\n",
          escaped(wall.name), t.hand == Hand::left ? "left" : "right",
          detail::length_words(job, t.rise * 12 / t.run), t.angle, detail::length_words(job, t.offset),
          detail::length_words(job, t.step), detail::length_words(job, t.square.x),
          detail::length_words(job, t.square.y), t.uses);
  s += "</table>\n<p>Those used four times or more are drawn full size on pages of their own, beside this "
       "one.</p></section>\n";

  open_section(s, "staging", "Staging");
  s += "<table><tr><th>wall</th><th>lift</th><th>courses</th><th>pieces</th><th>weight, lb</th></tr>\n";
  for (const Lift& lift : plan.staging)
    s += detail::format("<tr><td>{}</td><td>{}</td><td>{} to {}</td><td>{}</td><td>{:.0f}</td></tr>\n",
                        escaped(lift.wall), lift.lift, lift.first_course, lift.last_course, lift.pieces,
                        lift.weight_lb);
  s += "</table></section>\n";

  open_section(s, "findings", "Findings");
  s += "<table><tr><th>kind</th><th>where</th><th>what</th></tr>\n";
  for (const Finding& finding : plan.findings)
    s += detail::format("<tr><td>{}{}</td><td>{}</td><td>{}</td></tr>\n", escaped(finding.code),
                        finding.severity == Severity::note ? " (note)" : "",
                        escaped(detail::where_words(finding)), escaped(finding.message));
  s += "</table></section>\n";

  open_section(s, "cautions", "Cautions");
  s += "<ul>\n";
  for (const std::string& caution : plan.cautions) s += "<li>" + escaped(caution) + "</li>\n";
  return s + "</ul></section>\n</body></html>\n";
}

}  // namespace v0
}  // namespace lapwright
