// For hosts with a model of their own: lengths, lap, courses, rake templates, cutting, fasteners.
#include <algorithm>
#include <cmath>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/drawing.hpp>

#include "own_model.hpp"

namespace lapw {
namespace {

lapw_course_rules course_defaults() {
  const lapwright::Rules rules;
  lapw_course_rules out{};
  out.struct_size = sizeof out;
  out.mode = LAPW_MODE_FITTED;
  out.board_width = rules.board.width;
  out.min_lap = rules.board.min_lap;
  out.division = rules.courses.division;
  out.max_step = rules.courses.max_step;
  out.min_strip = rules.courses.min_strip;
  return out;
}
constexpr std::size_t course_rules_first = LAPW_FIRST_SIZE(lapw_course_rules, built_count),
                      wall_heights_first = LAPW_FIRST_SIZE(lapw_wall_heights, mark_count),
                      rake_input_first = LAPW_FIRST_SIZE(lapw_rake_input, division),
                      nail_rules_first = LAPW_FIRST_SIZE(lapw_nail_rules, sheathing_thickness),
                      nail_piece_first = LAPW_FIRST_SIZE(lapw_nail_piece, joint_right),
                      lap_figures_first = LAPW_FIRST_SIZE(lapw_lap_figures, starter_thickness);

lapw_rake_input rake_defaults() {
  const lapwright::Rules rules;
  lapw_rake_input out{};
  out.struct_size = sizeof out;
  out.board_width = rules.board.width;
  out.exposure = lapwright::greatest_exposure(rules);
  out.division = rules.courses.division;
  return out;
}

lapw_nail_rules nail_defaults() {
  const lapwright::Rules rules;
  lapw_nail_rules out{};
  out.struct_size = sizeof out;
  out.sheathing_holds_nails = rules.sheathing.holds_nails;
  out.board_width = rules.board.width;
  out.board_thickness = rules.board.thickness;
  out.min_lap = rules.board.min_lap;
  out.length = rules.fasteners.length;
  out.shank = rules.fasteners.shank;
  out.head = rules.fasteners.head;
  out.top_edge = rules.fasteners.top_edge;
  out.end_edge = rules.fasteners.end_edge;
  out.edge = rules.fasteners.edge;
  out.end_reach = rules.fasteners.end_reach;
  out.min_penetration = rules.fasteners.min_penetration;
  out.min_framing_share = rules.fasteners.min_framing_share;
  out.sheathing_thickness = rules.sheathing.thickness;
  return out;
}

}  // namespace

double positive(double value, const std::string& path) {
  if (!(finite(value, path) > 0) || value > lapwright::greatest_length)
    throw lapwright::Refused(path, "must be above 0 and at most 100000 in");
  return value;
}

bool flag(std::int32_t value, const std::string& path) {
  if (value != 0 && value != 1) throw argument(path, "must be 0 or 1, got " + std::to_string(value));
  return value == 1;
}

void unused(std::int32_t value, const std::string& path) {
  if (value != 0) throw CallError(LAPW_E_UNSUPPORTED, path, "must be 0: this library knows no use of it");
}

lapwright::Ring ring_in(const double* xy, std::int64_t count, const std::string& path) {
  lapwright::Ring ring;
  for (std::int64_t i = 0; i < count; ++i)
    ring.push_back({lapwright::snap(finite(xy[2 * i], path)), lapwright::snap(finite(xy[2 * i + 1], path))});
  return ring;
}

lapwright::Pole pole_in(const double* lines, std::int64_t count, double board_width) {
  check_list(lines, count, "lines");
  lapwright::Pole pole;
  for (std::int64_t i = 0; i < count; ++i) {
    pole.lines.push_back(finite(lines[i], at("lines", i)));
    if (std::abs(lines[i]) > lapwright::greatest_length)
      throw lapwright::Refused(at("lines", i), "must be within 100000 in of the datum");
    if (i == 0) continue;
    const double exposure = lines[i] - lines[i - 1];
    if (!(exposure > 0) || exposure > board_width)
      throw lapwright::Refused(at("lines", i), "lines must ascend by no more than the board's width");
    pole.exposures.push_back(exposure);
  }
  return pole;
}

lapw_framing framing_defaults() {
  const lapwright::Framing framing;
  lapw_framing out{};
  out.struct_size = sizeof out;
  out.spacing = framing.spacing;
  out.first = framing.first;
  out.stud_width = framing.stud_width;
  out.opening_stud = framing.opening_stud;
  out.around_openings = framing.around_openings;
  return out;
}

lapwright::Framing framing_in(const lapw_framing& frame, const std::string& path) {
  lapwright::Framing out;
  unused(frame.reserved, path + ".reserved");
  unused(frame.reserved2, path + ".reserved2");
  out.spacing = finite(frame.spacing, path + ".spacing");
  if (out.spacing != 0 && !(out.spacing >= 1))
    throw lapwright::Refused(path + ".spacing", "must be 0 or at least 1 in");
  out.first = finite(frame.first, path + ".first");
  out.stud_width = positive(frame.stud_width, path + ".stud_width");
  check_list(frame.studs, frame.stud_count, (path + ".studs").c_str());
  for (std::int64_t i = 0; i < frame.stud_count; ++i)
    out.studs.push_back(finite(frame.studs[i], path + at(".studs", i)));
  check_list(frame.members, frame.member_count, (path + ".members").c_str());
  for (std::int64_t i = 0; i < frame.member_count; ++i) {
    const lapw_rectangle& m = frame.members[i];
    const std::string member = path + at(".members", i);
    out.members.push_back(
        {finite(m.x_min, member), finite(m.y_min, member), finite(m.x_max, member), finite(m.y_max, member)});
  }
  out.opening_stud = finite(frame.opening_stud, path + ".opening_stud");
  out.around_openings = flag(frame.around_openings, path + ".around_openings");
  return out;
}

}  // namespace lapw

