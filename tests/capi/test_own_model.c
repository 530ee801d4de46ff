/* The functions for hosts with a model of their own; see test_capi.c. */
#include <math.h>
#include <stddef.h>

#include "test_capi.h"

static void test_lap_profile(void) {
  lapw_error e = new_error();
  lapw_lap_figures f;
  size_t i;
  memset(&f, 0, sizeof f);
  for (i = 0; i < ABSURD_SIZES; ++i) {
    f.struct_size = absurd_sizes[i];
    CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, &f, &e) == LAPW_E_STRUCT_SIZE);
  }
  f.struct_size = sizeof f;
  CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, &f, &e) == LAPW_OK);
  CHECK(fabs(f.edge_stand_off - 0.3125 * 8.25 / 7) < 1e-12 &&
        fabs(f.face_projection - f.edge_stand_off - 0.3125) < 1e-12);
  CHECK(lapw_lap_profile(8.25, 0.3125, 9, 1, &f, &e) == LAPW_E_REFUSED && e.path[0] != 0);
  CHECK(lapw_lap_profile(NAN, 0.3125, 7, 1, &f, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, NULL, &e) == LAPW_E_ARGUMENT);
}

static void test_course_rules_init(void) {
  lapw_course_rules rules;
  CHECK_INIT(lapw_course_rules, lapw_course_rules_init);
  CHECK(lapw_course_rules_init(&rules, sizeof rules) == LAPW_OK && rules.board_width == 8.25 &&
        rules.mode == LAPW_MODE_FITTED);
}

static void test_lay_courses(void) {
  lapw_error e = new_error();
  lapw_course_rules rules;
  lapw_mark marks[2] = {{36, 1, 0}, {84, 0, 0}};
  lapw_wall_heights wall;
  lapw_result* result = NULL;
  lapw_table lines;
  int64_t i;
  size_t s;
  memset(&wall, 0, sizeof wall);
  wall.struct_size = sizeof wall;
  wall.has_start = 1;
  wall.name = "front";
  wall.highest = 108;
  wall.start_low = -0.5;
  wall.start_high = 0.5;
  wall.marks = marks;
  wall.mark_count = 2;
  CHECK(lapw_course_rules_init(&rules, sizeof rules) == LAPW_OK && rules.board_width == 8.25 &&
        rules.mode == LAPW_MODE_FITTED);
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_OK);
  lines = table_of(result, LAPW_TABLE_LINES);
  CHECK(lines.count >= 16);
  for (i = 0; i + 1 < lines.count; ++i) {
    const lapw_line* a = LAPW_ROW(lapw_line, lines, i);
    const lapw_line* b = LAPW_ROW(lapw_line, lines, i + 1);
    CHECK(fabs(a->height + a->exposure - b->height) < 1e-9 && a->exposure <= 7 && a->exposure >= 6);
  }
  CHECK(table_of(result, LAPW_TABLE_WALLS).count == 1 && table_of(result, LAPW_TABLE_TOTALS).count == 1);
  lapw_result_free(result);
  CHECK(lapw_lay_courses(&wall, 1, NULL, &result, &e) == LAPW_OK);
  lapw_result_free(result);
  CHECK(lapw_lay_courses(NULL, 1, &rules, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
  CHECK(lapw_lay_courses(&wall, -1, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_lay_courses(&wall, INT64_MAX, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_lay_courses(&wall, 1, &rules, NULL, &e) == LAPW_E_ARGUMENT);
  wall.highest = NAN;
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "walls[0].highest") == 0);
  wall.highest = 108;
  wall.mark_count = -3;
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_ARGUMENT);
  wall.mark_count = 2;
  for (s = 0; s < ABSURD_SIZES; ++s) {
    wall.struct_size = absurd_sizes[s];
    CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    wall.struct_size = sizeof wall;
    rules.struct_size = absurd_sizes[s];
    CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    rules.struct_size = sizeof rules;
  }
  wall.has_start = 7;
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "walls[0].has_start") == 0);
  wall.has_start = 1;
  rules.struct_size = sizeof rules;
  rules.mode = 17;
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_UNSUPPORTED);
  rules.mode = LAPW_MODE_FULL;
  rules.max_exposure = 9; /* lap below the minimum */
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_REFUSED && e.fault_count >= 1 &&
        e.path[0] != 0);
  CHECK(result != NULL && table_of(result, LAPW_TABLE_FAULTS).count == e.fault_count);
  lapw_result_free(result);
}

static void newer_caller(void) {
  /* A caller's struct from a later library: unset further fields are well, set ones are refused. */
  struct {
    lapw_rake_input input;
    double later;
  } newer;
  lapw_error e = new_error();
  lapw_result* result = NULL;
  memset(&newer, 0, sizeof newer);
  CHECK(lapw_rake_input_init(&newer.input, sizeof newer) == LAPW_OK);
  newer.input.rise = 5;
  newer.input.run = 12;
  CHECK(lapw_rake_template(&newer.input, &result, &e) == LAPW_OK);
  lapw_result_free(result);
  newer.later = 1;
  CHECK(lapw_rake_template(&newer.input, &result, &e) == LAPW_E_UNSUPPORTED && result == NULL);
}

