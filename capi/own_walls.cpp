// For hosts with a model of their own: runs, joints and boards of walls given as plain structs.
#include <algorithm>
#include <cmath>
#include <optional>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/validity.hpp>

#include "own_model.hpp"

namespace lapw {
namespace {

constexpr std::size_t run_rules_first = LAPW_FIRST_SIZE(lapw_run_rules, starter_width),
                      wall_shape_first = LAPW_FIRST_SIZE(lapw_wall_shape, reserved),
                      opening_first = LAPW_FIRST_SIZE(lapw_opening, gap),
                      board_rules_first = LAPW_FIRST_SIZE(lapw_board_rules, factory_ends),
                      board_piece_first = LAPW_FIRST_SIZE(lapw_board_piece, right_factory),
                      board_starter_first = LAPW_FIRST_SIZE(lapw_board_starter, reserved);

// What the rules for runs and those for boards have in common.
template <class Options>
Options defaults_of(const lapwright::Rules& rules) {
  Options out{};
  out.struct_size = sizeof out;
  out.board_width = rules.board.width;
  out.min_leg = rules.cutting.min_leg;
  out.end_edge = rules.fasteners.end_edge;
  out.starter_width = lapwright::starter_width(rules);
  return out;
}

lapw_run_rules run_defaults() {
  return defaults_of<lapw_run_rules>({});
}

lapw_board_rules board_defaults() {
  const lapwright::Rules rules;
  lapw_board_rules out = defaults_of<lapw_board_rules>(rules);
  out.turnable = rules.board.turnable;
  out.division = rules.courses.division;
  out.gap = rules.joints.gap;
  out.window = rules.joints.window;
  out.min_piece = rules.joints.min_piece;
  out.stagger = rules.joints.stagger;
  out.joint_price = rules.joints.price;
  out.kerf = rules.cutting.kerf;
  out.min_offcut = rules.cutting.min_offcut;
  out.effort = rules.search.effort;
  out.repeat_after = rules.joints.repeat_after;
  out.factory_ends = rules.joints.factory_ends;
  return out;
}

// A board of another width than the usual one keeps a lap and a thickness that can be: lines are given here,
// so neither decides anything.
void set_width(lapwright::Rules& rules, double width) {
  rules.board.width = width;
  rules.board.min_lap = std::min(rules.board.min_lap, width / 4);
  rules.board.thickness = std::min(rules.board.thickness, width / 4);
}

lapwright::Rules rules_in(const lapw_run_rules& chosen) {
  lapwright::Rules rules;
  unused(chosen.reserved, "rules.reserved");
  set_width(rules, positive(chosen.board_width, "rules.board_width"));
  rules.board.lengths = {lapwright::greatest_length};
  rules.cutting.min_leg = positive(chosen.min_leg, "rules.min_leg");
  rules.fasteners.end_edge = positive(chosen.end_edge, "rules.end_edge");
  rules.starter.width = positive(chosen.starter_width, "rules.starter_width");
  return rules;
}

lapwright::Rules rules_in(const lapw_board_rules* given) {
  if (!given) throw argument("rules", "must not be NULL: it holds the stock");
  const lapw_board_rules chosen = read_struct(given, board_defaults(), board_rules_first, "rules");
  lapwright::Rules rules;
  set_width(rules, positive(chosen.board_width, "rules.board_width"));
  rules.board.turnable = flag(chosen.turnable, "rules.turnable");
  check_list(chosen.stock, chosen.stock_count, "rules.stock");
  for (std::int64_t i = 0; i < chosen.stock_count; ++i) {
    rules.board.lengths.push_back(finite(chosen.stock[i].length, at("rules.stock", i) + ".length"));
    rules.board.prices.push_back(finite(chosen.stock[i].price, at("rules.stock", i) + ".price"));
  }
  check_list(chosen.on_hand, chosen.on_hand_count, "rules.on_hand");
  for (std::int64_t i = 0; i < chosen.on_hand_count; ++i) {
    const std::string path = at("rules.on_hand", i);
    rules.board.offcuts.push_back({finite(chosen.on_hand[i].length, path + ".length"),
                                   flag(chosen.on_hand[i].left_factory, path + ".left_factory"),
                                   flag(chosen.on_hand[i].right_factory, path + ".right_factory")});
  }
  rules.cutting.min_leg = positive(chosen.min_leg, "rules.min_leg");
  rules.cutting.kerf = finite(chosen.kerf, "rules.kerf");
  rules.cutting.min_offcut = finite(chosen.min_offcut, "rules.min_offcut");
  rules.fasteners.end_edge = positive(chosen.end_edge, "rules.end_edge");
  rules.starter.width = positive(chosen.starter_width, "rules.starter_width");
  rules.courses.division = positive(chosen.division, "rules.division");
  rules.joints.gap = finite(chosen.gap, "rules.gap");
  rules.joints.window = finite(chosen.window, "rules.window");
  rules.joints.min_piece = finite(chosen.min_piece, "rules.min_piece");
  rules.joints.stagger = finite(chosen.stagger, "rules.stagger");
  rules.joints.price = finite(chosen.joint_price, "rules.joint_price");
  rules.joints.repeat_after = chosen.repeat_after;
  rules.joints.factory_ends = flag(chosen.factory_ends, "rules.factory_ends");
  rules.search.effort = finite(chosen.effort, "rules.effort");
  return rules;
}

lapwright::Wall wall_in(const lapw_wall_shape& shape, const std::string& path, const std::string& name) {
  lapwright::Wall wall;
  wall.name = shape.name ? shape.name : name;
  unused(shape.reserved, path + ".reserved");
  check_list(shape.xy, shape.vertex_count, (path + ".xy").c_str());
  check_list(shape.edges, shape.vertex_count, (path + ".edges").c_str());
  wall.outline = ring_in(shape.xy, shape.vertex_count, path + ".xy");
  for (std::int64_t i = 0; i < shape.vertex_count; ++i) {
    const lapw_edge& edge = shape.edges[i];
    const std::string of = path + at(".edges", i);
    static constexpr lapwright::EdgeKind kinds[] = {lapwright::EdgeKind::base, lapwright::EdgeKind::corner,
                                                    lapwright::EdgeKind::top,  lapwright::EdgeKind::rake,
                                                    lapwright::EdgeKind::roof, lapwright::EdgeKind::wall};
    unused(edge.reserved, of + ".reserved");
    if (edge.kind < LAPW_EDGE_BASE || edge.kind > LAPW_EDGE_WALL)
      throw CallError(LAPW_E_UNSUPPORTED, of, "a kind of edge that this library does not know");
    wall.edges.push_back({kinds[edge.kind], finite(edge.trim, of + ".trim"), finite(edge.gap, of + ".gap")});
  }
  if (flag(shape.has_start, path + ".has_start"))
    wall.start = lapwright::Interval{finite(shape.start_low, path + ".start_low"),
                                     finite(shape.start_high, path + ".start_high")};
  const std::string openings = path + ".openings";
  check_list(shape.openings, shape.opening_count, openings.c_str());
  for (std::int64_t i = 0; i < shape.opening_count; ++i) {
    const std::string of = at(openings.c_str(), i);
    const lapw_opening row = row_at(shape.openings, i, opening_first, openings.c_str());
    check_list(row.xy, row.vertex_count, (of + ".xy").c_str());
    check_list(row.trim, row.vertex_count, (of + ".trim").c_str());
    check_list(row.gap, row.vertex_count, (of + ".gap").c_str());
    lapwright::Opening opening;
    opening.name = "opening " + std::to_string(i + 1);
    opening.rectangle = flag(row.rectangle, of + ".rectangle");
    opening.outline = ring_in(row.xy, row.vertex_count, of + ".xy");
    for (std::int64_t e = 0; e < row.vertex_count; ++e) {
      opening.trim.push_back(finite(row.trim[e], of + ".trim"));
      opening.gap.push_back(finite(row.gap[e], of + ".gap"));
    }
    wall.openings.push_back(std::move(opening));
  }
  return wall;
}

// Refuses what check_job refuses of the walls and of the rules that the call asks for, under the names of
// this interface. Faults of rules that it does not ask for are none.
void check_call(const lapwright::Job& job, bool one_wall, bool all_rules) {
  struct Name {
    const char *from, *to;
  };
  static constexpr Name rules[] = {{"board.offcuts", "rules.on_hand"},
                                   {"board.width", "rules.board_width"},
                                   {"courses.division", "rules.division"},
                                   {"cutting.kerf", "rules.kerf"},
                                   {"cutting.min_leg", "rules.min_leg"},
                                   {"cutting.min_offcut", "rules.min_offcut"},
                                   {"fasteners.end_edge", "rules.end_edge"},
                                   {"joints.gap", "rules.gap"},
                                   {"joints.window", "rules.window"},
                                   {"joints.min_piece", "rules.min_piece"},
                                   {"joints.stagger", "rules.stagger"},
                                   {"joints.price", "rules.joint_price"},
                                   {"joints.repeat_after", "rules.repeat_after"},
                                   {"search.effort", "rules.effort"},
                                   {"starter.width", "rules.starter_width"}};
  std::vector<lapwright::Fault> faults;
  for (lapwright::Fault& fault : lapwright::check_job(job)) {
    std::string& path = fault.path;
    const auto starts = [&](const char* with) { return path.compare(0, std::strlen(with), with) == 0; };
    if (starts("walls")) {
      const std::size_t close = path.find(']');
      const std::string wall = close == std::string::npos ? path : path.substr(0, close + 1);
      const std::string rest = path.substr(wall.size());
      const bool framing = rest.compare(0, 8, ".framing") == 0;
      if (framing && !all_rules) continue;
      if (one_wall)
        path = framing ? rest.substr(1) : "wall" + rest;
      else if (framing)
        path = "framings" + wall.substr(5) + rest.substr(8);
    } else if (starts("board.lengths") || starts("board.prices")) {
      const bool length = starts("board.lengths");
      const std::size_t open = path.find('[');
      path =
          "rules.stock" +
          (open == std::string::npos ? std::string() : path.substr(open) + (length ? ".length" : ".price"));
    } else {
      const auto* name =
          std::find_if(std::begin(rules), std::end(rules), [&](const Name& n) { return starts(n.from); });
      if (name == std::end(rules)) continue;
      path.replace(0, std::strlen(name->from), name->to);
    }
    faults.push_back(std::move(fault));
  }
  if (!faults.empty()) throw lapwright::Refused(std::move(faults));
}

// One wall as far as its runs.
struct LaidWall {
  lapwright::Region region;
  lapwright::WallCourses courses;
  lapwright::Runs runs;
  double area = 0;
};

LaidWall lay_wall(const lapwright::Wall& wall, const lapwright::Pole& pole, const lapwright::Rules& rules,
                  std::int32_t first_course, const std::string& path) {
  const auto line_count = static_cast<std::int64_t>(pole.lines.size());
  if (first_course < 0 || first_course >= line_count)
    throw lapwright::Refused(path + ".first_course", "must be the index of a line");
  LaidWall out;
  const double first_line = pole.lines[static_cast<std::size_t>(first_course)];
  out.region =
      lapwright::siding_region(wall, rules, wall.start ? std::optional<double>(first_line) : std::nullopt);
  const lapwright::WallHeights heights = lapwright::wall_heights(wall, out.region);
  out.courses.first_course = first_course;
  out.courses.last_course = -1;
  out.courses.ripped_start = !wall.start;
  for (std::int64_t k = first_course; k < line_count; ++k)
    if (pole.lines[static_cast<std::size_t>(k)] < heights.highest - lapwright::tolerance)
      out.courses.last_course = static_cast<int>(k);
  if (out.courses.last_course < 0) return out;
  out.courses.last_rip = heights.highest - pole.lines[static_cast<std::size_t>(out.courses.last_course)];
  out.area = lapwright::region_area(out.region, first_line);
  out.runs = lapwright::find_runs(wall, out.region, pole, out.courses, rules);
  return out;
}

std::int64_t add_runs(lapw_result& result, const lapwright::Runs& runs) {
  const auto first = static_cast<std::int64_t>(result.runs.size());
  for (const lapwright::Run& run : runs.runs) {
    const lapw_run row{run.x_min,
                       run.x_max,
                       add_ring(result, run.shape.outer),
                       1 + static_cast<std::int64_t>(run.shape.holes.size()),
                       run.course,
                       run.filler};
    for (const lapwright::Ring& hole : run.shape.holes) add_ring(result, hole);
    result.runs.push_back(row);
  }
  return first;
}

// Starters, joints and pieces of one wall, and its row, which it returns to be finished.
void add_jointed(lapw_result& result, const lapwright::Wall& wall, const LaidWall& laid,
                 const lapwright::Joints& joints, const lapwright::Pole& pole, const lapwright::Rules& rules,
                 std::int64_t index, std::int64_t first_run) {
  lapw_plan_wall row = wall_row(result, wall.name, laid.courses);
  row.region_area = laid.area;
  for (const lapwright::Starter& starter : laid.runs.starters) add_starter(result, starter, index);
  for (const lapwright::Joint& joint : joints.joints)
    add_joint(result, joint, index, first_run < 0 ? -1 : first_run + static_cast<std::int64_t>(joint.run));
  if (laid.courses.last_course >= 0)
    for (const lapwright::Piece& piece :
         lapwright::cut_pieces(wall, laid.region, laid.runs, joints.joints, pole, rules))
      add_piece(result, piece, {}, index);
  row.piece_count = static_cast<std::int64_t>(result.pieces.size()) - row.first_piece;
  row.joint_count = static_cast<std::int64_t>(result.joints.size()) - row.first_joint;
  row.starter_count = static_cast<std::int64_t>(result.starters.size()) - row.first_starter;
  result.walls.push_back(row);
  add_findings(result, laid.region.findings);
  add_findings(result, laid.runs.findings);
  add_findings(result, joints.findings);
}

// Boards with their placements, the order and its cost.
void add_packing(lapw_result& result, const lapwright::Packing& packing, const lapwright::Rules& rules,
                 Names& names, double starter_inches, double proven_minimum) {
  add_boards(result, packing.boards, names, rules.board.width);
  for (double length : rules.board.lengths) {
    const auto count = std::count_if(
        packing.boards.begin(), packing.boards.end(),
        [&](const lapwright::Board& board) { return board.on_hand < 0 && board.length == length; });
    if (count > 0) result.order.push_back({length, count});
  }
  lapw_totals totals{};
  totals.cost = packing.cost;
  totals.proven_minimum = proven_minimum;
  totals.starter_inches = starter_inches;
  result.totals.push_back(totals);
  add_findings(result, packing.findings);
}

void own_framing(lapwright::Wall& wall, const lapw_framing& frame, const std::string& path) {
  if (wall.outline.empty()) return;
  const lapwright::Box box = lapwright::detail::bounds(wall.outline);
  const double left = finite(frame.wall_x_min, path + ".wall_x_min"),
               right = finite(frame.wall_x_max, path + ".wall_x_max");
  if ((left != 0 || right != 0) && (std::abs(left - box.x_min) > lapwright::tolerance ||
                                    std::abs(right - box.x_max) > lapwright::tolerance))
    throw lapwright::Refused(
        path + ".wall_x_min",
        "the wall's ends are those of its outline: leave wall_x_min and wall_x_max at 0");
  wall.framing = framing_in(frame, path);
}

double starter_inches(const std::vector<lapwright::Starter>& starters) {
  double sum = 0;
  for (const lapwright::Starter& starter : starters)
    sum += lapwright::detail::distance(starter.from, starter.to);
  return sum;
}

lapwright::StarterPlace place_in(std::int32_t where, const std::string& path) {
  switch (where) {
    case LAPW_AT_BASE:
      return lapwright::StarterPlace::base;
    case LAPW_AT_HEAD:
      return lapwright::StarterPlace::head;
    case LAPW_AT_ROOF:
      return lapwright::StarterPlace::roof;
    default:
      throw CallError(LAPW_E_UNSUPPORTED, path, "a place that this library does not know");
  }
}

}  // namespace
}  // namespace lapw