extern "C" {

lapw_status lapw_parse_length(const char* text, int64_t size, double* inches, lapw_error* error) noexcept {
  return lapw::guard(nullptr, error, [&] {
    if (!inches) throw lapw::argument("inches", "must not be NULL");
    *inches = 0;
    *inches = lapwright::parse_length(lapw::text_in(text, size, "text"));
  });
}

lapw_status lapw_format_length(double inches, double division, int32_t style, char* buffer,
                               int64_t buffer_size, int64_t* needed, lapw_error* error) noexcept {
  return lapw::guard(nullptr, error, [&] {
    if (needed) *needed = 0;
    if (buffer_size < 0 || (buffer_size > 0 && !buffer))
      throw lapw::argument("buffer", "must not be NULL, and its size not negative");
    if (buffer_size > 0) buffer[0] = '\0';
    if (style != LAPW_INCHES && style != LAPW_FEET_INCHES)
      throw lapw::CallError(LAPW_E_UNSUPPORTED, "style", "a style that this library does not know");
    const std::string text = lapwright::format_length(
        lapw::finite(inches, "inches"), lapw::finite(division, "division"),
        style == LAPW_INCHES ? lapwright::LengthStyle::inches : lapwright::LengthStyle::feet_inches);
    if (needed) *needed = static_cast<std::int64_t>(text.size()) + 1;
    if (static_cast<std::int64_t>(text.size()) >= buffer_size)
      throw lapw::argument(
          "buffer_size", "the buffer is too small: " + std::to_string(text.size() + 1) + " bytes are needed");
    std::memcpy(buffer, text.c_str(), text.size() + 1);
  });
}

lapw_status lapw_lap_profile(double width, double thickness, double exposure, double top_edge,
                             lapw_lap_figures* out, lapw_error* error) noexcept {
  return lapw::guard(nullptr, error, [&] {
    if (!out) throw lapw::argument("out", "must not be NULL");
    const std::uint32_t size = out->struct_size;
    if (size < lapw::lap_figures_first || size > lapw::most_struct)
      throw lapw::CallError(LAPW_E_STRUCT_SIZE, "out", "struct_size is no size of it; was it set to sizeof?");
    const lapwright::LapProfile lap =
        lapwright::lap_profile(lapw::finite(width, "width"), lapw::finite(thickness, "thickness"),
                               lapw::finite(exposure, "exposure"), lapw::finite(top_edge, "top_edge"));
    // In the header's order; a caller's struct may end before ours does.
    const lapw_lap_figures figures{size,
                                   0,
                                   lap.slope,
                                   lap.angle,
                                   lap.edge_stand_off,
                                   lap.face_projection,
                                   lap.nail_stand_off,
                                   lap.least_trim,
                                   lap.starter_width,
                                   lap.starter_thickness};
    std::memcpy(out, &figures, std::min<std::size_t>(size, sizeof figures));
  });
}

lapw_status lapw_course_rules_init(lapw_course_rules* rules, uint32_t struct_size) noexcept {
  return lapw::init_struct(rules, struct_size, lapw::course_defaults(), lapw::course_rules_first);
}

lapw_status lapw_lay_courses(const lapw_wall_heights* walls, int64_t wall_count,
                             const lapw_course_rules* given, lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out) throw lapw::argument("out", "must not be NULL");
    lapw::check_list(walls, wall_count, "walls");
    const lapw_course_rules chosen =
        lapw::read_struct(given, lapw::course_defaults(), lapw::course_rules_first, "rules");
    lapwright::Rules rules;
    rules.board.width = lapw::positive(chosen.board_width, "rules.board_width");
    rules.board.min_lap = lapw::finite(chosen.min_lap, "rules.min_lap");
    switch (chosen.mode) {
      case LAPW_MODE_FULL:
        rules.courses.mode = lapwright::CourseMode::full;
        break;
      case LAPW_MODE_EVEN:
        rules.courses.mode = lapwright::CourseMode::even;
        break;
      case LAPW_MODE_FITTED:
        rules.courses.mode = lapwright::CourseMode::fitted;
        break;
      default:
        throw lapw::CallError(LAPW_E_UNSUPPORTED, "rules.mode", "a mode that this library does not know");
    }
    if (lapw::finite(chosen.max_exposure, "rules.max_exposure") != 0)
      rules.courses.max_exposure = chosen.max_exposure;
    if (lapw::finite(chosen.min_exposure, "rules.min_exposure") != 0)
      rules.courses.min_exposure = chosen.min_exposure;
    rules.courses.division = lapw::positive(chosen.division, "rules.division");
    rules.courses.max_step = lapw::finite(chosen.max_step, "rules.max_step");
    rules.courses.min_strip = lapw::finite(chosen.min_strip, "rules.min_strip");
    lapw::check_list(chosen.built_lines, chosen.built_count, "rules.built_lines");
    for (std::int64_t i = 0; i < chosen.built_count; ++i)
      rules.courses.lines.push_back(lapw::finite(chosen.built_lines[i], lapw::at("rules.built_lines", i)));

    std::vector<lapwright::WallHeights> heights;
    for (std::int64_t i = 0; i < wall_count; ++i) {
      const lapw_wall_heights row = lapw::row_at(walls, i, lapw::wall_heights_first, "walls");
      const std::string path = lapw::at("walls", i);
      lapwright::WallHeights wall;
      wall.wall = row.name ? row.name : "wall " + std::to_string(i + 1);
      wall.lowest = lapwright::snap(lapw::finite(row.lowest, path + ".lowest"));
      wall.highest = lapwright::snap(lapw::finite(row.highest, path + ".highest"));
      if (std::abs(wall.lowest) > lapwright::greatest_length ||
          std::abs(wall.highest) > lapwright::greatest_length)
        throw lapwright::Refused(path, "heights must be within 100000 in of the datum");
      if (lapw::flag(row.has_start, path + ".has_start"))
        wall.start = lapwright::Interval{lapw::finite(row.start_low, path + ".start_low"),
                                         lapw::finite(row.start_high, path + ".start_high")};
      lapw::check_list(row.marks, row.mark_count, (path + ".marks").c_str());
      for (std::int64_t m = 0; m < row.mark_count; ++m) {
        lapwright::Mark mark;
        mark.height = lapwright::snap(lapw::finite(row.marks[m].height, path + lapw::at(".marks", m)));
        lapw::unused(row.marks[m].reserved, path + lapw::at(".marks", m));
        mark.board_below = lapw::flag(row.marks[m].board_below, path + lapw::at(".marks", m));
        mark.label = "mark " + std::to_string(m + 1);
        wall.marks.push_back(mark);
      }
      heights.push_back(std::move(wall));
    }
    const lapwright::Courses courses = lapwright::lay_courses(heights, rules);
    auto result = std::make_unique<lapw_result>();
    lapw::add_pole(*result, courses.pole);
    for (std::size_t w = 0; w < heights.size(); ++w)
      result->walls.push_back(lapw::wall_row(*result, heights[w].wall, courses.walls[w]));
    lapw::add_findings(*result, courses.findings);
    lapw_totals totals{};
    totals.gauge_settings = courses.pole.settings;
    result->totals.push_back(totals);
    *out = result.release();
  });
}

