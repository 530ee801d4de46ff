// Fails each allocation in turn: every call then gives LAPW_E_MEMORY and no result, and leaks nothing; with
// memory enough it gives what it always gives. Replaces the global allocator, so this program stands alone.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <new>
#include <string>

#include "lapwright.h"

namespace {

std::int64_t made = 0;      // allocations since the last reset
std::int64_t alive = 0;     // blocks not given back
std::int64_t fail_at = -1;  // the allocation that fails; none below 0
bool fail_after = false;    // and every later one, too

void* allocate(std::size_t size) noexcept {
  const std::int64_t number = made++;
  if (fail_at >= 0 && (number == fail_at || (fail_after && number > fail_at))) return nullptr;
  void* block = std::malloc(size ? size : 1);
  if (block) ++alive;
  return block;
}
void release(void* block) noexcept {
  if (!block) return;
  --alive;
  std::free(block);
}

}  // namespace

void* operator new(std::size_t size) {
  void* block = allocate(size);
  if (!block) throw std::bad_alloc();
  return block;
}
void* operator new[](std::size_t size) {
  void* block = allocate(size);
  if (!block) throw std::bad_alloc();
  return block;
}
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  return allocate(size);
}
void* operator new[](std::size_t size, const std::nothrow_t&) noexcept {
  return allocate(size);
}
void operator delete(void* block) noexcept {
  release(block);
}
void operator delete[](void* block) noexcept {
  release(block);
}
void operator delete(void* block, std::size_t) noexcept {
  release(block);
}
void operator delete[](void* block, std::size_t) noexcept {
  release(block);
}
void operator delete(void* block, const std::nothrow_t&) noexcept {
  release(block);
}
void operator delete[](void* block, const std::nothrow_t&) noexcept {
  release(block);
}

namespace {

const char job[] =
    R"({"lapwright":1,"board":{"width":8.25,"lengths":[48]},"search":{"effort":0},"walls":[{"name":"w",
    "outline":[[0,0],[60,0],[60,20],[30,30],[0,20]],"edges":["base","corner","rake","rake","corner"]}]})";
const char refused[] = R"({"lapwright":1,"board":{"width":-8,"lengths":[]},"walls":[{"nam":"w"}]})";

std::string plan_text;
lapw_result* drawn = nullptr;

lapw_status plan(lapw_result** out, lapw_error* error) {
  return lapw_plan_job(job, -1, nullptr, out, error);
}
lapw_status refuse(lapw_result** out, lapw_error* error) {
  return lapw_plan_job(refused, -1, nullptr, out, error);
}
lapw_status audit(lapw_result** out, lapw_error* error) {
  return lapw_audit(job, -1, plan_text.data(), static_cast<int64_t>(plan_text.size()), out, error);
}
lapw_status courses(lapw_result** out, lapw_error* error) {
  lapw_mark mark{};
  mark.height = 36;
  lapw_wall_heights wall{};
  wall.struct_size = sizeof wall;
  wall.highest = 96;
  wall.marks = &mark;
  wall.mark_count = 1;
  return lapw_lay_courses(&wall, 1, nullptr, out, error);
}
lapw_status rake(lapw_result** out, lapw_error* error) {
  lapw_rake_input input;
  lapw_rake_input_init(&input, sizeof input);
  input.rise = 6;
  input.run = 12;
  return lapw_rake_template(&input, out, error);
}
lapw_status cut(lapw_result** out, lapw_error* error) {
  const lapw_demand demands[] = {{40, 3}, {61, 4}};
  const lapw_stock stock[] = {{144, 1}};
  return lapw_cut_lengths(demands, 2, stock, 1, 0.125, 1, out, error);
}
lapw_status fasteners(lapw_result** out, lapw_error* error) {
  const double xy[] = {0.125, 0, 60, 0, 60, 8.25, 0.125, 8.25};
  const double lines[] = {0, 7};
  lapw_nail_piece piece{};
  piece.struct_size = sizeof piece;
  piece.xy = xy;
  piece.vertex_count = 4;
  lapw_framing framing;
  lapw_framing_init(&framing, sizeof framing);
  framing.wall_x_max = 60;
  return lapw_place_fasteners(&piece, 1, lines, 2, &framing, nullptr, out, error);
}
// A wall with a window, longer than a board.
struct Model {
  double xy[8] = {0, 0, 100, 0, 100, 14, 0, 14}, lines[2] = {0, 7};
  double hole[8] = {40, 3, 50, 3, 50, 9, 40, 9}, trim[4] = {1, 1, 1, 1}, gap[4] = {0.125, 0.125, 0.25, 0.125};
  lapw_edge edges[4] = {};
  lapw_opening opening{};
  lapw_wall_shape wall{};
  lapw_stock stock[1] = {{72, 1}};
  lapw_board_rules rules{};
  Model() {
    opening.struct_size = sizeof opening;
    opening.rectangle = 1;
    opening.xy = hole;
    opening.vertex_count = 4;
    opening.trim = trim;
    opening.gap = gap;
    wall.struct_size = sizeof wall;
    wall.has_start = 1;
    wall.xy = xy;
    wall.vertex_count = 4;
    wall.edges = edges;
    wall.openings = &opening;
    wall.opening_count = 1;
    lapw_board_rules_init(&rules, sizeof rules);
    rules.stock = stock;
    rules.stock_count = 1;
    rules.effort = 0;
  }
};
lapw_status runs(lapw_result** out, lapw_error* error) {
  const Model m;
  return lapw_find_runs(&m.wall, m.lines, 2, nullptr, out, error);
}
lapw_status joints(lapw_result** out, lapw_error* error) {
  const Model m;
  return lapw_place_joints(&m.wall, m.lines, 2, nullptr, &m.rules, out, error);
}
lapw_status settle(lapw_result** out, lapw_error* error) {
  const Model m;
  return lapw_settle_boards(&m.wall, nullptr, 1, m.lines, 2, &m.rules, out, error);
}
lapw_status boards(lapw_result** out, lapw_error* error) {
  const Model m;
  const double xy[] = {0, 0, 40, 0, 30, 8.25, 0, 8.25};
  lapw_board_piece piece{};
  piece.struct_size = sizeof piece;
  piece.xy = xy;
  piece.vertex_count = 4;
  lapw_board_starter starter{};
  starter.struct_size = sizeof starter;
  starter.length = 60;
  return lapw_pack_boards(&piece, 1, &starter, 1, &m.rules, out, error);
}
lapw_status draw(lapw_result** out, lapw_error* error) {
  return lapw_draw(drawn, LAPW_DRAW_ELEVATION, 0, 0, LAPW_DRAW_NAILS, out, error);
}
lapw_status sheet(lapw_result** out, lapw_error* error) {
  return lapw_write_sheet(drawn, LAPW_SHEET_CUTS, out, error);
}
lapw_status format(lapw_result** out, lapw_error* error) {
  *out = nullptr;
  char buffer[64];
  return lapw_format_length(62.375, 0.0625, LAPW_FEET_INCHES, buffer, sizeof buffer, nullptr, error);
}
lapw_status lap(lapw_result** out, lapw_error* error) {
  *out = nullptr;
  lapw_lap_figures figures{};
  figures.struct_size = sizeof figures;
  return lapw_lap_profile(8.25, 0.3125, 9, 1, &figures, error);  // refused: messages are made
}
lapw_status length(lapw_result** out, lapw_error* error) {
  *out = nullptr;
  double inches = 0;
  return lapw_parse_length("a text that is no length, and longer than a short string", -1, &inches, error);
}