extern "C" {

lapw_status lapw_run_rules_init(lapw_run_rules* rules, uint32_t struct_size) noexcept {
  return lapw::init_struct(rules, struct_size, lapw::run_defaults(), lapw::run_rules_first);
}
lapw_status lapw_framing_init(lapw_framing* framing, uint32_t struct_size) noexcept {
  return lapw::init_struct(framing, struct_size, lapw::framing_defaults(), lapw::framing_first);
}
lapw_status lapw_board_rules_init(lapw_board_rules* rules, uint32_t struct_size) noexcept {
  return lapw::init_struct(rules, struct_size, lapw::board_defaults(), lapw::board_rules_first);
}

lapw_status lapw_find_runs(const lapw_wall_shape* given, const double* lines, int64_t line_count,
                           const lapw_run_rules* given_rules, lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out || !given) throw lapw::argument(out ? "wall" : "out", "must not be NULL");
    const lapw_wall_shape shape = lapw::read_struct(given, lapw_wall_shape{}, lapw::wall_shape_first, "wall");
    lapwright::Job job;
    job.rules =
        lapw::rules_in(lapw::read_struct(given_rules, lapw::run_defaults(), lapw::run_rules_first, "rules"));
    job.walls.push_back(lapw::wall_in(shape, "wall", "wall"));
    lapw::check_call(job, true, false);
    const lapwright::Wall& wall = job.walls.front();
    const lapwright::Pole pole = lapw::pole_in(lines, line_count, job.rules.board.width);
    const lapw::LaidWall laid = lapw::lay_wall(wall, pole, job.rules, shape.first_course, "wall");
    auto result = std::make_unique<lapw_result>();
    lapw_plan_wall row = lapw::wall_row(*result, wall.name, laid.courses);
    row.region_area = laid.area;
    lapw::add_runs(*result, laid.runs);
    for (const lapwright::Starter& starter : laid.runs.starters) lapw::add_starter(*result, starter, 0);
    row.starter_count = static_cast<std::int64_t>(laid.runs.starters.size());
    result->walls.push_back(row);
    lapw::add_findings(*result, laid.region.findings);
    lapw::add_findings(*result, laid.runs.findings);
    *out = result.release();
  });
}