lapw_status lapw_rake_input_init(lapw_rake_input* input, uint32_t struct_size) noexcept {
  return lapw::init_struct(input, struct_size, lapw::rake_defaults(), lapw::rake_input_first);
}

lapw_status lapw_rake_template(const lapw_rake_input* given, lapw_result** out, lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out || !given) throw lapw::argument(out ? "input" : "out", "must not be NULL");
    const lapw_rake_input input =
        lapw::read_struct(given, lapw::rake_defaults(), lapw::rake_input_first, "input");
    if (input.hand != LAPW_LEFT && input.hand != LAPW_RIGHT)
      throw lapw::CallError(LAPW_E_UNSUPPORTED, "input.hand", "must be LAPW_LEFT or LAPW_RIGHT");
    lapwright::Rules rules;
    rules.board.width = lapw::positive(input.board_width, "input.board_width");
    rules.courses.division = lapw::positive(input.division, "input.division");
    const double exposure = lapw::positive(input.exposure, "input.exposure");
    const lapwright::Hand hand = input.hand == LAPW_LEFT ? lapwright::Hand::left : lapwright::Hand::right;
    lapw::finite(input.rise, "input.rise");
    lapw::finite(input.run, "input.run");
    lapw::finite(input.degrees, "input.degrees");
    const lapwright::RakeTemplate shape =
        input.rise == 0 && input.run == 0
            ? lapwright::rake_template_from_angle(input.degrees, hand, rules, exposure)
            : lapwright::rake_template(input.rise, input.run, hand, rules, exposure);
    auto result = std::make_unique<lapw_result>();
    lapw::add_template(*result, shape, -1);
    try {
      result->text = lapwright::draw_rake_template(shape).front();
    } catch (const lapwright::Refused&) {
      result->text.clear();  // too large for paper; the figures stand
    }
    *out = result.release();
  });
}

