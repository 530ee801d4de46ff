
#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/sheets.hpp>

#include "sheets_words.hpp"
#include "svg.hpp"

namespace lapwright {
inline namespace v0 {
namespace {

using detail::escaped;

// Letter and A4 both hold 7.25 in x 9.9 in inside half-inch margins, and 10 in x 7.2 in turned. A page of
// class "sheet" holds one drawing; "wide" is printed on turned paper; a tile keeps its size whatever the
// paper.
constexpr std::string_view style =
    "@page{margin:0.5in}@page wide{size:landscape;margin:0.5in}"
    "body{font-family:sans-serif;font-size:10pt;line-height:1.35;max-width:7.5in;margin:0.5in auto}"
    "h1{font-size:20pt;margin:0}h2{font-size:14pt;border-bottom:2px solid black;margin:0 0 .5em}"
    "h3{font-size:11pt;margin:1em 0 .3em}"
    "section,.sheet{break-before:page}#cautions{break-before:auto;break-inside:avoid;margin-top:2em}section>."
    "sheet:first-of-type{break-before:auto}"
    ".card,.board{break-inside:avoid;border-bottom:1px solid black;padding:2pt 0}"
    "table{border-collapse:collapse;width:100%}td,th{border:1px solid black;padding:1pt 4pt;text-align:left;"
    "vertical-align:top}tr{break-inside:avoid}thead{display:table-header-group}"
    "#staging "
    "td:last-child{white-space:nowrap}pre{font-size:9pt;white-space:pre-wrap}svg{max-width:100%;height:auto;"
    "display:block}"
    ".tile svg{max-width:none}.wide svg{max-width:none}.wide{page:wide}"
    "@media print{body{margin:0;max-width:none}nav,.screen{display:none}}";

void open_section(std::string& s, std::string_view id, std::string_view title, bool on_paper = true) {
  s += detail::format("<section id=\"{}\"><h2{}>{}</h2>\n", id, on_paper ? "" : " class=\"screen\"",
                      escaped(title));
}

void row(std::string& s, std::string_view tag, std::initializer_list<std::string_view> cells) {
  s += "<tr>";
  for (std::string_view cell : cells)
    s += detail::format("<{0}{2}>{1}</{0}>", tag, escaped(cell), tag == "th" ? " scope=\"col\"" : "");
  s += "</tr>\n";
}

void head(std::string& s, std::initializer_list<std::string_view> cells) {
  s += "<table><thead>\n";
  row(s, "th", cells);
  s += "</thead><tbody>\n";
}

constexpr std::string_view table_end = "</tbody></table>\n";

// The size that a drawing says it has: wider than high goes on turned paper.
bool is_wide(const std::string& svg) {
  const auto inches = [&](std::string_view name) {
    const std::size_t at = svg.find(name);
    return at == std::string::npos ? 0.0 : std::stod(svg.substr(at + name.size(), 12));
  };
  return inches(" width=\"") > inches(" height=\"");
}

void write_boards(std::string& s, const Job& job, const Plan& plan, const detail::Orders& orders) {
  open_section(s, "boards", "Boards, in cutting order");
  s += "<p>White: cut, in the order of the numbers. Hatched: keep. Dotted: waste. Places run from the "
       "board's left "
       "end, face up, to the left end of what is cut. A piece that says nothing of the stack goes up once "
       "its board "
       "is cut.</p>\n";
  for (std::size_t b = 0; b < plan.boards.size(); ++b)
    s += "<div class=\"board\">" + detail::draw_board(job, plan, orders, b) + "</div>\n";
  s += "</section>\n";

  open_section(s, "stack", "Cutting and hanging, side by side");
  s += detail::format(
      "<p>The station cuts boards one after the other and never goes back to one. The pieces go up wall by "
      "wall, course by course. What is cut before its turn waits on the stack: at most {} pieces{}.</p>\n",
      orders.most,
      orders.most > 0 ? detail::format(", after board {}", plan.boards[orders.most_after].id)
                      : std::string());
  if (orders.most > 0) {
    std::vector<std::string> ids;
    for (const detail::Origin& origin : orders.pieces)
      if (origin.board <= orders.most_after && origin.ready > orders.most_after)
        ids.push_back(plan.walls[origin.wall].pieces[origin.piece].id);
    s += detail::format("<p>Waiting then: {}.</p>\n", escaped(detail::piece_ranges(ids)));
  }
  head(s, {"cut boards", "then hang", "left on the stack"});
  std::size_t first = 0;
  for (std::size_t b = 0; b < plan.boards.size(); ++b) {
    const std::string hung = detail::hung_words(plan, orders, b);
    if (hung.empty() && b + 1 < plan.boards.size()) continue;
    row(s, "td",
        {first == b ? detail::format("{}", plan.boards[b].id)
                    : detail::format("{} to {}", plan.boards[first].id, plan.boards[b].id),
         hung, std::to_string(orders.waiting[b])});
    first = b + 1;
  }
  s += table_end;
  s += "</section>\n";
}

// One slope of the house, whichever walls and hands it serves.
struct Slope {
  const RakeTemplate* shape = nullptr;  // of the hand first met
  const RakeTemplate* hands[2] = {nullptr, nullptr};
  int uses[2] = {0, 0};
  std::string walls;
  const PlanWall* last = nullptr;
};

std::vector<Slope> slopes_of(const Job& job, const Plan& plan) {
  std::vector<Slope> slopes;
  for (const PlanWall& wall : plan.walls)
    for (const RakeTemplate& t : wall.templates) {
      const auto known = std::find_if(slopes.begin(), slopes.end(), [&](const Slope& s) {
        return std::fabs(t.run / t.rise - s.shape->run / s.shape->rise) * job.rules.board.width <
               same_template;
      });
      Slope& slope = known != slopes.end() ? *known : slopes.emplace_back();
      if (!slope.shape) slope.shape = &t;
      const std::size_t hand = t.hand == Hand::left ? 0 : 1;
      if (!slope.hands[hand]) slope.hands[hand] = &t;
      slope.uses[hand] += t.uses;
      if (slope.last != &wall) slope.walls += (slope.last ? ", " : "") + wall.name;
      slope.last = &wall;
    }
  std::stable_sort(slopes.begin(), slopes.end(), [](const Slope& a, const Slope& b) {
    return a.shape->rise * b.shape->run < b.shape->rise * a.shape->run;
  });
  return slopes;
}

void write_templates(std::string& s, const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  const std::vector<Slope> slopes = slopes_of(job, plan);
  open_section(s, "templates", "Rake templates");
  if (slopes.empty()) {
    s += "<p>No slanted cut that a template would serve.</p></section>\n";
    return;
  }
  head(s, {"slope", "degrees", "long to short point", "step a course", "framing square", "make it from",
           "off, made to 1/16", "left cuts", "right cuts", "walls"});
  Rules sixteenths = rules;  // a framing square is an inch tool
  sixteenths.courses.division = square_mark;
  const auto up = [&](double inches) {
    const double division = rules.courses.division;
    return std::ceil((inches - tolerance) / division) * division;
  };
  bool drawn = false, others = false;
  for (const Slope& slope : slopes) {
    const RakeTemplate& t = *slope.shape;
    for (int uses : slope.uses) {
      drawn = drawn || uses >= uses_worth_a_template;
      others = others || (uses > 0 && uses < uses_worth_a_template);
    }
    row(s, "td",
        {detail::length_number(sixteenths, t.rise * 12 / t.run) + " in 12", detail::format("{:.1f}", t.angle),
         detail::length_words(rules, t.offset), detail::length_words(rules, t.step),
         detail::length_number(sixteenths, t.square.x) + " and " +
             detail::length_words(sixteenths, t.square.y),
         detail::length_number(rules, up(t.stock_length)) + " x " +
             detail::length_words(rules, up(t.stock_width)),
         t.error <= tolerance       ? "0"
         : detail::is_metric(rules) ? detail::format("{:.1f} mm", t.error * 25.4)
                                    : detail::format("{:.2f} in", t.error),
         std::to_string(slope.uses[0]), std::to_string(slope.uses[1]), slope.walls});
  }
  s += table_end;
  s += detail::format(
      "<p>Left hand: the waste falls to the left of the cut, face up. The first number of the framing square "
      "is the "
      "blade's, along the board. {}{}</p>\n",
      drawn ? "Those used four times or more follow full size, in tiles: print at actual size and check the "
              "ruler. "
            : "",
      others ? "Those used less are laid out by their numbers." : "");
  for (const Slope& slope : slopes)
    for (std::size_t hand : {std::size_t{0}, std::size_t{1}})
      if (slope.uses[hand] >= uses_worth_a_template)
        for (const std::string& svg : draw_rake_template(*slope.hands[hand], Paper::either))
          s += "<div class=\"sheet tile\" style=\"break-before:page\">" + svg + "</div>\n";
  s += "</section>\n";
}

void write_staging(std::string& s, const Job& job, const Plan& plan) {
  const Rules& rules = job.rules;
  open_section(s, "staging", "Staging, edges and stations");
  s += detail::format(
      "<p>A lift is {} high and begins at the wall's first line. Pieces count in the lift that their "
      "lower edge is in.</p>\n",
      detail::length_words(rules, rules.staging.lift));
  head(s, {"wall", "lift", "courses", "pieces", "weight, lb", "spread over bays",
           detail::format("prime, {}", detail::run_unit(rules)),
           detail::format("sealant, {}", detail::run_unit(rules))});
  for (const detail::LiftRow& of : detail::lift_rows(plan)) {
    const Lift& lift = *of.lift;
    row(s, "td",
        {lift.wall, std::to_string(lift.lift),
         detail::format("{} to {}", lift.first_course, lift.last_course), std::to_string(lift.pieces),
         detail::format("{:.0f}", lift.weight_lb),
         lift.bays > 0 ? detail::format("{} of {:.0f} lb", lift.bays, lift.capacity_lb)
                       : std::string("no rating given"),
         detail::run_number(rules, of.prime_inches), detail::run_number(rules, of.sealant_inches)});
  }
  s += table_end;
  s += "<h3>Edges</h3>\n<p>Prime every cut edge that shows, before the piece goes up: the beads on its card. "
       "Fill with "
       "sealant the gaps at upright and slanted ends, against corners, rakes, walls and the sides of "
       "openings. Never "
       "fill heads, bases or roof edges, nor joints over their flashing: water must get out there.</p>\n";
  if (!plan.stations.empty()) {
    s += "<h3>Cut stations</h3>\n";
    head(s, {"wall", "stand at, from the left end", "bench for the longest board", "longest piece",
             detail::format("carried in all, {}", detail::run_unit(rules))});
    for (const CutStation& station : plan.stations) {
      double left = 0;
      for (const Wall& wall : job.walls)
        if (wall.name == station.wall && !wall.outline.empty()) {
          left = wall.outline.front().x;
          for (Point p : wall.outline) left = p.x < left ? p.x : left;
        }
      row(s, "td",
          {station.wall, detail::feet_words(rules, station.x - left),
           detail::feet_words(rules, station.bench_inches), detail::feet_words(rules, station.longest_piece),
           detail::run_number(rules, station.carry_inches)});
    }
    s += table_end;
  }
  if (plan.loads) {
    const Loads& loads = *plan.loads;
    s += "<h3>Wind and nails: figures for a licensed professional, no approval</h3>\n";
    if (!loads.zones.empty()) {
      head(s, {"wall", "zone", "outward, psf", "nails", "hardest worked nail, lb", "it holds, lb", "share",
               "in piece"});
      for (const LoadFigures& z : loads.zones)
        row(s, "td",
            {z.wall,
             z.zone == 5
                 ? detail::format("5, within {} of the ends", detail::length_words(rules, z.edge_width))
                 : "4, the middle",
             detail::format("{:.1f}", z.outward_psf), std::to_string(z.nails),
             detail::format("{:.1f}", z.demand_lb), detail::format("{:.1f}", z.capacity_lb),
             z.ratio < 1e6 ? detail::format("{:.2f}", z.ratio) : std::string("holds nothing"), z.piece});
      s += table_end;
    }
    s += "<ul>\n";
    for (const std::string& words : loads.assumptions) s += "<li>" + escaped(words) + "</li>\n";
    s += "</ul>\n";
  }
  s += "</section>\n";
}

}  // namespace

std::string index_page(const Job& job, const Plan& plan) {
  const detail::Orders orders = detail::reconcile(plan);
  const std::string name = plan.job.empty() ? "House" : plan.job;
  std::string s = detail::format(
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{0}: siding "
      "plan</title>\n<style>{1}</style></head>\n<body>\n<h1>{0}</h1>\n",
      escaped(name), style);
  s += "<pre>";
  const std::string summary = summary_text(job, plan);
  for (std::size_t i = 0; i < summary.size();) {
    const std::size_t end = std::min(summary.find('\n', i), summary.size());
    s += escaped(std::string_view(summary).substr(i, end - i)) + "\n";
    i = end + 1;
  }
  s += "</pre>\n<nav>";
  for (auto [id, title] : {std::pair<const char*, const char*>{"order", "Order"},
                           {"pole", "Story pole"},
                           {"walls", "Walls"},
                           {"cards", "Cut cards"},
                           {"boards", "Boards"},
                           {"stack", "Cutting and hanging"},
                           {"templates", "Rake templates"},
                           {"staging", "Staging"},
                           {"findings", "Findings"},
                           {"cautions", "Cautions"}})
    s += detail::format("<a href=\"#{}\">{}</a> ", id, title);
  s += "</nav>\n<h2 id=\"order\">Order</h2>\n";
  head(s, {"what", "amount", "unit", "note"});
  for (const detail::OrderRow& of : detail::order_rows(job, plan))
    row(s, "td", {of.what, of.amount, of.unit, of.note});
  s += table_end;

  open_section(s, "pole", "Story pole", false);
  for (std::size_t n = 0; n < pole_sheets(job, plan); ++n)
    s += "<div class=\"sheet\">" + draw_pole(job, plan, n) + "</div>\n";
  // The lean of the first exposure still to be laid; a gap between lines as built may be no lap at all.
  for (std::size_t k = static_cast<std::size_t>(std::max(0, plan.pole.built)); k < plan.pole.exposures.size();
       ++k)
    if (plan.pole.exposures[k] > 0 && plan.pole.exposures[k] < job.rules.board.width) {
      s += "<div class=\"sheet\">" + draw_lap(job.rules, plan.pole.exposures[k]) + "</div>\n";
      break;
    }
  s += "</section>\n";

  open_section(s, "walls", "Walls", false);
  for (std::size_t w = 0; w < plan.walls.size() && w < job.walls.size(); ++w) {
    ElevationOptions options;
    for (const std::size_t sheets = elevation_sheets(job, plan, w); options.sheet < sheets; ++options.sheet) {
      const std::string svg = draw_elevation(job, plan, w, options);
      s += detail::format("<div class=\"sheet{}\">{}</div>\n", is_wide(svg) ? " wide" : "", svg);
    }
  }
  s += "</section>\n";

  open_section(s, "cards", "Cut cards, in hanging order");
  // The cards may lie at the station without the last page.
  if (!plan.cautions.empty()) s += "<p>" + escaped(plan.cautions.front()) + "</p>\n";
  for (std::size_t w = 0; w < plan.walls.size(); ++w)
    for (std::size_t i = 0; i < plan.walls[w].pieces.size(); ++i)
      s += "<div class=\"card\">" + detail::draw_piece(job, plan, orders, w, i) + "</div>\n";
  s += "</section>\n";

  write_boards(s, job, plan, orders);
  write_templates(s, job, plan);
  write_staging(s, job, plan);

  open_section(s, "findings", "Findings");
  if (plan.findings.empty()) {
    s += "<p>None.</p></section>\n";
  } else {
    head(s, {"kind", "where", "what"});
    for (const Finding& finding : plan.findings)
      row(s, "td",
          {finding.code + (finding.severity == Severity::note ? " (note)" : ""), detail::where_words(finding),
           finding.message});
    s += table_end;
    s += "</section>\n";
  }

  open_section(s, "cautions", "Cautions");
  s += "<ul>\n";
  for (const std::string& caution : plan.cautions) s += "<li>" + escaped(caution) + "</li>\n";
  return s + "</ul></section>\n</body></html>\n";
}

}  // namespace v0
}  // namespace lapwright