lapw_status lapw_place_joints(const lapw_wall_shape* given, const double* lines, int64_t line_count,
                              const lapw_framing* given_framing, const lapw_board_rules* given_rules,
                              lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out || !given) throw lapw::argument(out ? "wall" : "out", "must not be NULL");
    const lapw_wall_shape shape = lapw::read_struct(given, lapw_wall_shape{}, lapw::wall_shape_first, "wall");
    lapwright::Job job;
    job.rules = lapw::rules_in(given_rules);
    job.walls.push_back(lapw::wall_in(shape, "wall", "wall"));
    lapw::own_framing(
        job.walls.front(),
        lapw::read_struct(given_framing, lapw::framing_defaults(), lapw::framing_first, "framing"),
        "framing");
    lapw::check_call(job, true, true);
    const lapwright::Wall& wall = job.walls.front();
    const lapwright::Pole pole = lapw::pole_in(lines, line_count, job.rules.board.width);
    const lapw::LaidWall laid = lapw::lay_wall(wall, pole, job.rules, shape.first_course, "wall");
    lapwright::Joints joints;
    if (laid.courses.last_course >= 0)
      joints = lapwright::place_joints(wall, laid.region, laid.runs, pole, job.rules);
    auto result = std::make_unique<lapw_result>();
    const std::int64_t first_run = lapw::add_runs(*result, laid.runs);
    lapw::add_jointed(*result, wall, laid, joints, pole, job.rules, 0, first_run);
    *out = result.release();
  });
}