lapw_status lapw_cut_lengths(const lapw_demand* demands, int64_t demand_count, const lapw_stock* stock,
                             int64_t stock_count, double kerf, double effort, lapw_result** out,
                             lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out) throw lapw::argument("out", "must not be NULL");
    lapw::check_list(demands, demand_count, "demands");
    lapw::check_list(stock, stock_count, "stock");
    lapw::finite(kerf, "kerf");
    lapw::finite(effort, "effort");
    std::vector<lapwright::CutDemand> wanted;
    for (std::int64_t i = 0; i < demand_count; ++i)
      wanted.push_back(
          {lapw::finite(demands[i].length, lapw::at("demands", i) + ".length"), demands[i].count});
    std::vector<lapwright::CutStock> boards;
    for (std::int64_t i = 0; i < stock_count; ++i)
      boards.push_back({lapw::finite(stock[i].length, lapw::at("stock", i) + ".length"),
                        lapw::finite(stock[i].price, lapw::at("stock", i) + ".price")});
    const lapwright::CutLengths cut = lapwright::cut_lengths(wanted, boards, kerf, effort);
    auto result = std::make_unique<lapw_result>();
    for (std::size_t p = 0; p < cut.patterns.size(); ++p)
      for (std::size_t d = 0; d < cut.patterns[p].pieces.size(); ++d)
        if (cut.patterns[p].pieces[d] > 0)
          result->patterns.push_back({static_cast<std::int64_t>(p),
                                      static_cast<std::int64_t>(cut.patterns[p].stock), cut.patterns[p].count,
                                      static_cast<std::int64_t>(d), cut.patterns[p].pieces[d]});
    lapw_totals totals{};
    totals.cost = cut.cost;
    totals.proven_minimum = cut.bound;
    result->totals.push_back(totals);
    *out = result.release();
  });
}

