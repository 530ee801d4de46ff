#include <algorithm>
#include <boost/test/unit_test.hpp>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <lapwright/document.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/sheets.hpp>

#include "cases.hpp"
#include "random_house.hpp"
#include "svg_reader.hpp"

using namespace lapwright;

namespace {

struct House {
  Job job;
  Plan plan;
};

House demo(const std::string& name) {
  std::ifstream file(std::string(LAPW_SOURCE_DIR) + "/examples/" + name + ".json", std::ios::binary);
  House house;
  house.job = read_job(std::string{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()});
  house.plan = plan_house(house.job);
  return house;
}

const House& cottage() {
  static const House house = demo("cottage");
  return house;
}
const House& tower() {
  static const House house = demo("tower");
  return house;
}

// A hall whose courses are too many for one sheet.
const House& hall() {
  static const House house = [] {
    House h;
    h.job.name = "hall";
    h.job.rules.board.lengths = {144, 192};
    h.job.rules.search.effort = 0.1;
    Wall wall;
    wall.name = "a long name of a long wall that looks over the whole harbour";
    wall.outline = {{0, 0}, {760, 0}, {760, 300}, {380, 420}, {0, 300}};
    for (EdgeKind kind : {EdgeKind::base, EdgeKind::corner, EdgeKind::rake, EdgeKind::rake, EdgeKind::corner})
      wall.edges.push_back(default_edge(kind));
    wall.openings.push_back(rectangular_opening("gate", {344, 0}, 96, 120));
    wall.openings.push_back(rectangular_opening("W1", {100, 150}, 48, 40));
    h.job.walls.push_back(wall);
    h.plan = plan_house(h.job);
    return h;
  }();
  return house;
}

// XML's ids hold no spaces.
std::string id_of(std::string id) {
  for (char& c : id)
    if (c == ' ') c = '_';
  return id;
}

std::vector<std::string> elevations(const House& house, std::size_t wall, ElevationOptions options = {}) {
  std::vector<std::string> out;
  for (const std::size_t sheets = elevation_sheets(house.job, house.plan, wall, options);
       options.sheet < sheets; ++options.sheet)
    out.push_back(draw_elevation(house.job, house.plan, wall, options));
  return out;
}

// Both demos, then random houses: LAPW_CASES of them.
template <class Check>
void each_house(std::uint64_t first, Check check) {
  check(cottage());
  check(tower());
  check(hall());
  const auto cases = static_cast<std::uint64_t>(lapwright_test::cases(4));
  for (std::uint64_t seed = first; seed < first + cases; ++seed) {
    House house;
    house.job = lapwright_test::random_house(seed);
    try {
      house.plan = plan_house(house.job);
    } catch (const Refused&) {
      continue;  // one in a few hundred has a run that no stud could join
    }
    BOOST_TEST_CONTEXT("random_house(" << seed << ")") {
      check(house);
    }
  }
}

struct Label {
  svg_reader::Extent box;
  std::string text;
  std::string anchor;
};

// Widths of a common sans-serif font's letters (Liberation Sans / Arial metrics, em; from memory), apart from
// the drawings' own table.
double letter(char c) {
  if (c >= '0' && c <= '9') return 0.556;
  if (c == 'i' || c == 'j' || c == 'l' || c == '\'') return 0.222;
  if (c == ' ' || c == '.' || c == ',' || c == ':' || c == '/' || c == 'f' || c == 't' || c == 'I')
    return 0.278;
  if (c == '-' || c == '(' || c == ')' || c == 'r') return 0.333;
  if (c == 'm' || c == 'M') return 0.833;
  if (c == 'w') return 0.722;
  if (c == 'W') return 0.944;
  if (c >= 'A' && c <= 'Z') return 0.722;
  return 0.556;
}

std::vector<Label> labels(const std::string& svg) {
  std::vector<Label> out;
  for (const svg_reader::Element& e : svg_reader::elements(svg)) {
    if (e.name != "text") continue;
    const double size = e.number("font-size"), x = e.number("x"), y = e.number("y");
    double w = 0;
    for (char c : e.text) w += letter(c) * size;
    const std::string anchor = e.get("text-anchor");
    const double x0 = anchor == "middle" ? x - w / 2 : anchor == "end" ? x - w : x;
    out.push_back({{x0, y - 0.72 * size, x0 + w, y + 0.2 * size}, e.text, anchor});
  }
  return out;
}

// What the drawings write, and no more: elements and attributes of SVG 1.1 that every viewer draws alike,
// black and white alone, every number finite, every reference to a pattern that is there.
void check_form(const std::vector<svg_reader::Element>& all) {
  static const std::map<std::string, std::set<std::string>> allowed{
      {"svg", {"xmlns", "xml:lang", "role", "width", "height", "viewBox", "font-family", "fill", "stroke"}},
      {"title", {}},
      {"desc", {}},
      {"defs", {}},
      {"g", {"fill", "stroke", "clip-path"}},
      {"pattern", {"id", "width", "height", "patternUnits"}},
      {"clipPath", {"id"}},
      {"rect", {"x", "y", "width", "height"}},
      {"circle", {"cx", "cy", "r", "stroke-width", "fill", "stroke", "class", "id"}},
      {"path", {"d", "stroke-width", "stroke-dasharray", "stroke", "fill", "fill-rule", "class", "id"}},
      {"text", {"x", "y", "font-size", "font-weight", "text-anchor", "class"}}};
  std::set<std::string> ids;
  for (const svg_reader::Element& e : all) {
    const auto found = allowed.find(e.name);
    BOOST_REQUIRE_MESSAGE(found != allowed.end(), "element " << e.name);
    for (const auto& [name, value] : e.attributes) {
      BOOST_TEST(found->second.count(name) == 1, e.name << " has " << name);
      BOOST_TEST((value.find("nan") == std::string::npos && value.find("inf") == std::string::npos), value);
      if (name == "fill" || name == "stroke")
        BOOST_TEST((value == "none" || value == "black" || value == "white" || value.rfind("url(#", 0) == 0),
                   value);
    }
    if (!e.get("id").empty()) BOOST_TEST(ids.insert(e.get("id")).second, "id twice: " << e.get("id"));
  }
  for (const svg_reader::Element& e : all)
    for (const char* name : {"fill", "clip-path"})
      if (e.get(name).rfind("url(#", 0) == 0)
        BOOST_TEST(ids.count(e.get(name).substr(5, e.get(name).size() - 6)) == 1, e.get(name));
  BOOST_TEST((all.size() > 2 && all[1].name == "title" && !all[1].text.empty()));
  BOOST_TEST((all.size() > 2 && all[2].name == "desc" && !all[2].text.empty()));
}

void check_labels(const std::string& svg) {
  const std::vector<svg_reader::Element> all = svg_reader::elements(svg);
  BOOST_REQUIRE(!all.empty());
  BOOST_TEST(all.front().name == "svg");
  check_form(all);
  double width = 0, height = 0;
  BOOST_TEST(std::sscanf(all.front().get("viewBox").c_str(), "0 0 %lf %lf", &width, &height) == 2);
  for (const svg_reader::Element& e : all)
    if (e.name == "text") BOOST_TEST(e.number("font-size") >= 6, "letters too small: " << e.text);
  const std::vector<Label> found = labels(svg);
  for (std::size_t i = 0; i < found.size(); ++i) {
    const svg_reader::Extent& a = found[i].box;
    if (a.x0 < 0 || a.y0 < 0 || a.x1 > width || a.y1 > height)
      BOOST_ERROR("off the sheet: " << found[i].text);
    for (std::size_t j = i + 1; j < found.size(); ++j) {
      const svg_reader::Extent& b = found[j].box;
      if (a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1)
        BOOST_ERROR(all[1].text << ": " << found[i].text << " over " << found[j].text);
    }
  }
}

}  // namespace