lapw_status lapw_pack_boards(const lapw_board_piece* pieces, int64_t piece_count,
                             const lapw_board_starter* starters, int64_t starter_count,
                             const lapw_board_rules* given_rules, lapw_result** out,
                             lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out) throw lapw::argument("out", "must not be NULL");
    lapw::check_list(pieces, piece_count, "pieces");
    lapw::check_list(starters, starter_count, "starters");
    lapwright::Job job;
    job.rules = lapw::rules_in(given_rules);
    lapwright::Wall frame;  // so that nothing but the rules can be at fault
    frame.name = "wall";
    frame.outline = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    frame.edges.assign(4, lapwright::Edge{});
    job.walls.push_back(frame);
    lapw::check_call(job, true, false);

    // Names whose order is that of the rows: "wall-course-number" as the packing reads them.
    lapw::Names names;
    std::vector<lapwright::Piece> list;
    for (std::int64_t i = 0; i < piece_count; ++i) {
      const lapw_board_piece row = lapw::row_at(pieces, i, lapw::board_piece_first, "pieces");
      const std::string path = lapw::at("pieces", i);
      lapw::check_list(row.xy, row.vertex_count, (path + ".xy").c_str());
      lapwright::Piece piece;
      piece.outline = lapw::ring_in(row.xy, row.vertex_count, path + ".xy");
      for (const lapwright::Point p : piece.outline)
        if (std::abs(p.x) > lapwright::greatest_length || std::abs(p.y) > lapwright::greatest_length)
          throw lapwright::Refused(path + ".xy", "the outline must lie within 100000 in of 0");
      const std::string why = lapwright::detail::why_not_simple(piece.outline);
      if (!why.empty()) throw lapwright::Refused(path + ".xy", "the outline is no simple polygon: " + why);
      if (!(lapwright::detail::signed_area(piece.outline) > 0))
        throw lapwright::Refused(path + ".xy", "the outline must run counter-clockwise");
      const lapwright::Box box = lapwright::detail::bounds(piece.outline);
      piece.y = lapwright::snap(lapw::finite(row.y, path + ".y"));
      if (box.y_min < piece.y - lapwright::tolerance ||
          box.y_max > piece.y + job.rules.board.width + lapwright::tolerance)
        throw lapwright::Refused(path + ".xy", "the outline must lie within a board's width above y");
      piece.x_min = box.x_min;
      piece.x_max = box.x_max;
      piece.length = box.x_max - box.x_min;
      piece.left.factory = lapw::flag(row.left_factory, path + ".left_factory");
      piece.right.factory = lapw::flag(row.right_factory, path + ".right_factory");
      piece.id = std::to_string(row.wall) + "-0-" + std::to_string(i);
      names.add_piece(piece.id, piece.length);
      list.push_back(std::move(piece));
    }
    std::vector<lapwright::Starter> strips;
    for (std::int64_t i = 0; i < starter_count; ++i) {
      const lapw_board_starter row = lapw::row_at(starters, i, lapw::board_starter_first, "starters");
      const std::string path = lapw::at("starters", i);
      lapw::unused(row.reserved, path + ".reserved");
      lapwright::Starter starter;
      starter.id = std::to_string(row.wall) + "-s" + std::to_string(i);
      starter.from = {0, lapw::finite(row.y, path + ".y")};
      starter.to = {lapw::positive(row.length, path + ".length"), starter.from.y};
      starter.width = *job.rules.starter.width;
      starter.where = lapw::place_in(row.where, path + ".where");
      names.add_starter(starter.id);
      strips.push_back(std::move(starter));
    }
    const lapwright::Packing packing = lapwright::pack_boards(list, strips, job.rules);
    auto result = std::make_unique<lapw_result>();
    lapw::add_packing(*result, packing, job.rules, names, lapw::starter_inches(strips), 0);
    *out = result.release();
  });
}