struct Call {
  const char* name;
  lapw_status (*run)(lapw_result**, lapw_error*);
  lapw_status usual;
};

int failures = 0;
void expect(bool holds, const char* call, std::int64_t number, const char* what) {
  if (holds) return;
  ++failures;
  if (failures < 20) std::printf("%s, allocation %lld: %s\n", call, static_cast<long long>(number), what);
}

// One run with allocation `number` failing (-1: none). Returns the allocations made.
std::int64_t run(const Call& call, std::int64_t number, bool after) {
  lapw_error error;
  std::memset(&error, 0, sizeof error);
  error.struct_size = sizeof error;
  lapw_result* result = nullptr;
  const std::int64_t before = alive;
  made = 0;
  fail_at = number;
  fail_after = after;
  const lapw_status status = call.run(&result, &error);
  const std::int64_t count = made;
  fail_at = -1;
  if (number < 0) {
    expect(status == call.usual, call.name, number, "not the usual status");
    if (status != call.usual) std::printf("  %d %s %s\n", status, error.path, error.message);
  } else {
    // A stage may do without what it could not get (a sort's buffer): then all is as usual.
    expect(status == LAPW_E_MEMORY || status == call.usual, call.name, number, "not the status of memory");
    if (status == LAPW_E_MEMORY) {
      expect(result == nullptr, call.name, number, "a result after a failure");
      expect(error.code == LAPW_E_MEMORY && error.message[0], call.name, number, "no message");
    }
  }
  lapw_result_free(result);
  expect(alive == before, call.name, number, "blocks are left behind");
  return count;
}

}  // namespace

int main() {
  lapw_error error;
  std::memset(&error, 0, sizeof error);
  error.struct_size = sizeof error;
  if (lapw_plan_job(job, -1, nullptr, &drawn, &error) != LAPW_OK) {
    std::printf("the job is not planned: %s %s\n", error.path, error.message);
    return 1;
  }
  plan_text = lapw_result_text(drawn, nullptr);

  const Call calls[] = {{"lapw_plan_job", plan, LAPW_OK},
                        {"lapw_plan_job, refused", refuse, LAPW_E_REFUSED},
                        {"lapw_audit", audit, LAPW_OK},
                        {"lapw_lay_courses", courses, LAPW_OK},
                        {"lapw_rake_template", rake, LAPW_OK},
                        {"lapw_cut_lengths", cut, LAPW_OK},
                        {"lapw_place_fasteners", fasteners, LAPW_OK},
                        {"lapw_find_runs", runs, LAPW_OK},
                        {"lapw_place_joints", joints, LAPW_OK},
                        {"lapw_pack_boards", boards, LAPW_OK},
                        {"lapw_settle_boards", settle, LAPW_OK},
                        {"lapw_draw", draw, LAPW_OK},
                        {"lapw_write_sheet", sheet, LAPW_OK},
                        {"lapw_format_length", format, LAPW_OK},
                        {"lapw_lap_profile, refused", lap, LAPW_E_REFUSED},
                        {"lapw_parse_length, refused", length, LAPW_E_REFUSED}};
  // Each in turn; LAPW_CASES cuts that short, with as many evenly spread ones beyond.
  const char* given = std::getenv("LAPW_CASES");
  const std::int64_t cases = given ? std::atoll(given) : 100000;
  for (const Call& call : calls) {
    const std::int64_t count = run(call, -1, false);
    const std::int64_t all = std::min<std::int64_t>(count, cases);
    for (std::int64_t n = 0; n < all; ++n) run(call, n, n % 2 == 1);
    const std::int64_t step = std::max<std::int64_t>(1, (count - all) / cases);
    for (std::int64_t n = all; n < count; n += step) run(call, n, false);
    std::printf("%s: %lld allocations\n", call.name, static_cast<long long>(count));
    run(call, -1, false);
  }
  lapw_result_free(drawn);
  if (failures) std::printf("%d failures\n", failures);
  return failures != 0;
}