BOOST_AUTO_TEST_CASE(no_label_touches_another_or_leaves_the_sheet) {
  each_house(1, [](const House& house) {
    for (std::size_t w = 0; w < house.plan.walls.size(); ++w) {
      for (const std::string& sheet : elevations(house, w)) check_labels(sheet);
      ElevationOptions all;
      all.studs = all.nails = true;
      for (const std::string& sheet : elevations(house, w, all)) check_labels(sheet);
      for (std::size_t p = 0; p < house.plan.walls[w].pieces.size(); ++p)
        check_labels(draw_piece(house.job, house.plan, w, p));
      for (const RakeTemplate& t : house.plan.walls[w].templates)
        for (Paper paper : {Paper::letter, Paper::a4, Paper::either})
          for (const std::string& page : draw_rake_template(t, paper)) check_labels(page);
    }
    for (std::size_t b = 0; b < house.plan.boards.size(); ++b)
      check_labels(draw_board(house.job, house.plan, b));
    for (std::size_t n = 0; n < pole_sheets(house.job, house.plan); ++n)
      check_labels(draw_pole(house.job, house.plan, n));
    if (!house.plan.pole.exposures.empty())
      check_labels(draw_lap(house.job.rules, house.plan.pole.exposures.front()));
  });
}

// The README's pictures are drawings of the program: LAPW_PICTURES=1 writes them again, into the sources.
BOOST_AUTO_TEST_CASE(the_pictures_are_drawn_by_the_program) {
  const House& house = cottage();
  const auto east = std::find_if(house.plan.walls.begin(), house.plan.walls.end(),
                                 [](const PlanWall& wall) { return wall.name == "east"; });
  BOOST_REQUIRE(east != house.plan.walls.end());
  const std::size_t wall = static_cast<std::size_t>(east - house.plan.walls.begin());
  // A card with a rake, a notch and a factory end says most.
  std::size_t card = 0, most = 0;
  for (std::size_t i = 0; i < east->pieces.size(); ++i) {
    const Piece& piece = east->pieces[i];
    std::set<CutKind> kinds;
    for (const Cut& cut : piece.cuts) kinds.insert(cut.kind);
    const std::size_t says = (kinds.count(CutKind::rake) + kinds.count(CutKind::notch)) * 4 +
                             2 * (piece.left.factory || piece.right.factory) + (piece.cuts.size() == 2);
    if (says > most) most = says, card = i;
  }
  const std::string folder = std::string(LAPW_SOURCE_DIR) + "/examples/pictures/";
  const bool write = std::getenv("LAPW_PICTURES") != nullptr;
  for (const auto& [name, drawing] :
       {std::pair<std::string, std::string>{"elevation.svg", draw_elevation(house.job, house.plan, wall)},
        {"card.svg", draw_piece(house.job, house.plan, wall, card)}}) {
    if (write) std::ofstream(folder + name, std::ios::binary) << drawing;
    std::ifstream file(folder + name, std::ios::binary);
    const std::string kept{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    // A better board search may move a joint: the form must be the program's, not every number.
    check_labels(kept);
    BOOST_TEST(svg_reader::elements(kept)[1].text.substr(0, 8) ==
               svg_reader::elements(drawing)[1].text.substr(0, 8));
    BOOST_TEST(kept.size() < 60000);
  }
  std::ifstream file(folder + "measuring.svg", std::ios::binary);
  const std::string kept{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  check_labels(kept);
}

BOOST_AUTO_TEST_CASE(an_elevation_fits_the_paper_that_was_asked_for) {
  each_house(50, [](const House& house) {
    for (std::size_t w = 0; w < house.plan.walls.size(); ++w)
      for (const std::string& sheet : elevations(house, w)) {
        const svg_reader::Element svg = svg_reader::elements(sheet).front();
        const double width = std::atof(svg.get("width").c_str()),
                     height = std::atof(svg.get("height").c_str());
        BOOST_TEST(((width <= 10 && height <= 7.2) || (width <= 7.2 && height <= 10)),
                   house.plan.walls[w].name << ": " << width << " x " << height);
      }
  });
}

BOOST_AUTO_TEST_CASE(every_piece_joint_nail_and_starter_is_in_the_elevation_at_its_place) {
  each_house(20, [](const House& house) {
    for (std::size_t w = 0; w < house.plan.walls.size(); ++w) {
      const PlanWall& wall = house.plan.walls[w];
      ElevationOptions options;
      options.nails = true;
      std::map<std::string, svg_reader::Element> by_id;
      std::set<std::string> told;
      const std::vector<std::string> sheets = elevations(house, w, options);
      for (const svg_reader::Element& e : svg_reader::elements(sheets.front()))
        if (!e.get("id").empty()) by_id.emplace(e.get("id"), e);
      std::size_t keyed = 0;
      for (const std::string& sheet : sheets)
        for (const svg_reader::Element& e : svg_reader::elements(sheet)) {
          if (e.name != "text") continue;
          // A label, or an entry of the key: "a = 07-f1" or "07-f1: at 43".
          told.insert(e.text);
          told.insert(e.text.substr(std::min(e.text.size(), e.text.find(" = ") + 3)));
          told.insert(e.text.substr(0, e.text.find(": at ")));
          keyed += e.text.find(" = ") != std::string::npos || e.text.find(": at ") != std::string::npos;
        }
      BOOST_TEST(keyed <= 3 + wall.pieces.size() / 5, wall.name << " has a key of " << keyed);
      // The outline tells where inches lie on paper.
      const svg_reader::Extent frame = svg_reader::path_extent(by_id.at("outline").get("d"));
      double x_min = 1e300, x_max = -1e300, y_min = 1e300, y_max = -1e300;
      for (Point p : house.job.walls[w].outline) {
        x_min = std::min(x_min, p.x), x_max = std::max(x_max, p.x);
        y_min = std::min(y_min, p.y), y_max = std::max(y_max, p.y);
      }
      const double sx = (frame.x1 - frame.x0) / (x_max - x_min), sy = (frame.y1 - frame.y0) / (y_max - y_min);
      BOOST_TEST(std::abs(sx - sy) < 0.01);
      const auto near = [&](double x, double y, double px, double py) {
        return std::abs(frame.x0 + (x - x_min) * sx - px) < 0.1 &&
               std::abs(frame.y1 - (y - y_min) * sy - py) < 0.1;
      };
      for (std::size_t i = 0; i < wall.pieces.size(); ++i) {
        const Piece& piece = wall.pieces[i];
        BOOST_REQUIRE(by_id.count(id_of(piece.id)));
        const svg_reader::Extent e = svg_reader::path_extent(by_id[id_of(piece.id)].get("d"));
        double bottom = 1e300, top = -1e300;
        for (Point p : piece.outline) bottom = std::min(bottom, p.y), top = std::max(top, p.y);
        BOOST_TEST((near(piece.x_min, bottom, e.x0, e.y1) && near(piece.x_max, top, e.x1, e.y0)), piece.id);
        BOOST_TEST(told.count(piece.id.substr(wall.name.size() + 1)) == 1, piece.id << " is not told");
        for (std::size_t n = 0; n < wall.nails[i].size(); ++n) {
          const std::string id = id_of(piece.id + "-n" + std::to_string(n + 1));
          BOOST_REQUIRE(by_id.count(id));
          BOOST_TEST(near(wall.nails[i][n].at.x, wall.nails[i][n].at.y, by_id[id].number("cx"),
                          by_id[id].number("cy")));
        }
      }
      for (std::size_t j = 0; j < wall.joints.size(); ++j) {
        const std::string id = id_of(wall.name + "-j" + std::to_string(j + 1));
        BOOST_REQUIRE(by_id.count(id));
        const svg_reader::Extent e = svg_reader::path_extent(by_id[id].get("d"));
        // From the pieces' lower edge at the joint.
        double bottom = 1e300;
        for (const Piece& piece : wall.pieces)
          if (piece.course == wall.joints[j].course)
            for (Point p : piece.outline)
              if (std::abs(p.x - wall.joints[j].x) < house.job.rules.joints.gap / 2 + 1e-5)
                bottom = std::min(bottom, p.y);
        BOOST_TEST(near(wall.joints[j].x, bottom, e.x0, e.y1), id);
      }
      for (const Starter& starter : wall.starters) {
        BOOST_REQUIRE(by_id.count(id_of(starter.id)));
        const svg_reader::Extent e = svg_reader::path_extent(by_id[id_of(starter.id)].get("d"));
        BOOST_TEST((near(starter.from.x, std::min(starter.from.y, starter.to.y), e.x0, e.y1) &&
                    near(starter.to.x, std::max(starter.from.y, starter.to.y), e.x1, e.y0)),
                   starter.id);
      }
    }
  });
}

// What the document does not carry (regions, the longer words of cuts) is made again or done without.
BOOST_AUTO_TEST_CASE(a_plan_that_was_read_back_is_drawn_as_well) {
  for (const House* house : {&cottage(), &tower()}) {
    const ReadPlan read = read_plan(write_plan(house->plan));
    BOOST_TEST(read.findings.empty());
    for (std::size_t w = 0; w < house->plan.walls.size(); ++w) {
      BOOST_TEST(draw_elevation(house->job, read.plan, w) == draw_elevation(house->job, house->plan, w));
      for (std::size_t p = 0; p < house->plan.walls[w].pieces.size(); ++p)
        check_labels(draw_piece(house->job, read.plan, w, p));
    }
    for (std::size_t b = 0; b < house->plan.boards.size(); ++b)
      BOOST_TEST(draw_board(house->job, read.plan, b) == draw_board(house->job, house->plan, b));
    BOOST_TEST(draw_pole(house->job, read.plan) == draw_pole(house->job, house->plan));
    BOOST_TEST(index_page(house->job, read.plan).size() > 100000);
  }
}

BOOST_AUTO_TEST_CASE(a_wall_too_large_for_a_sheet_has_more) {
  BOOST_TEST(elevation_sheets(cottage().job, cottage().plan, 0) == 1u);
  const House& house = hall();
  const std::size_t sheets = elevation_sheets(house.job, house.plan, 0);
  BOOST_TEST(sheets > 2u);
  // Ids stand once on a page that holds all of them.
  std::set<std::string> ids;
  for (const std::string& sheet : elevations(house, 0))
    for (const svg_reader::Element& e : svg_reader::elements(sheet))
      if (!e.get("id").empty()) BOOST_TEST(ids.insert(e.get("id")).second, "id twice: " << e.get("id"));
  ElevationOptions options;
  options.sheet = sheets;
  BOOST_CHECK_THROW(draw_elevation(house.job, house.plan, 0, options), Refused);
}

BOOST_AUTO_TEST_CASE(an_index_that_is_none_is_refused) {
  const House& house = cottage();
  BOOST_CHECK_THROW(elevation_sheets(house.job, house.plan, 99), Refused);
  BOOST_CHECK_THROW(draw_elevation(house.job, house.plan, 99), Refused);
  BOOST_CHECK_THROW(draw_piece(house.job, house.plan, 99, 0), Refused);
  BOOST_CHECK_THROW(draw_piece(house.job, house.plan, 0, 99999), Refused);
  BOOST_CHECK_THROW(draw_pole(house.job, house.plan, 99), Refused);
  BOOST_CHECK_THROW(draw_board(house.job, house.plan, 99999), Refused);
  BOOST_CHECK_THROW(draw_rake_template(RakeTemplate{}), Refused);
}

BOOST_AUTO_TEST_CASE(half_a_house_is_drawn_as_well) {
  // Lines as built.
  House house = hall();
  house.job.rules.courses.lines = {0, 7, 14, 20.5};
  house.job.rules.search.effort = 0.1;
  house.job.walls[0].outline = {{0, 0}, {200, 0}, {200, 90}, {0, 90}};
  house.job.walls[0].edges = {default_edge(EdgeKind::base), default_edge(EdgeKind::corner),
                              default_edge(EdgeKind::top), default_edge(EdgeKind::corner)};
  house.job.walls[0].openings.clear();
  house.plan = plan_house(house.job);
  BOOST_TEST(index_page(house.job, house.plan).find("nailed") != std::string::npos);
  for (const std::string& sheet : elevations(house, 0)) check_labels(sheet);
  check_labels(draw_pole(house.job, house.plan));
  // What no planner makes does not crash: a piece of nothing, a board of nothing, an index beside the pole.
  house.plan.walls[0].pieces[0].outline.clear();
  house.plan.walls[0].pieces[1].course = 1000;
  house.plan.walls[0].nails.clear();
  house.plan.boards[0].length = 0;
  house.plan.boards[0].cut.push_back({"nobody's", "", {0, 0}, false, {0, 0}});
  house.plan.pole.exposures.resize(2);
  BOOST_TEST(!index_page(house.job, house.plan).empty());
  house.plan.pole.lines.clear();
  house.plan.boards.clear();
  BOOST_TEST(!index_page(house.job, house.plan).empty());
  BOOST_TEST(!summary_text(house.job, house.plan).empty());
  for (const std::string& sheet : {cut_sheet_text(house.job, house.plan), pieces_csv(house.job, house.plan),
                                   board_sheet_csv(house.job, house.plan), nails_csv(house.job, house.plan)})
    BOOST_TEST(!sheet.empty());
}

BOOST_AUTO_TEST_CASE(the_page_shows_every_piece_board_and_caution) {
  const House& house = cottage();
  const std::string page = index_page(house.job, house.plan);
  for (const PlanWall& wall : house.plan.walls)
    for (const Piece& piece : wall.pieces)
      BOOST_TEST(page.find(">" + piece.id + "</text>") != std::string::npos, piece.id);
  for (const Board& board : house.plan.boards)
    BOOST_TEST(page.find(">Board " + std::to_string(board.id) + "</text>") != std::string::npos);
  BOOST_TEST(page.find("29 CFR 1926.1153") != std::string::npos);
  for (const std::string& sheet :
       {cut_sheet_text(house.job, house.plan), board_sheet_text(house.job, house.plan)})
    for (const std::string& caution : house.plan.cautions)
      BOOST_TEST(sheet.find(caution) != std::string::npos);
  BOOST_TEST(page.find("<script") == std::string::npos);
  BOOST_TEST(page.find("http") == page.find("http://www.w3.org/2000/svg"));
}

BOOST_AUTO_TEST_CASE(the_summary_fits_a_terminal) {
  for (const House* house : {&cottage(), &tower()}) {
    const std::string text = summary_text(house->job, house->plan);
    BOOST_TEST(std::count(text.begin(), text.end(), '\n') < 25);
  }
}

BOOST_AUTO_TEST_CASE(each_slope_is_listed_once_with_all_its_cuts) {
  // The cottage's east wall has rakes of 6 and 8 in 12, its west wall both the other way round.
  const House& house = cottage();
  const std::string page = index_page(house.job, house.plan);
  const std::size_t begin = page.find("<h2>Rake templates</h2>"), end = page.find("</table>", begin);
  BOOST_REQUIRE(begin != std::string::npos);
  const std::string table = page.substr(begin, end - begin);
  for (const auto& [slope, rise] : {std::pair<std::string, double>{"6 in 12", 6}, {"8 in 12", 8}}) {
    int left = 0, right = 0;
    for (const PlanWall& wall : house.plan.walls)
      for (const RakeTemplate& t : wall.templates)
        if (std::fabs(t.rise * 12 / t.run - rise) < 1e-6) (t.hand == Hand::left ? left : right) += t.uses;
    BOOST_TEST(left > 0);
    BOOST_TEST(right > 0);
    const std::size_t row = table.find("<td>" + slope + "</td>");
    BOOST_REQUIRE(row != std::string::npos);
    BOOST_TEST(table.find("<td>" + slope + "</td>", row + 1) == std::string::npos);
    const std::string cells = table.substr(row, table.find("</tr>", row) - row);
    BOOST_TEST(cells.find("<td>" + std::to_string(left) + "</td><td>" + std::to_string(right) +
                          "</td><td>east, west</td>") != std::string::npos,
               cells);
  }
}