static void test_rake_input_init(void) {
  lapw_rake_input input;
  CHECK_INIT(lapw_rake_input, lapw_rake_input_init);
  CHECK(lapw_rake_input_init(&input, sizeof input) == LAPW_OK && input.exposure == 7);
}

static void test_rake_template(void) {
  lapw_error e = new_error();
  lapw_rake_input input;
  lapw_result* result = NULL;
  lapw_table t;
  const lapw_template* row;
  size_t s;
  CHECK(lapw_rake_input_init(&input, sizeof input) == LAPW_OK && input.exposure == 7);
  input.rise = 6;
  input.run = 12;
  CHECK(lapw_rake_template(&input, &result, &e) == LAPW_OK);
  t = table_of(result, LAPW_TABLE_TEMPLATES);
  CHECK(t.count == 1);
  row = LAPW_ROW(lapw_template, t, 0);
  CHECK(fabs(row->offset - 16.5) < 1e-9 && fabs(row->step - 14) < 1e-9 &&
        fabs(row->angle - 26.565051) < 1e-5);
  CHECK(table_of(result, LAPW_TABLE_RINGS).count == 1 && table_of(result, LAPW_TABLE_VERTICES).count >= 3);
  CHECK(strncmp(lapw_result_text(result, NULL), "<svg", 4) == 0);
  lapw_result_free(result);
  input.rise = 0.1;
  CHECK(lapw_rake_template(&input, &result, &e) == LAPW_E_REFUSED && e.message[0] != 0);
  lapw_result_free(result);
  input.rise = NAN;
  CHECK(lapw_rake_template(&input, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
  input.rise = 6;
  input.hand = 5;
  CHECK(lapw_rake_template(&input, &result, &e) == LAPW_E_UNSUPPORTED);
  input.hand = LAPW_RIGHT;
  CHECK(lapw_rake_template(NULL, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_rake_template(&input, NULL, &e) == LAPW_E_ARGUMENT);
  for (s = 0; s < ABSURD_SIZES; ++s) {
    input.struct_size = absurd_sizes[s];
    CHECK(lapw_rake_template(&input, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
  }
  CHECK(lapw_rake_input_init(&input, sizeof input) == LAPW_OK);
  input.rise = 6;
  input.run = 12;
  input.board_width = 1e5; /* as large as a length may be: figures, and no forest of paper */
  CHECK(lapw_rake_template(&input, &result, &e) == LAPW_OK && lapw_result_text(result, NULL)[0] == 0);
  lapw_result_free(result);
  newer_caller();
}

static void test_cut_lengths(void) {
  lapw_error e = new_error();
  lapw_demand demands[1] = {{36, 9}};
  lapw_stock stock[1] = {{120, 1}};
  lapw_result* result = NULL;
  lapw_table totals;
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, &result, &e) == LAPW_OK);
  totals = table_of(result, LAPW_TABLE_TOTALS);
  CHECK(LAPW_ROW(lapw_totals, totals, 0)->cost == 3 && LAPW_ROW(lapw_totals, totals, 0)->proven_minimum == 3);
  CHECK(table_of(result, LAPW_TABLE_PATTERNS).count >= 1);
  lapw_result_free(result);
  CHECK(lapw_cut_lengths(NULL, 1, stock, 1, 0, 1, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_cut_lengths(demands, -1, stock, 1, 0, 1, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_cut_lengths(demands, 1, stock, 0, 0, 1, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  demands[0].length = 121;
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, &result, &e) == LAPW_E_REFUSED && e.path[0] != 0);
  lapw_result_free(result);
  demands[0].length = NAN;
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "demands[0].length") == 0 && result == NULL);
  demands[0].length = 36;
  demands[0].count = INT64_MIN;
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, NULL, &e) == LAPW_E_ARGUMENT);
  demands[0].count = 9;
  CHECK(lapw_cut_lengths(demands, INT64_MAX, stock, 1, 0, 1, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_cut_lengths(demands, 1, NULL, 1, 0, 1, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_cut_lengths(demands, 1, stock, -1, 0, 1, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, NAN, 1, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "kerf") == 0);
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, NAN, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "effort") == 0);
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, -1, 1, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
}

static void test_framing_init(void) {
  lapw_framing framing;
  CHECK_INIT(lapw_framing, lapw_framing_init);
  CHECK(lapw_framing_init(&framing, sizeof framing) == LAPW_OK && framing.spacing == 16 &&
        framing.opening_stud == 3 && framing.around_openings == 1);
}

static void test_nail_rules_init(void) {
  lapw_nail_rules rules;
  CHECK_INIT(lapw_nail_rules, lapw_nail_rules_init);
  CHECK(lapw_nail_rules_init(&rules, sizeof rules) == LAPW_OK && rules.length == 2.5);
}

static void test_place_fasteners(void) {
  lapw_error e = new_error();
  lapw_framing framing;
  lapw_nail_rules rules;
  lapw_nail_piece pieces[2];
  double lines[2] = {0, 7};
  double first[8] = {3.625, 0, 140.375, 0, 140.375, 8.25, 3.625, 8.25};
  double second[8] = {3.625, 7, 140.375, 7, 140.375, 15.25, 3.625, 15.25};
  lapw_result* result = NULL;
  lapw_table nails;
  int64_t i;
  size_t s;
  CHECK(lapw_framing_init(&framing, sizeof framing) == LAPW_OK && framing.spacing == 16);
  CHECK(lapw_nail_rules_init(&rules, sizeof rules) == LAPW_OK && rules.length == 2.5);
  framing.wall_x_max = 144;
  memset(pieces, 0, sizeof pieces);
  pieces[0].struct_size = pieces[1].struct_size = sizeof pieces[0];
  pieces[0].xy = first;
  pieces[1].xy = second;
  pieces[0].vertex_count = pieces[1].vertex_count = 4;
  pieces[1].course = 1;
  CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_OK);
  nails = table_of(result, LAPW_TABLE_NAILS);
  CHECK(nails.count >= 18);
  for (i = 0; i < nails.count; ++i) {
    const lapw_nail* nail = LAPW_ROW(lapw_nail, nails, i);
    CHECK(nail->piece >= 0 && nail->piece < 2 && nail->x > 3.625 && nail->x < 140.375);
    CHECK(nail->y > lines[nail->piece] && nail->y < lines[nail->piece] + 8.25);
  }
  lapw_result_free(result);
  CHECK(lapw_place_fasteners(pieces, 2, lines, 2, NULL, &rules, &result, &e) == LAPW_E_ARGUMENT &&
        result == NULL);
  CHECK(lapw_place_fasteners(pieces, -2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_fasteners(NULL, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_fasteners(pieces, 2, NULL, 2, &framing, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_fasteners(pieces, 2, lines, 1, &framing, &rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "pieces[1].course") == 0);
  lapw_result_free(result);
  first[0] = NAN;
  CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_ARGUMENT);
  first[0] = 3.625;
  first[5] = 80; /* taller than the board */
  CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  first[5] = 8.25;
  pieces[1].joint_left = -1;
  CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_ARGUMENT);
  pieces[1].joint_left = 0;
  for (s = 0; s < ABSURD_SIZES; ++s) {
    pieces[1].struct_size = absurd_sizes[s];
    CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    pieces[1].struct_size = sizeof pieces[1];
    framing.struct_size = absurd_sizes[s];
    CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    framing.struct_size = sizeof framing;
    rules.struct_size = absurd_sizes[s];
    CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    rules.struct_size = sizeof rules;
  }
}

static void test_run_rules_init(void) {
  lapw_run_rules rules;
  CHECK_INIT(lapw_run_rules, lapw_run_rules_init);
  CHECK(lapw_run_rules_init(&rules, sizeof rules) == LAPW_OK && rules.min_leg == 2);
}

/* A wall 24 ft long with a window, four courses high. */
typedef struct model {
  double xy[8], lines[4], hole[8], trim[4], gap[4];
  lapw_edge edges[4];
  lapw_opening opening;
  lapw_wall_shape wall;
  lapw_stock stock[2];
  lapw_board_rules rules;
} model;

static void new_model(model* m, double width) {
  const double xy[8] = {0, 0, width, 0, width, 28, 0, 28}, lines[4] = {0, 7, 14, 21};
  const double hole[8] = {40, 5, 70, 5, 70, 20, 40, 20}, trim[4] = {3.5, 3.5, 3.5, 3.5},
               gap[4] = {0.125, 0.125, 0.25, 0.125};
  memset(m, 0, sizeof *m);
  memcpy(m->xy, xy, sizeof xy);
  memcpy(m->lines, lines, sizeof lines);
  memcpy(m->hole, hole, sizeof hole);
  memcpy(m->trim, trim, sizeof trim);
  memcpy(m->gap, gap, sizeof gap);
  m->edges[1].kind = m->edges[3].kind = LAPW_EDGE_CORNER;
  m->edges[2].kind = LAPW_EDGE_TOP;
  m->opening.struct_size = sizeof m->opening;
  m->opening.rectangle = 1;
  m->opening.xy = m->hole;
  m->opening.vertex_count = 4;
  m->opening.trim = m->trim;
  m->opening.gap = m->gap;
  m->wall.struct_size = sizeof m->wall;
  m->wall.has_start = 1;
  m->wall.start_high = 0.5;
  m->wall.xy = m->xy;
  m->wall.vertex_count = 4;
  m->wall.edges = m->edges;
  m->wall.openings = &m->opening;
  m->wall.opening_count = 1;
  m->stock[0].length = 144;
  m->stock[0].price = 1;
  m->stock[1].length = 96;
  m->stock[1].price = 0.7;
  CHECK(lapw_board_rules_init(&m->rules, sizeof m->rules) == LAPW_OK);
  m->rules.stock = m->stock;
  m->rules.stock_count = 2;
}

static void test_find_runs(void) {
  lapw_error e = new_error();
  lapw_run_rules rules;
  model m;
  lapw_result* result = NULL;
  lapw_table runs;
  size_t s;
  new_model(&m, 144);
  CHECK(lapw_run_rules_init(&rules, sizeof rules) == LAPW_OK);
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_OK);
  runs = table_of(result, LAPW_TABLE_RUNS);
  CHECK(runs.count >= 5 && LAPW_ROW(lapw_run, runs, 0)->course == 0 &&
        table_of(result, LAPW_TABLE_STARTERS).count >= 2);
  lapw_result_free(result);
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, NULL, &result, &e) == LAPW_OK);
  lapw_result_free(result);
  CHECK(lapw_find_runs(NULL, m.lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
  CHECK(lapw_find_runs(&m.wall, NULL, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_find_runs(&m.wall, m.lines, -4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, NULL, &e) == LAPW_E_ARGUMENT);
  m.wall.first_course = 9;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "wall.first_course") == 0);
  lapw_result_free(result);
  m.wall.first_course = 0;
  m.hole[0] = -40; /* outside the wall */
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_REFUSED &&
        strncmp(e.path, "wall.openings[0]", 16) == 0);
  lapw_result_free(result);
  m.hole[0] = NAN;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  m.hole[0] = 40;
  m.edges[0].kind = 44;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_UNSUPPORTED);
  m.edges[0].kind = LAPW_EDGE_BASE;
  m.edges[2].reserved = 1;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_UNSUPPORTED &&
        strcmp(e.path, "wall.edges[2].reserved") == 0);
  m.edges[2].reserved = 0;
  m.wall.reserved = 1;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_UNSUPPORTED);
  m.wall.reserved = 0;
  rules.reserved = 1;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_UNSUPPORTED);
  rules.reserved = 0;
  m.opening.rectangle = 2;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  m.opening.rectangle = 1;
  m.wall.vertex_count = -4;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  m.wall.vertex_count = 4;
  m.wall.opening_count = INT64_MAX;
  CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  m.wall.opening_count = 1;
  for (s = 0; s < ABSURD_SIZES; ++s) {
    m.wall.struct_size = absurd_sizes[s];
    CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    m.wall.struct_size = sizeof m.wall;
    m.opening.struct_size = absurd_sizes[s];
    CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    m.opening.struct_size = sizeof m.opening;
    rules.struct_size = absurd_sizes[s];
    CHECK(lapw_find_runs(&m.wall, m.lines, 4, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    rules.struct_size = sizeof rules;
  }
}

static void test_board_rules_init(void) {
  lapw_board_rules rules;
  CHECK_INIT(lapw_board_rules, lapw_board_rules_init);
  CHECK(lapw_board_rules_init(&rules, sizeof rules) == LAPW_OK && rules.stagger == 32 &&
        rules.turnable == 1 && rules.stock_count == 0);
}

/* Rules that are wrong, whichever of the three calls is handed them. */
typedef lapw_status (*board_call)(model* m, lapw_result** out, lapw_error* e);
static void bad_board_rules(board_call call, model* m) {
  /* Every number of the rules. */
  static const size_t numbers[] = {
      offsetof(lapw_board_rules, board_width), offsetof(lapw_board_rules, min_leg),
      offsetof(lapw_board_rules, end_edge),    offsetof(lapw_board_rules, starter_width),
      offsetof(lapw_board_rules, division),    offsetof(lapw_board_rules, gap),
      offsetof(lapw_board_rules, window),      offsetof(lapw_board_rules, min_piece),
      offsetof(lapw_board_rules, stagger),     offsetof(lapw_board_rules, joint_price),
      offsetof(lapw_board_rules, kerf),        offsetof(lapw_board_rules, min_offcut),
      offsetof(lapw_board_rules, effort)};
  lapw_error e = new_error();
  lapw_result* result = NULL;
  lapw_on_hand rest[1];
  size_t i;
  memset(rest, 0, sizeof rest);
  for (i = 0; i < sizeof numbers / sizeof numbers[0]; ++i) {
    double* number = (double*)((char*)&m->rules + numbers[i]);
    const double good = *number;
    *number = NAN;
    CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT && result == NULL && strncmp(e.path, "rules.", 6) == 0);
    *number = HUGE_VAL;
    CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
    *number = -1;
    CHECK(call(m, &result, &e) == LAPW_E_REFUSED && strncmp(e.path, "rules.", 6) == 0);
    lapw_result_free(result);
    *number = 1e300;
    CHECK(call(m, &result, &e) == LAPW_E_REFUSED && e.fault_count >= 1);
    lapw_result_free(result);
    *number = good;
  }
  for (i = 0; i < ABSURD_SIZES; ++i) {
    m->rules.struct_size = absurd_sizes[i];
    CHECK(call(m, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
  }
  m->rules.struct_size = sizeof m->rules;
  m->rules.turnable = 0x55555555;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "rules.turnable") == 0);
  m->rules.turnable = 1;
  m->rules.factory_ends = -1;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "rules.factory_ends") == 0);
  m->rules.factory_ends = 1;
  m->rules.repeat_after = -3;
  CHECK(call(m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "rules.repeat_after") == 0);
  lapw_result_free(result);
  m->rules.repeat_after = 3;
  m->rules.stock_count = 0;
  CHECK(call(m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "rules.stock") == 0);
  lapw_result_free(result);
  m->rules.stock_count = -2;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "rules.stock") == 0 && result == NULL);
  m->rules.stock_count = INT64_MAX;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT);
  m->rules.stock_count = 2;
  m->rules.stock = NULL;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT);
  m->rules.stock = m->stock;
  m->stock[1].length = -96;
  CHECK(call(m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "rules.stock[1].length") == 0);
  lapw_result_free(result);
  m->stock[1].length = 96;
  m->stock[1].price = 0;
  CHECK(call(m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "rules.stock[1].price") == 0);
  lapw_result_free(result);
  m->stock[1].price = NAN;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT);
  m->stock[1].price = 0.7;
  m->rules.on_hand = rest;
  m->rules.on_hand_count = 1;
  CHECK(call(m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "rules.on_hand[0].length") == 0);
  lapw_result_free(result);
  m->rules.on_hand_count = -1;
  CHECK(call(m, &result, &e) == LAPW_E_ARGUMENT);
  m->rules.on_hand = NULL;
  m->rules.on_hand_count = 0;
}