lapw_status lapw_nail_rules_init(lapw_nail_rules* rules, uint32_t struct_size) noexcept {
  return lapw::init_struct(rules, struct_size, lapw::nail_defaults(), lapw::nail_rules_first);
}

lapw_status lapw_place_fasteners(const lapw_nail_piece* pieces, int64_t piece_count, const double* lines,
                                 int64_t line_count, const lapw_framing* given_framing,
                                 const lapw_nail_rules* given_rules, lapw_result** out,
                                 lapw_error* error) noexcept {
  return lapw::guard(out, error, [&] {
    if (!out) throw lapw::argument("out", "must not be NULL");
    if (!given_framing) throw lapw::argument("framing", "must not be NULL: it says where the wall ends");
    lapw::check_list(pieces, piece_count, "pieces");
    const lapw_nail_rules chosen =
        lapw::read_struct(given_rules, lapw::nail_defaults(), lapw::nail_rules_first, "rules");
    const lapw_framing frame =
        lapw::read_struct(given_framing, lapw::framing_defaults(), lapw::framing_first, "framing");

    lapwright::Rules rules;
    rules.board.width = lapw::positive(chosen.board_width, "rules.board_width");
    rules.board.thickness = lapw::positive(chosen.board_thickness, "rules.board_thickness");
    rules.board.min_lap = lapw::finite(chosen.min_lap, "rules.min_lap");
    rules.board.lengths = {lapwright::greatest_length};
    rules.sheathing.thickness = lapw::finite(chosen.sheathing_thickness, "rules.sheathing_thickness");
    rules.sheathing.holds_nails = lapw::flag(chosen.sheathing_holds_nails, "rules.sheathing_holds_nails");
    rules.fasteners.length = lapw::positive(chosen.length, "rules.length");
    rules.fasteners.shank = lapw::positive(chosen.shank, "rules.shank");
    rules.fasteners.head = lapw::positive(chosen.head, "rules.head");
    rules.fasteners.top_edge = lapw::positive(chosen.top_edge, "rules.top_edge");
    rules.fasteners.end_edge = lapw::positive(chosen.end_edge, "rules.end_edge");
    rules.fasteners.edge = lapw::positive(chosen.edge, "rules.edge");
    rules.fasteners.end_reach = lapw::positive(chosen.end_reach, "rules.end_reach");
    rules.fasteners.min_penetration = lapw::finite(chosen.min_penetration, "rules.min_penetration");
    rules.fasteners.min_framing_share = lapw::finite(chosen.min_framing_share, "rules.min_framing_share");
    if (lapw::finite(chosen.max_spacing, "rules.max_spacing") != 0)
      rules.fasteners.max_spacing = lapw::positive(chosen.max_spacing, "rules.max_spacing");

    lapwright::Wall wall;
    wall.name = "wall";
    if (!(lapw::finite(frame.wall_x_min, "framing.wall_x_min") <
          lapw::finite(frame.wall_x_max, "framing.wall_x_max")))
      throw lapwright::Refused("framing.wall_x_max", "must be right of wall_x_min");
    if (std::abs(frame.wall_x_min) > lapwright::greatest_length ||
        std::abs(frame.wall_x_max) > lapwright::greatest_length)
      throw lapwright::Refused("framing", "the wall must lie within 100000 in of x = 0");
    wall.framing = lapw::framing_in(frame, "framing");
    wall.framing.around_openings = false;

    const lapwright::Pole pole = lapw::pole_in(lines, line_count, rules.board.width);
    lapwright::WallCourses courses;
    courses.last_course = -1;
    courses.first_course = static_cast<int>(line_count);
    std::vector<lapwright::Piece> list;
    double y_min = 0, y_max = 1;
    for (std::int64_t i = 0; i < piece_count; ++i) {
      const lapw_nail_piece row = lapw::row_at(pieces, i, lapw::nail_piece_first, "pieces");
      const std::string path = lapw::at("pieces", i);
      if (row.course < 0 || row.course >= line_count)
        throw lapwright::Refused(path + ".course", "must be the index of a line");
      lapw::check_list(row.xy, row.vertex_count, (path + ".xy").c_str());
      if (row.vertex_count < 3)
        throw lapwright::Refused(path + ".vertex_count", "an outline needs at least 3 vertices");
      lapwright::Piece piece;
      piece.id = std::to_string(i);
      piece.course = row.course;
      piece.y = pole.lines[static_cast<std::size_t>(row.course)];
      piece.outline = lapw::ring_in(row.xy, row.vertex_count, path + ".xy");
      if (!(lapwright::detail::signed_area(piece.outline) > 0))
        throw lapwright::Refused(path + ".xy", "the outline must run counter-clockwise around an area");
      const lapwright::Box box = lapwright::detail::bounds(piece.outline);
      if (box.y_min < piece.y - lapwright::tolerance ||
          box.y_max > piece.y + rules.board.width + lapwright::tolerance)
        throw lapwright::Refused(path + ".xy",
                                 "the outline must lie within a board's width above its course line");
      if (std::abs(box.x_min) > lapwright::greatest_length ||
          std::abs(box.x_max) > lapwright::greatest_length)
        throw lapwright::Refused(path + ".xy", "the outline must lie within 100000 in of x = 0");
      piece.x_min = box.x_min;
      piece.x_max = box.x_max;
      piece.length = box.x_max - box.x_min;
      const bool joint_left = lapw::flag(row.joint_left, path + ".joint_left"),
                 joint_right = lapw::flag(row.joint_right, path + ".joint_right");
      piece.left.meets = joint_left ? lapwright::Meets::joint : lapwright::Meets::corner;
      piece.right.meets = joint_right ? lapwright::Meets::joint : lapwright::Meets::corner;
      piece.left.factory = joint_left;
      piece.right.factory = joint_right;
      courses.first_course = std::min(courses.first_course, row.course);
      courses.last_course = std::max(courses.last_course, row.course);
      y_min = i == 0 ? box.y_min : std::min(y_min, box.y_min);
      y_max = i == 0 ? box.y_max : std::max(y_max, box.y_max);
      list.push_back(std::move(piece));
    }
    wall.outline = {{frame.wall_x_min, y_min},
                    {frame.wall_x_max, y_min},
                    {frame.wall_x_max, y_max},
                    {frame.wall_x_min, y_max}};
    wall.edges.assign(4, lapwright::Edge{});
    if (courses.last_course >= 0)
      courses.last_rip = y_max - pole.lines[static_cast<std::size_t>(courses.last_course)];

    const lapwright::Fastening fastening =
        lapwright::place_fasteners(wall, {}, pole, courses, list, {}, rules);
    auto result = std::make_unique<lapw_result>();
    for (std::size_t i = 0; i < fastening.pieces.size(); ++i)
      for (const lapwright::Nail& nail : fastening.pieces[i])
        lapw::add_nail(*result, nail, static_cast<std::int64_t>(i), -1);
    lapw_plan_wall row = lapw::wall_row(*result, wall.name, courses);
    row.framing_share = fastening.framing_share;
    row.least_penetration = fastening.least_penetration;
    result->walls.push_back(row);
    lapw::add_findings(*result, fastening.findings);
    *out = result.release();
  });
}

}  // extern "C"
