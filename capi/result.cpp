#include "result.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <type_traits>

#include <lapwright/document.hpp>

#define LAPW_STRING_(x) #x
#define LAPW_STRING(x) LAPW_STRING_(x)

// The layout is frozen within an ABI; tests/abi/layout.txt holds the rest.
static_assert(sizeof(lapw_error) == 512, "lapw_error is part of the ABI");
static_assert(sizeof(void*) != 8 || sizeof(lapw_table) == 24, "lapw_table is part of the ABI");

namespace lapw {

void report(lapw_error* error, lapw_status status, std::string_view path, std::string_view message,
            std::int64_t faults) noexcept {
  if (!error || error->struct_size < sizeof(lapw_error)) return;
  error->code = status;
  error->fault_count = faults;
  // A text that does not fit is cut between letters and says so.
  const auto copy = [](char* to, std::size_t size, std::string_view from) {
    std::size_t n = from.size();
    const bool cut = n > size - 1;
    if (cut) {
      n = size - 4;
      while (n > 0 && (static_cast<unsigned char>(from[n]) & 0xC0) == 0x80) --n;
    }
    if (n) std::memcpy(to, from.data(), n);
    if (cut) {
      std::memcpy(to + n, "...", 3);
      n += 3;
    }
    to[n] = '\0';
  };
  copy(error->path, sizeof error->path, path);
  copy(error->message, sizeof error->message, message);
}

lapw_status fail(lapw_result** out, lapw_error* error) noexcept {
  try {
    throw;
  } catch (const lapwright::Refused& refused) {
    try {
      const std::string path = refused.faults.empty() ? "" : refused.faults.front().path;
      const std::string message = refused.what();
      if (out) {
        auto result = std::make_unique<lapw_result>();
        for (const lapwright::Fault& fault : refused.faults)
          result->faults.push_back({result->keep(fault.path), result->keep(fault.message)});
        result->text = lapwright::write_refusal(refused);
        *out = result.release();
      }
      report(error, LAPW_E_REFUSED, path, message, static_cast<std::int64_t>(refused.faults.size()));
      return LAPW_E_REFUSED;
    } catch (const std::bad_alloc&) {
      report(error, LAPW_E_MEMORY, "", "out of memory", 0);
      return LAPW_E_MEMORY;
    } catch (...) {
      report(error, LAPW_E_INTERNAL, "", "the refusal could not be written", 0);
      return LAPW_E_INTERNAL;
    }
  } catch (const CallError& call) {
    report(error, call.status, call.path, call.message, 1);
    return call.status;
  } catch (const std::bad_alloc&) {
    report(error, LAPW_E_MEMORY, "", "out of memory", 0);
    return LAPW_E_MEMORY;
  } catch (const std::exception& other) {
    report(error, LAPW_E_INTERNAL, "", other.what(), 0);
    return LAPW_E_INTERNAL;
  } catch (...) {
    report(error, LAPW_E_INTERNAL, "", "an unknown exception", 0);
    return LAPW_E_INTERNAL;
  }
}

std::string_view text_in(const char* text, std::int64_t size, const char* name) {
  if (!text) throw argument(name, "the text must not be NULL");
  if (size < -1) throw argument(name, "the size must be a byte count, or -1 for NUL-terminated text");
  return size == -1 ? std::string_view(text) : std::string_view(text, static_cast<std::size_t>(size));
}

void check_list(const void* rows, std::int64_t count, const char* name) {
  if (count < 0 || count > most_rows)
    throw argument(name,
                   "the count must be 0 to " + std::to_string(most_rows) + ", got " + std::to_string(count));
  if (count > 0 && !rows) throw argument(name, "the rows must not be NULL");
}

double finite(double value, const std::string& path) {
  if (!std::isfinite(value)) throw argument(path, "must be a finite number");
  return value;
}

namespace {

const double none = std::numeric_limits<double>::quiet_NaN();

std::int64_t add_path(lapw_result& result, const std::vector<lapwright::Point>& path) {
  const auto first = static_cast<std::int64_t>(result.vertices.size());
  for (lapwright::Point p : path) result.vertices.push_back({p.x, p.y});
  return first;
}

// Enumerations of the library and of the C interface are told apart, so that either may grow.
std::int32_t number(lapwright::Meets meets) {
  using lapwright::Meets;
  switch (meets) {
    case Meets::base:
      return LAPW_MEETS_BASE;
    case Meets::corner:
      return LAPW_MEETS_CORNER;
    case Meets::top:
      return LAPW_MEETS_TOP;
    case Meets::rake:
      return LAPW_MEETS_RAKE;
    case Meets::roof:
      return LAPW_MEETS_ROOF;
    case Meets::wall:
      return LAPW_MEETS_WALL;
    case Meets::opening:
      return LAPW_MEETS_OPENING;
    case Meets::joint:
      return LAPW_MEETS_JOINT;
    case Meets::filler:
      return LAPW_MEETS_FILLER;
  }
  return LAPW_MEETS_CORNER;
}
std::int32_t number(lapwright::CutKind kind) {
  using lapwright::CutKind;
  switch (kind) {
    case CutKind::crosscut:
      return LAPW_CROSSCUT;
    case CutKind::rip:
      return LAPW_RIP;
    case CutKind::rake:
      return LAPW_RAKE;
    case CutKind::notch:
      return LAPW_NOTCH;
  }
  return LAPW_CROSSCUT;
}
std::int32_t number(lapwright::NailBase base) {
  using lapwright::NailBase;
  switch (base) {
    case NailBase::stud:
      return LAPW_STUD;
    case NailBase::member:
      return LAPW_MEMBER;
    case NailBase::sheathing:
      return LAPW_SHEATHING;
  }
  return LAPW_SHEATHING;
}
std::int32_t number(lapwright::StarterPlace place) {
  using lapwright::StarterPlace;
  switch (place) {
    case StarterPlace::base:
      return LAPW_AT_BASE;
    case StarterPlace::head:
      return LAPW_AT_HEAD;
    case StarterPlace::roof:
      return LAPW_AT_ROOF;
  }
  return LAPW_AT_BASE;
}

template <class List>
std::int64_t count_of(const List& list) {
  return static_cast<std::int64_t>(list.size());
}

}  // namespace

void add_piece(lapw_result& result, const lapwright::Piece& piece, const std::vector<lapwright::Nail>& nails,
               std::int64_t wall) {
  lapw_piece row{};
  row.id = result.keep(piece.id);
  row.callout = result.keep(piece.callout);
  row.wall = wall;
  row.x_min = piece.x_min;
  row.x_max = piece.x_max;
  row.y = piece.y;
  row.length = piece.length;
  row.first_ring = add_ring(result, piece.outline);
  for (const lapwright::Ring& hole : piece.holes) add_ring(result, hole);
  row.ring_count = 1 + count_of(piece.holes);
  row.course = piece.course;
  row.filler = piece.filler;
  row.left_meets = number(piece.left.meets);
  row.right_meets = number(piece.right.meets);
  row.left_factory = piece.left.factory;
  row.right_factory = piece.right.factory;
  row.left_seal = piece.left.seal;
  row.right_seal = piece.right.seal;
  const std::int64_t index = count_of(result.pieces);
  row.first_cut = count_of(result.cuts);
  for (const lapwright::Cut& cut : piece.cuts) {
    lapw_cut c{};
    c.callout = result.keep(cut.callout);
    c.back_callout = result.keep(cut.back_callout);
    c.print = result.keep(cut.print);
    c.piece = index;
    c.first_front = add_path(result, cut.front);
    c.front_count = count_of(cut.front);
    c.first_back = add_path(result, cut.back);
    c.back_count = count_of(cut.back);
    c.long_point = cut.long_point.value_or(none);
    c.short_point = cut.short_point.value_or(none);
    c.kind = number(cut.kind);
    c.tool = cut.tool == lapwright::Tool::shears ? LAPW_SHEARS : LAPW_SAW;
    c.seal = cut.seal;
    result.cuts.push_back(c);
  }
  row.cut_count = count_of(piece.cuts);
  row.first_nail = count_of(result.nails);
  for (const lapwright::Nail& nail : nails) add_nail(result, nail, index, -1);
  row.nail_count = count_of(nails);
  result.pieces.push_back(row);
}

void add_findings(lapw_result& result, const std::vector<lapwright::Finding>& findings) {
  for (const lapwright::Finding& finding : findings)
    result.findings.push_back({result.keep(finding.code), result.keep(finding.wall),
                               result.keep(finding.piece), result.keep(finding.message),
                               finding.severity == lapwright::Severity::warning ? LAPW_WARNING : LAPW_NOTE,
                               finding.course.value_or(-1), finding.measured.value_or(none),
                               finding.limit.value_or(none)});
}

std::int64_t add_ring(lapw_result& result, const lapwright::Ring& ring) {
  result.rings.push_back({add_path(result, ring), count_of(ring)});
  return count_of(result.rings) - 1;
}

void add_pole(lapw_result& result, const lapwright::Pole& pole) {
  for (std::size_t k = 0; k < pole.lines.size(); ++k)
    result.lines.push_back({pole.lines[k], k < pole.exposures.size() ? pole.exposures[k] : 0.0,
                            static_cast<int>(k) < pole.built ? 1 : 0, 0});
}

lapw_plan_wall wall_row(lapw_result& result, const std::string& name, const lapwright::WallCourses& courses) {
  lapw_plan_wall row{};
  row.name = result.keep(name);
  row.first_course = courses.first_course;
  row.last_course = courses.last_course;
  row.ripped_start = courses.ripped_start;
  row.last_rip = courses.last_rip;
  row.first_piece = count_of(result.pieces);
  row.first_joint = count_of(result.joints);
  row.first_starter = count_of(result.starters);
  row.first_template = count_of(result.templates);
  return row;
}

void add_starter(lapw_result& result, const lapwright::Starter& starter, std::int64_t wall) {
  result.starters.push_back({result.keep(starter.id), wall, starter.from.x, starter.from.y, starter.to.x,
                             starter.to.y, starter.width, number(starter.where), 0});
}

void add_nail(lapw_result& result, const lapwright::Nail& nail, std::int64_t piece, std::int64_t starter) {
  result.nails.push_back({piece, starter, nail.at.x, nail.at.y, nail.penetration, nail.board,
                          nail.board_below, nail.stand_off, nail.sheathing, nail.stud_edge, number(nail.into),
                          nail.face ? 1 : 0});
}

void add_template(lapw_result& result, const lapwright::RakeTemplate& shape, std::int64_t wall) {
  lapw_template row{};
  row.wall = wall;
  row.rise = shape.rise;
  row.run = shape.run;
  row.angle = shape.angle;
  row.offset = shape.offset;
  row.step = shape.step;
  row.square_run = shape.square.x;
  row.square_rise = shape.square.y;
  row.error = shape.error;
  row.fence = shape.fence;
  row.stock_length = shape.stock_length;
  row.stock_width = shape.stock_width;
  row.first_ring = add_ring(result, shape.outline);
  row.ring_count = 1;
  row.hand = shape.hand == lapwright::Hand::left ? LAPW_LEFT : LAPW_RIGHT;
  row.uses = shape.uses;
  result.templates.push_back(row);
}

void add_joint(lapw_result& result, const lapwright::Joint& joint, std::int64_t wall, std::int64_t run) {
  result.joints.push_back({wall, run, joint.x, joint.stud, joint.course, joint.left_factory ? 1 : 0,
                           joint.right_factory ? 1 : 0, 0});
}

void Names::list(const lapw_result& result) {
  for (const lapw_piece& piece : result.pieces) add_piece(piece.id, piece.length);
  for (const lapw_starter& starter : result.starters) add_starter(starter.id);
}

// Placements name what they cut; the tables point at it.
void add_boards(lapw_result& result, const std::vector<lapwright::Board>& boards, Names& names,
                double board_width) {
  names.sort();
  for (const lapwright::Board& board : boards) {
    const std::int64_t index = count_of(result.boards);
    result.boards.push_back({board.length, board.price, count_of(result.placements), count_of(board.cut),
                             count_of(result.offcuts), count_of(board.offcuts), board.id, board.on_hand});
    for (const lapwright::Placement& p : board.cut) {
      lapw_placement out{};
      out.board = index;
      out.piece = p.piece.empty() ? -1 : names.piece(p.piece);
      out.starter = p.piece.empty() ? names.starter(p.starter) : -1;
      out.x = p.at.x;
      out.y = p.at.y;
      out.width = out.piece >= 0 ? names.length(out.piece) : p.size.x;
      out.height = out.piece >= 0 ? board_width : p.size.y;
      out.turned = p.turned;
      result.placements.push_back(out);
    }
    for (const lapwright::Offcut& o : board.offcuts)
      result.offcuts.push_back({index, o.at.x, o.at.y, o.size.x, o.size.y});
  }
}

void add_plan(lapw_result& result, const lapwright::Job& job, const lapwright::Plan& plan) {
  add_pole(result, plan.pole);
  for (std::size_t w = 0; w < plan.walls.size(); ++w) {
    const lapwright::PlanWall& wall = plan.walls[w];
    const auto index = static_cast<std::int64_t>(w);
    lapw_plan_wall row = wall_row(result, wall.name, wall.courses);
    row.region_area = wall.region_area;
    row.framing_share = wall.framing_share;
    row.least_penetration = wall.least_penetration;
    static const std::vector<lapwright::Nail> no_nails;
    for (std::size_t i = 0; i < wall.pieces.size(); ++i)
      add_piece(result, wall.pieces[i], i < wall.nails.size() ? wall.nails[i] : no_nails, index);
    for (const lapwright::Joint& joint : wall.joints) add_joint(result, joint, index, -1);
    for (std::size_t i = 0; i < wall.starters.size(); ++i) {
      if (i < wall.starter_nails.size())
        for (const lapwright::Nail& nail : wall.starter_nails[i])
          add_nail(result, nail, -1, count_of(result.starters));
      add_starter(result, wall.starters[i], index);
    }
    for (const lapwright::RakeTemplate& shape : wall.templates) add_template(result, shape, index);
    row.piece_count = count_of(wall.pieces);
    row.joint_count = count_of(wall.joints);
    row.starter_count = count_of(wall.starters);
    row.template_count = count_of(wall.templates);
    result.walls.push_back(row);
  }
  Names names;
  names.list(result);
  add_boards(result, plan.boards, names, job.rules.board.width);
  for (const lapwright::OrderLine& line : plan.order.boards)
    result.order.push_back({line.length, line.count});
  const lapwright::Order& order = plan.order;
  lapw_totals totals{};
  totals.cost = order.cost;
  totals.proven_minimum = order.proven_minimum;
  totals.sealant_inches = order.sealant_inches;
  totals.prime_inches = order.prime_inches;
  totals.starter_inches = order.starter_inches;
  totals.weight_lb = order.weight_lb;
  totals.allowance_boards = order.allowance_boards;
  totals.cartridges = order.cartridges;
  totals.joint_flashings = order.joint_flashings;
  totals.nails_stud = order.nails.stud;
  totals.nails_member = order.nails.member;
  totals.nails_sheathing = order.nails.sheathing;
  totals.nails_face = order.nails.face;
  totals.gauge_settings = plan.pole.settings;
  result.totals.push_back(totals);
  for (const lapwright::Lift& lift : plan.staging) {
    std::int64_t wall = -1;
    for (std::size_t w = 0; w < plan.walls.size(); ++w)
      if (plan.walls[w].name == lift.wall) wall = static_cast<std::int64_t>(w);
    result.lifts.push_back(
        {wall, lift.weight_lb, lift.lift, lift.first_course, lift.last_course, lift.pieces});
  }
  add_findings(result, plan.findings);
  for (const std::string& caution : plan.cautions) result.cautions.push_back({result.keep(caution)});
}

}  // namespace lapw