static lapw_status call_joints(model* m, lapw_result** out, lapw_error* e) {
  return lapw_place_joints(&m->wall, m->lines, 4, NULL, &m->rules, out, e);
}

static void test_place_joints(void) {
  lapw_error e = new_error();
  lapw_framing framing;
  model m;
  lapw_result* result = NULL;
  lapw_table joints, runs, pieces, cuts;
  int64_t i;
  size_t s;
  new_model(&m, 288);
  CHECK(lapw_framing_init(&framing, sizeof framing) == LAPW_OK);
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_OK);
  joints = table_of(result, LAPW_TABLE_JOINTS);
  runs = table_of(result, LAPW_TABLE_RUNS);
  pieces = table_of(result, LAPW_TABLE_PIECES);
  cuts = table_of(result, LAPW_TABLE_CUTS);
  CHECK(joints.count >= 4 && pieces.count == runs.count + joints.count);
  CHECK(table_of(result, LAPW_TABLE_WALLS).count == 1 && table_of(result, LAPW_TABLE_STARTERS).count >= 2);
  for (i = 0; i < joints.count; ++i) {
    const lapw_joint* joint = LAPW_ROW(lapw_joint, joints, i);
    const lapw_run* run;
    CHECK(joint->run >= 0 && joint->run < runs.count);
    run = LAPW_ROW(lapw_run, runs, joint->run);
    CHECK(run->course == joint->course && joint->x > run->x_min && joint->x < run->x_max);
    CHECK(fabs(joint->x - joint->stud) <= m.rules.window + 1e-6);
    /* On a regular stud, or one beside the window. */
    CHECK(fabs(fmod(joint->stud - 0.75 + 1e-9, 16)) < 1e-6 || fabs(joint->stud - 38.5) < 1e-9 ||
          fabs(joint->stud - 71.5) < 1e-9);
  }
  for (i = 0; i < pieces.count; ++i) {
    const lapw_piece* piece = LAPW_ROW(lapw_piece, pieces, i);
    CHECK(piece->length <= 144 + 1e-6 && piece->nail_count == 0 &&
          piece->first_cut + piece->cut_count <= cuts.count);
  }
  lapw_result_free(result);

  /* Without regular studs and far from its openings no stud carries a joint. */
  framing.spacing = 0;
  framing.around_openings = 0;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_REFUSED &&
        e.message[0]);
  lapw_result_free(result);
  framing.spacing = NAN;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "framing.spacing") == 0);
  framing.spacing = 0.5;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  framing.spacing = 16;
  framing.stud_width = 0.25; /* holds no joint with a nail beside it */
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "framing.stud_width") == 0);
  lapw_result_free(result);
  framing.stud_width = 1.5;
  framing.wall_x_max = 100; /* not where the outline ends */
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  framing.wall_x_max = 288;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_OK);
  lapw_result_free(result);
  framing.stud_count = -1;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  framing.stud_count = 0;
  framing.reserved2 = 1;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_UNSUPPORTED);
  framing.reserved2 = 0;
  framing.around_openings = 9;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  framing.around_openings = 1;
  for (s = 0; s < ABSURD_SIZES; ++s) {
    framing.struct_size = absurd_sizes[s];
    CHECK(lapw_place_joints(&m.wall, m.lines, 4, &framing, &m.rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    m.wall.struct_size = absurd_sizes[s];
    CHECK(lapw_place_joints(&m.wall, m.lines, 4, NULL, &m.rules, &result, &e) == LAPW_E_STRUCT_SIZE &&
          result == NULL);
    m.wall.struct_size = sizeof m.wall;
  }
  CHECK(lapw_place_joints(NULL, m.lines, 4, NULL, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_joints(&m.wall, NULL, 4, NULL, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_joints(&m.wall, m.lines, -4, NULL, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, NULL, NULL, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, NULL, &m.rules, NULL, &e) == LAPW_E_ARGUMENT);
  m.lines[2] = NAN;
  CHECK(lapw_place_joints(&m.wall, m.lines, 4, NULL, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  m.lines[2] = 14;
  bad_board_rules(call_joints, &m);
}

/* Two rakes of one slope that nest on one board, a plain piece, and a base starter. */
typedef struct pack_model {
  double left[8], right[8], plain[8];
  lapw_board_piece pieces[3];
  lapw_board_starter starters[1];
} pack_model;
static pack_model pack;

static void new_pack(void) {
  const double left[8] = {0, 0, 78, 0, 61.5, 8.25, 0, 8.25},
               right[8] = {100, 7, 178, 7, 178, 15.25, 116.5, 15.25};
  const double plain[8] = {0, 14, 40, 14, 40, 22.25, 0, 22.25};
  int i;
  memset(&pack, 0, sizeof pack);
  memcpy(pack.left, left, sizeof left);
  memcpy(pack.right, right, sizeof right);
  memcpy(pack.plain, plain, sizeof plain);
  for (i = 0; i < 3; ++i) {
    pack.pieces[i].struct_size = sizeof pack.pieces[i];
    pack.pieces[i].vertex_count = 4;
    pack.pieces[i].y = 7 * i;
    pack.pieces[i].xy = i == 0 ? pack.left : i == 1 ? pack.right : pack.plain;
  }
  pack.starters[0].struct_size = sizeof pack.starters[0];
  pack.starters[0].length = 200;
  pack.starters[0].where = LAPW_AT_BASE;
}

static lapw_status call_pack(model* m, lapw_result** out, lapw_error* e) {
  return lapw_pack_boards(pack.pieces, 3, pack.starters, 1, &m->rules, out, e);
}

static void test_pack_boards(void) {
  lapw_error e = new_error();
  model m;
  lapw_result* result = NULL;
  lapw_table boards, placements, order, totals;
  lapw_on_hand rest[1];
  double strips = 0;
  int64_t i, bought = 0;
  int seen[3] = {0, 0, 0};
  size_t s;
  new_model(&m, 288);
  new_pack();
  pack.pieces[2].left_factory = 1;
  CHECK(call_pack(&m, &result, &e) == LAPW_OK);
  boards = table_of(result, LAPW_TABLE_BOARDS);
  placements = table_of(result, LAPW_TABLE_PLACEMENTS);
  order = table_of(result, LAPW_TABLE_ORDER);
  totals = table_of(result, LAPW_TABLE_TOTALS);
  for (i = 0; i < placements.count; ++i) {
    const lapw_placement* p = LAPW_ROW(lapw_placement, placements, i);
    const lapw_board* board = LAPW_ROW(lapw_board, boards, p->board);
    CHECK((p->piece >= 0) != (p->starter >= 0));
    CHECK(p->x > -1e-6 && p->x + p->width < board->length + 1e-6 && p->y > -1e-6 &&
          p->y + p->height < 8.25 + 1e-6);
    if (p->piece >= 0) {
      ++seen[p->piece];
      CHECK(p->height == 8.25 && fabs(p->width - (p->piece == 2 ? 40 : 78)) < 1e-6);
      if (p->piece == 2) /* its factory end lies on an end of its board */
        CHECK(fabs(p->turned ? p->x + p->width - board->length : p->x) < 1e-6);
    } else {
      strips += p->width;
      CHECK(p->starter == 0 && fabs(p->height - 1.25) < 1e-9);
    }
  }
  CHECK(seen[0] == 1 && seen[1] == 1 && seen[2] == 1 && fabs(strips - 200) < 1e-6);
  for (i = 0; i < order.count; ++i) bought += LAPW_ROW(lapw_order_line, order, i)->count;
  CHECK(bought == boards.count && totals.count == 1 &&
        LAPW_ROW(lapw_totals, totals, 0)->starter_inches == 200);
  /* The rakes nest: two boards at most, where squares would take three with the starter. */
  CHECK(boards.count <= 3 && LAPW_ROW(lapw_totals, totals, 0)->cost <= 2.7 + 1e-9);
  lapw_result_free(result);

  /* A board on hand is used before one is bought. */
  memset(rest, 0, sizeof rest);
  rest[0].length = 41;
  rest[0].left_factory = 1;
  m.rules.on_hand = rest;
  m.rules.on_hand_count = 1;
  CHECK(lapw_pack_boards(pack.pieces + 2, 1, NULL, 0, &m.rules, &result, &e) == LAPW_OK);
  boards = table_of(result, LAPW_TABLE_BOARDS);
  CHECK(boards.count == 1 && LAPW_ROW(lapw_board, boards, 0)->on_hand == 0 &&
        table_of(result, LAPW_TABLE_ORDER).count == 0);
  lapw_result_free(result);
  m.rules.on_hand = NULL;
  m.rules.on_hand_count = 0;

  CHECK(lapw_pack_boards(NULL, 0, NULL, 0, &m.rules, &result, &e) == LAPW_OK &&
        table_of(result, LAPW_TABLE_BOARDS).count == 0);
  lapw_result_free(result);
  CHECK(lapw_pack_boards(NULL, 3, NULL, 0, &m.rules, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
  CHECK(lapw_pack_boards(pack.pieces, -3, NULL, 0, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_pack_boards(pack.pieces, INT64_MAX, NULL, 0, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_pack_boards(pack.pieces, 3, NULL, 1, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_pack_boards(pack.pieces, 3, pack.starters, -1, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_pack_boards(pack.pieces, 3, pack.starters, 1, NULL, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "rules") == 0);
  CHECK(lapw_pack_boards(pack.pieces, 3, pack.starters, 1, &m.rules, NULL, &e) == LAPW_E_ARGUMENT);
  pack.plain[2] = NAN;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "pieces[2].xy") == 0);
  pack.plain[2] = pack.plain[4] = 145; /* longer than any stock */
  CHECK(call_pack(&m, &result, &e) == LAPW_E_REFUSED && strncmp(e.path, "pieces[2]", 9) == 0);
  lapw_result_free(result);
  pack.plain[2] = 40;
  pack.plain[4] = 0;
  pack.plain[5] = 14.5; /* crosses itself */
  pack.plain[7] = 22;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "pieces[2].xy") == 0);
  lapw_result_free(result);
  new_pack();
  pack.pieces[1].y = 0; /* higher than a board */
  CHECK(call_pack(&m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "pieces[1].xy") == 0);
  lapw_result_free(result);
  pack.pieces[1].y = NAN;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "pieces[1].y") == 0);
  new_pack();
  pack.pieces[1].right_factory = 5;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "pieces[1].right_factory") == 0);
  new_pack();
  pack.pieces[0].vertex_count = 2;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  pack.pieces[0].vertex_count = -4;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_ARGUMENT);
  new_pack();
  pack.starters[0].length = -1;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_REFUSED && strcmp(e.path, "starters[0].length") == 0);
  lapw_result_free(result);
  pack.starters[0].length = NAN;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_ARGUMENT);
  new_pack();
  pack.starters[0].where = 17;
  CHECK(call_pack(&m, &result, &e) == LAPW_E_UNSUPPORTED);
  new_pack();
  for (s = 0; s < ABSURD_SIZES; ++s) {
    pack.pieces[s % 2].struct_size = absurd_sizes[s];
    CHECK(call_pack(&m, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    pack.pieces[s % 2].struct_size = sizeof pack.pieces[0];
    pack.starters[0].struct_size = absurd_sizes[s];
    CHECK(call_pack(&m, &result, &e) == LAPW_E_STRUCT_SIZE);
    pack.starters[0].struct_size = sizeof pack.starters[0];
  }
  bad_board_rules(call_pack, &m);
}

static lapw_status call_settle(model* m, lapw_result** out, lapw_error* e) {
  return lapw_settle_boards(&m->wall, NULL, 1, m->lines, 4, &m->rules, out, e);
}

static void test_settle_boards(void) {
  lapw_error e = new_error();
  model m;
  lapw_wall_shape walls[2];
  lapw_framing framings[2];
  lapw_result* result = NULL;
  lapw_table pieces, placements, starters;
  const lapw_totals* totals;
  int64_t i, cut = 0;
  double strips = 0;
  size_t s;
  new_model(&m, 288);
  m.rules.effort = 0.05;
  walls[0] = walls[1] = m.wall;
  walls[1].name = "north";
  CHECK(lapw_framing_init(&framings[0], sizeof framings[0]) == LAPW_OK);
  framings[1] = framings[0];
  framings[1].first = 8;
  CHECK(lapw_settle_boards(walls, framings, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_OK);
  pieces = table_of(result, LAPW_TABLE_PIECES);
  placements = table_of(result, LAPW_TABLE_PLACEMENTS);
  starters = table_of(result, LAPW_TABLE_STARTERS);
  CHECK(pieces.count > 8 && starters.count >= 4 && table_of(result, LAPW_TABLE_WALLS).count == 2 &&
        table_of(result, LAPW_TABLE_JOINTS).count >= 8);
  CHECK(strcmp(LAPW_ROW(lapw_plan_wall, table_of(result, LAPW_TABLE_WALLS), 1)->name, "north") == 0);
  for (i = 0; i < placements.count; ++i) {
    const lapw_placement* p = LAPW_ROW(lapw_placement, placements, i);
    CHECK(p->piece < pieces.count && p->starter < starters.count && (p->piece >= 0) != (p->starter >= 0));
    if (p->piece >= 0)
      ++cut;
    else
      strips += p->width;
  }
  CHECK(cut == pieces.count);
  totals = LAPW_ROW(lapw_totals, table_of(result, LAPW_TABLE_TOTALS), 0);
  CHECK(totals->proven_minimum > 0 && totals->proven_minimum <= totals->cost + 1e-9 &&
        fabs(strips - totals->starter_inches) < 1e-6);
  lapw_result_free(result);
  CHECK(call_settle(&m, &result, &e) == LAPW_OK);
  lapw_result_free(result);
  CHECK(lapw_settle_boards(NULL, NULL, 1, m.lines, 4, &m.rules, &result, &e) == LAPW_E_ARGUMENT &&
        result == NULL);
  CHECK(lapw_settle_boards(walls, NULL, 0, m.lines, 4, &m.rules, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  CHECK(lapw_settle_boards(walls, NULL, -1, m.lines, 4, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_settle_boards(walls, NULL, INT64_MAX, m.lines, 4, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_settle_boards(walls, NULL, 2, NULL, 4, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_settle_boards(walls, NULL, 2, m.lines, -4, &m.rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_settle_boards(walls, NULL, 2, m.lines, 4, NULL, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_settle_boards(walls, NULL, 2, m.lines, 4, &m.rules, NULL, &e) == LAPW_E_ARGUMENT);
  walls[1].name = walls[0].name = "south"; /* twice */
  CHECK(lapw_settle_boards(walls, NULL, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "walls[1].name") == 0);
  lapw_result_free(result);
  walls[1].name = "north";
  walls[1].first_course = 4;
  CHECK(lapw_settle_boards(walls, NULL, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "walls[1].first_course") == 0);
  lapw_result_free(result);
  walls[1].first_course = 0;
  framings[1].first = NAN;
  CHECK(lapw_settle_boards(walls, framings, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_E_ARGUMENT &&
        strcmp(e.path, "framings[1].first") == 0);
  framings[1].first = 0.75;
  framings[1].stud_width = 0.25;
  CHECK(lapw_settle_boards(walls, framings, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "framings[1].stud_width") == 0);
  lapw_result_free(result);
  framings[1].stud_width = 1.5;
  for (s = 0; s < ABSURD_SIZES; ++s) {
    walls[s % 2].struct_size = absurd_sizes[s];
    CHECK(lapw_settle_boards(walls, NULL, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    walls[s % 2].struct_size = sizeof walls[0];
    framings[s % 2].struct_size = absurd_sizes[s];
    CHECK(lapw_settle_boards(walls, framings, 2, m.lines, 4, &m.rules, &result, &e) == LAPW_E_STRUCT_SIZE);
    framings[s % 2].struct_size = sizeof framings[0];
  }
  bad_board_rules(call_settle, &m);
}

const capi_test own_model_tests[] = {
    {"lapw_lap_profile", test_lap_profile},
    {"lapw_course_rules_init", test_course_rules_init},
    {"lapw_lay_courses", test_lay_courses},
    {"lapw_rake_input_init", test_rake_input_init},
    {"lapw_rake_template", test_rake_template},
    {"lapw_cut_lengths", test_cut_lengths},
    {"lapw_framing_init", test_framing_init},
    {"lapw_nail_rules_init", test_nail_rules_init},
    {"lapw_place_fasteners", test_place_fasteners},
    {"lapw_run_rules_init", test_run_rules_init},
    {"lapw_find_runs", test_find_runs},
    {"lapw_board_rules_init", test_board_rules_init},
    {"lapw_place_joints", test_place_joints},
    {"lapw_pack_boards", test_pack_boards},
    {"lapw_settle_boards", test_settle_boards},
};
const int own_model_test_count = (int)(sizeof own_model_tests / sizeof own_model_tests[0]);