lapw_status lapw_settle_boards(const lapw_wall_shape* walls, const lapw_framing* framings, int64_t wall_count,
                               const double* lines, int64_t line_count, const lapw_board_rules* given_rules,
                               lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out) throw lapw::argument("out", "must not be NULL");
    lapw::check_list(walls, wall_count, "walls");
    lapwright::Job job;
    job.rules = lapw::rules_in(given_rules);
    std::vector<std::int32_t> first;
    for (std::int64_t i = 0; i < wall_count; ++i) {
      const lapw_wall_shape shape = lapw::row_at(walls, i, lapw::wall_shape_first, "walls");
      job.walls.push_back(lapw::wall_in(shape, lapw::at("walls", i), "wall " + std::to_string(i + 1)));
      first.push_back(shape.first_course);
      const lapw_framing defaults = lapw::framing_defaults();
      lapw::own_framing(
          job.walls.back(),
          framings ? lapw::row_at(framings, i, lapw::framing_first, "framings", defaults) : defaults,
          lapw::at("framings", i));
    }
    lapw::check_call(job, false, true);
    const lapwright::Pole pole = lapw::pole_in(lines, line_count, job.rules.board.width);
    std::vector<lapw::LaidWall> laid;
    for (std::size_t w = 0; w < job.walls.size(); ++w)
      laid.push_back(lapw::lay_wall(job.walls[w], pole, job.rules, first[w],
                                    lapw::at("walls", static_cast<std::int64_t>(w))));
    std::vector<lapwright::SearchWall> search;
    for (std::size_t w = 0; w < job.walls.size(); ++w)
      search.push_back({&job.walls[w], &laid[w].region, &laid[w].courses, &laid[w].runs});
    const lapwright::Settled settled = lapwright::settle_boards(search, pole, job.rules);
    auto result = std::make_unique<lapw_result>();
    double inches = 0;
    for (std::size_t w = 0; w < job.walls.size(); ++w) {
      lapw::add_jointed(*result, job.walls[w], laid[w], settled.joints[w], pole, job.rules,
                        static_cast<std::int64_t>(w), -1);
      inches += lapw::starter_inches(laid[w].runs.starters);
    }
    lapw::Names names;
    names.list(*result);
    lapw::add_packing(*result, settled.packing, job.rules, names, inches, settled.proven_minimum);
    *out = result.release();
  });
}

}  // extern "C"