extern "C" {

uint32_t lapw_abi_version(void) noexcept {
  return LAPW_ABI_VERSION;
}

const char* lapw_version(void) noexcept {
  return LAPW_STRING(LAPW_VERSION_MAJOR) "." LAPW_STRING(LAPW_VERSION_MINOR) "." LAPW_STRING(
      LAPW_VERSION_PATCH);
}

const char* lapw_status_name(lapw_status status) noexcept {
  switch (status) {
    case LAPW_OK:
      return "LAPW_OK";
    case LAPW_E_MEMORY:
      return "LAPW_E_MEMORY";
    case LAPW_E_ARGUMENT:
      return "LAPW_E_ARGUMENT";
    case LAPW_E_STRUCT_SIZE:
      return "LAPW_E_STRUCT_SIZE";
    case LAPW_E_UNSUPPORTED:
      return "LAPW_E_UNSUPPORTED";
    case LAPW_E_REFUSED:
      return "LAPW_E_REFUSED";
    default:
      return "LAPW_E_INTERNAL";
  }
}

lapw_status lapw_result_table(const lapw_result* result, int32_t table, lapw_table* out) noexcept {
  if (!result || !out) return LAPW_E_ARGUMENT;
  if (out->struct_size < sizeof *out) return LAPW_E_STRUCT_SIZE;
  const auto view = [&](const auto& rows) {
    out->row_size = sizeof(typename std::decay_t<decltype(rows)>::value_type);
    out->rows = rows.empty() ? nullptr : rows.data();
    out->count = static_cast<std::int64_t>(rows.size());
    return LAPW_OK;
  };
  switch (table) {
    case LAPW_TABLE_FAULTS:
      return view(result->faults);
    case LAPW_TABLE_FINDINGS:
      return view(result->findings);
    case LAPW_TABLE_LINES:
      return view(result->lines);
    case LAPW_TABLE_WALLS:
      return view(result->walls);
    case LAPW_TABLE_JOINTS:
      return view(result->joints);
    case LAPW_TABLE_PIECES:
      return view(result->pieces);
    case LAPW_TABLE_RINGS:
      return view(result->rings);
    case LAPW_TABLE_VERTICES:
      return view(result->vertices);
    case LAPW_TABLE_CUTS:
      return view(result->cuts);
    case LAPW_TABLE_NAILS:
      return view(result->nails);
    case LAPW_TABLE_STARTERS:
      return view(result->starters);
    case LAPW_TABLE_TEMPLATES:
      return view(result->templates);
    case LAPW_TABLE_BOARDS:
      return view(result->boards);
    case LAPW_TABLE_PLACEMENTS:
      return view(result->placements);
    case LAPW_TABLE_OFFCUTS:
      return view(result->offcuts);
    case LAPW_TABLE_ORDER:
      return view(result->order);
    case LAPW_TABLE_TOTALS:
      return view(result->totals);
    case LAPW_TABLE_LIFTS:
      return view(result->lifts);
    case LAPW_TABLE_PATTERNS:
      return view(result->patterns);
    case LAPW_TABLE_CAUTIONS:
      return view(result->cautions);
    case LAPW_TABLE_RUNS:
      return view(result->runs);
    default:
      out->row_size = 0;
      out->rows = nullptr;
      out->count = 0;
      return LAPW_E_UNSUPPORTED;
  }
}

const char* lapw_result_text(const lapw_result* result, int64_t* size) noexcept {
  if (size) *size = result ? static_cast<std::int64_t>(result->text.size()) : 0;
  return result ? result->text.c_str() : nullptr;
}

void lapw_result_free(lapw_result* result) noexcept {
  delete result;
}

}  // extern "C"
