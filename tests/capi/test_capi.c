/* Every function of the C interface, in C: what it does, and that it refuses NULL, NaN, negative counts,
 * short and absurd sizes with the status it promises. */
#include "lapwright.h"

#include <math.h>
#include <string.h>

#include "check.h"

static const char job[] =
    "{\"lapwright\":1,\"name\":\"shed\",\"board\":{\"width\":8.25,\"lengths\":[144]},\"walls\":[{\"name\":"
    "\"front\","
    "\"outline\":[[0,0],[192,0],[192,96],[96,144],[0,96]],\"edges\":[\"base\",\"corner\",\"rake\",\"rake\","
    "\"corner\"],"
    "\"start\":[-0.5,0.5],\"openings\":[{\"name\":\"W1\",\"at\":[60,30],\"size\":[36,40]}]}]}";

static lapw_error new_error(void) {
  lapw_error e;
  memset(&e, 0x55, sizeof e);
  e.struct_size = sizeof e;
  return e;
}

static lapw_table table_of(const lapw_result* result, int32_t which) {
  lapw_table t;
  memset(&t, 0, sizeof t);
  t.struct_size = sizeof t;
  CHECK(lapw_result_table(result, which, &t) == LAPW_OK);
  CHECK(t.count == 0 ? t.rows == NULL : t.rows != NULL);
  return t;
}

static void test_versions(void) {
  CHECK(lapw_abi_version() == LAPW_ABI_VERSION);
  CHECK(strchr(lapw_version(), '.') != NULL);
  CHECK(strcmp(lapw_status_name(LAPW_OK), "LAPW_OK") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_REFUSED), "LAPW_E_REFUSED") == 0);
  CHECK(strcmp(lapw_status_name(12345), "LAPW_E_INTERNAL") == 0);
}

static void test_lengths(void) {
  lapw_error e = new_error();
  double inches = 1;
  char buffer[64];
  int64_t needed = 0;
  CHECK(lapw_parse_length("63-7/16", -1, &inches, &e) == LAPW_OK && inches == 63.4375 && e.code == LAPW_OK &&
        e.message[0] == 0);
  CHECK(lapw_parse_length("5' 3 7/16\"junk", 10, &inches, &e) == LAPW_OK && inches == 63.4375);
  CHECK(lapw_parse_length("about a yard", -1, &inches, &e) == LAPW_E_REFUSED && e.code == LAPW_E_REFUSED &&
        e.message[0] != 0);
  CHECK(lapw_parse_length(NULL, 3, &inches, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "text") == 0);
  CHECK(lapw_parse_length("1", -7, &inches, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_parse_length("1", -1, NULL, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_parse_length("1", -1, &inches, NULL) == LAPW_OK);
  CHECK(lapw_format_length(62.375, 0.0625, LAPW_FEET_INCHES, buffer, sizeof buffer, &needed, &e) == LAPW_OK);
  CHECK(strcmp(buffer, "5' 2 3/8\"") == 0 && needed == (int64_t)strlen(buffer) + 1);
  CHECK(lapw_format_length(62.375, 0.0625, LAPW_INCHES, buffer, 3, &needed, &e) == LAPW_E_ARGUMENT &&
        buffer[0] == 0 && needed == 7);
  CHECK(lapw_format_length(62.375, 0.0625, LAPW_INCHES, NULL, 0, &needed, &e) == LAPW_E_ARGUMENT &&
        needed == 7);
  CHECK(lapw_format_length(NAN, 0.0625, LAPW_INCHES, buffer, sizeof buffer, NULL, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_format_length(1, 0, LAPW_INCHES, buffer, sizeof buffer, NULL, &e) == LAPW_E_REFUSED);
  CHECK(lapw_format_length(1, 1, 9, buffer, sizeof buffer, NULL, &e) == LAPW_E_UNSUPPORTED);
  CHECK(lapw_format_length(1, 1, 0, buffer, -1, NULL, &e) == LAPW_E_ARGUMENT);
}

static void test_lap_profile(void) {
  lapw_error e = new_error();
  lapw_lap_figures f;
  memset(&f, 0, sizeof f);
  CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, &f, &e) == LAPW_E_STRUCT_SIZE);
  f.struct_size = sizeof f;
  CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, &f, &e) == LAPW_OK);
  CHECK(fabs(f.edge_stand_off - 0.3125 * 8.25 / 7) < 1e-12 &&
        fabs(f.face_projection - f.edge_stand_off - 0.3125) < 1e-12);
  CHECK(lapw_lap_profile(8.25, 0.3125, 9, 1, &f, &e) == LAPW_E_REFUSED && e.path[0] != 0);
  CHECK(lapw_lap_profile(NAN, 0.3125, 7, 1, &f, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, NULL, &e) == LAPW_E_ARGUMENT);
}

static void test_courses(void) {
  lapw_error e = new_error();
  lapw_course_rules rules;
  lapw_mark marks[2] = {{36, 1, 0}, {84, 0, 0}};
  lapw_wall_heights wall;
  lapw_result* result = NULL;
  lapw_table lines;
  int64_t i;
  memset(&wall, 0, sizeof wall);
  wall.struct_size = sizeof wall;
  wall.has_start = 1;
  wall.name = "front";
  wall.highest = 108;
  wall.start_low = -0.5;
  wall.start_high = 0.5;
  wall.marks = marks;
  wall.mark_count = 2;
  CHECK(lapw_course_rules_init(NULL, sizeof rules) == LAPW_E_ARGUMENT);
  CHECK(lapw_course_rules_init(&rules, 4) == LAPW_E_STRUCT_SIZE);
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
  wall.struct_size = 0;
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
  wall.struct_size = sizeof wall;
  rules.struct_size = 3;
  CHECK(lapw_lay_courses(&wall, 1, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
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

static void test_rake(void) {
  lapw_error e = new_error();
  lapw_rake_input input;
  lapw_result* result = NULL;
  lapw_table t;
  const lapw_template* row;
  CHECK(lapw_rake_input_init(NULL, sizeof input) == LAPW_E_ARGUMENT);
  CHECK(lapw_rake_input_init(&input, 8) == LAPW_E_STRUCT_SIZE);
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
  input.struct_size = 2;
  CHECK(lapw_rake_template(&input, &result, &e) == LAPW_E_STRUCT_SIZE);
}

static void test_newer_caller(void) {
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

/* A struct_size that is garbage: nothing is read or written beyond the struct. */
static void test_absurd_sizes(void) {
  const uint32_t absurd[] = {0, 1, 4097, 0x7fffffffu, 0xffffffffu};
  lapw_error e = new_error();
  lapw_result* result = NULL;
  lapw_plan_options options;
  lapw_course_rules courses;
  lapw_rake_input rake;
  lapw_nail_rules nails;
  lapw_framing framing;
  lapw_lap_figures lap;
  lapw_wall_heights wall;
  size_t i;
  for (i = 0; i < sizeof absurd / sizeof absurd[0]; ++i) {
    const uint32_t size = absurd[i];
    CHECK(lapw_plan_options_init(&options, size) == LAPW_E_STRUCT_SIZE);
    CHECK(lapw_course_rules_init(&courses, size) == LAPW_E_STRUCT_SIZE);
    CHECK(lapw_rake_input_init(&rake, size) == LAPW_E_STRUCT_SIZE);
    CHECK(lapw_nail_rules_init(&nails, size) == LAPW_E_STRUCT_SIZE);
    CHECK(lapw_framing_init(&framing, size) == LAPW_E_STRUCT_SIZE);
    CHECK(lapw_plan_options_init(&options, sizeof options) == LAPW_OK);
    options.struct_size = size;
    CHECK(lapw_plan_job(job, -1, &options, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    CHECK(lapw_rake_input_init(&rake, sizeof rake) == LAPW_OK);
    rake.struct_size = size;
    CHECK(lapw_rake_template(&rake, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    CHECK(lapw_course_rules_init(&courses, sizeof courses) == LAPW_OK);
    courses.struct_size = size;
    memset(&wall, 0, sizeof wall);
    wall.struct_size = sizeof wall;
    wall.highest = 96;
    CHECK(lapw_lay_courses(&wall, 1, &courses, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    wall.struct_size = size;
    CHECK(lapw_lay_courses(&wall, 1, NULL, &result, &e) == LAPW_E_STRUCT_SIZE && result == NULL);
    if (size < sizeof lap) {
      lap.struct_size = size;
      CHECK(lapw_lap_profile(8.25, 0.3125, 7, 1, &lap, &e) == LAPW_E_STRUCT_SIZE);
    }
  }
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
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  demands[0].length = 36;
  demands[0].count = INT64_MIN;
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, &result, &e) == LAPW_E_REFUSED);
  lapw_result_free(result);
  CHECK(lapw_cut_lengths(demands, 1, stock, 1, 0, 1, NULL, &e) == LAPW_E_ARGUMENT);
}

static void test_fasteners(void) {
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
  CHECK(lapw_framing_init(NULL, sizeof framing) == LAPW_E_ARGUMENT &&
        lapw_framing_init(&framing, 4) == LAPW_E_STRUCT_SIZE);
  CHECK(lapw_framing_init(&framing, sizeof framing) == LAPW_OK && framing.spacing == 16);
  CHECK(lapw_nail_rules_init(NULL, sizeof rules) == LAPW_E_ARGUMENT &&
        lapw_nail_rules_init(&rules, 4) == LAPW_E_STRUCT_SIZE);
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
  pieces[1].struct_size = 8;
  CHECK(lapw_place_fasteners(pieces, 2, lines, 2, &framing, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
}

static void test_runs(void) {
  lapw_error e = new_error();
  lapw_run_rules rules;
  double xy[8] = {0, 0, 144, 0, 144, 28, 0, 28}, lines[4] = {0, 7, 14, 21};
  double hole[8] = {40, 5, 70, 5, 70, 20, 40, 20}, trim[4] = {3.5, 3.5, 3.5, 3.5},
         gap[4] = {0.125, 0.125, 0.25, 0.125};
  lapw_edge edges[4];
  lapw_opening opening;
  lapw_wall_shape wall;
  lapw_result* result = NULL;
  lapw_table runs;
  memset(edges, 0, sizeof edges);
  memset(&opening, 0, sizeof opening);
  memset(&wall, 0, sizeof wall);
  edges[1].kind = edges[3].kind = LAPW_EDGE_CORNER;
  edges[2].kind = LAPW_EDGE_TOP;
  opening.struct_size = sizeof opening;
  opening.xy = hole;
  opening.vertex_count = 4;
  opening.trim = trim;
  opening.gap = gap;
  wall.struct_size = sizeof wall;
  wall.has_start = 1;
  wall.start_high = 0.5;
  wall.xy = xy;
  wall.vertex_count = 4;
  wall.edges = edges;
  wall.openings = &opening;
  wall.opening_count = 1;
  CHECK(lapw_run_rules_init(NULL, sizeof rules) == LAPW_E_ARGUMENT &&
        lapw_run_rules_init(&rules, 4) == LAPW_E_STRUCT_SIZE);
  CHECK(lapw_run_rules_init(&rules, sizeof rules) == LAPW_OK && rules.min_leg == 2);
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, &result, &e) == LAPW_OK);
  runs = table_of(result, LAPW_TABLE_RUNS);
  CHECK(runs.count >= 5 && LAPW_ROW(lapw_run, runs, 0)->course == 0 &&
        table_of(result, LAPW_TABLE_STARTERS).count >= 2);
  lapw_result_free(result);
  CHECK(lapw_find_runs(&wall, lines, 4, NULL, &result, &e) == LAPW_OK);
  lapw_result_free(result);
  CHECK(lapw_find_runs(NULL, lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT && result == NULL);
  CHECK(lapw_find_runs(&wall, NULL, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_find_runs(&wall, lines, -4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, NULL, &e) == LAPW_E_ARGUMENT);
  wall.first_course = 9;
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, &result, &e) == LAPW_E_REFUSED &&
        strcmp(e.path, "wall.first_course") == 0);
  lapw_result_free(result);
  wall.first_course = 0;
  hole[0] = -40; /* outside the wall */
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, &result, &e) == LAPW_E_REFUSED &&
        strncmp(e.path, "wall.openings[0]", 16) == 0);
  lapw_result_free(result);
  hole[0] = NAN;
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, &result, &e) == LAPW_E_ARGUMENT);
  hole[0] = 40;
  edges[0].kind = 44;
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, &result, &e) == LAPW_E_UNSUPPORTED);
  edges[0].kind = LAPW_EDGE_BASE;
  wall.struct_size = 8;
  CHECK(lapw_find_runs(&wall, lines, 4, &rules, &result, &e) == LAPW_E_STRUCT_SIZE);
}

static void test_plan_and_audit(void) {
  lapw_error e = new_error();
  lapw_plan_options options;
  lapw_result *plan = NULL, *other = NULL;
  lapw_table t, placements, pieces;
  int64_t i, size = 0;
  int32_t which;
  CHECK(lapw_plan_options_init(NULL, 8) == LAPW_E_ARGUMENT &&
        lapw_plan_options_init(&options, 0) == LAPW_E_STRUCT_SIZE);
  CHECK(lapw_plan_options_init(&options, sizeof options) == LAPW_OK);
  CHECK(lapw_plan_job(job, -1, &options, &plan, &e) == LAPW_OK && plan != NULL);
  for (which = LAPW_TABLE_FAULTS; which <= LAPW_TABLE_CAUTIONS; ++which) (void)table_of(plan, which);
  CHECK(table_of(plan, LAPW_TABLE_FAULTS).count == 0);
  pieces = table_of(plan, LAPW_TABLE_PIECES);
  placements = table_of(plan, LAPW_TABLE_PLACEMENTS);
  CHECK(pieces.count > 10 && pieces.row_size >= sizeof(lapw_piece));
  t = table_of(plan, LAPW_TABLE_RINGS);
  for (i = 0; i < pieces.count; ++i) {
    const lapw_piece* piece = LAPW_ROW(lapw_piece, pieces, i);
    CHECK(piece->id[0] != 0 && piece->first_ring + piece->ring_count <= t.count &&
          piece->x_max > piece->x_min);
    CHECK(piece->first_cut + piece->cut_count <= table_of(plan, LAPW_TABLE_CUTS).count);
    CHECK(piece->nail_count > 0 &&
          piece->first_nail + piece->nail_count <= table_of(plan, LAPW_TABLE_NAILS).count);
  }
  {
    /* Every piece is cut from exactly one board. */
    int64_t* seen = calloc((size_t)pieces.count, sizeof *seen);
    CHECK(seen != NULL);
    for (i = 0; i < placements.count; ++i) {
      const lapw_placement* p = LAPW_ROW(lapw_placement, placements, i);
      CHECK((p->piece >= 0) != (p->starter >= 0));
      if (p->piece >= 0) ++seen[p->piece];
    }
    for (i = 0; i < pieces.count; ++i) CHECK(seen[i] == 1);
    free(seen);
  }
  CHECK(table_of(plan, LAPW_TABLE_CAUTIONS).count >= 5);
  CHECK(lapw_result_text(plan, &size)[0] == '{' && (int64_t)strlen(lapw_result_text(plan, NULL)) == size);

  CHECK(lapw_audit(job, -1, lapw_result_text(plan, NULL), size, &other, &e) == LAPW_OK);
  t = table_of(other, LAPW_TABLE_FINDINGS);
  if (t.count > 0)
    printf("audit: %s: %s\n", LAPW_ROW(lapw_finding, t, 0)->code, LAPW_ROW(lapw_finding, t, 0)->message);
  CHECK(t.count == 0);
  lapw_result_free(other);
  CHECK(lapw_audit(job, -1, "{}", -1, &other, &e) == LAPW_OK &&
        table_of(other, LAPW_TABLE_FINDINGS).count > 0);
  lapw_result_free(other);
  CHECK(lapw_audit("{}", -1, "{}", -1, &other, &e) == LAPW_E_REFUSED);
  lapw_result_free(other);
  CHECK(lapw_audit(NULL, -1, "{}", -1, &other, &e) == LAPW_E_ARGUMENT &&
        lapw_audit(job, -1, NULL, 4, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_audit(job, -1, "{}", -1, NULL, &e) == LAPW_E_ARGUMENT);

  for (which = LAPW_DRAW_ELEVATION; which <= LAPW_DRAW_LAP; ++which) {
    CHECK(lapw_draw(plan, which, 0, 0, which == LAPW_DRAW_ELEVATION ? LAPW_DRAW_STUDS | LAPW_DRAW_NAILS : 0,
                    &other, &e) == LAPW_OK);
    CHECK(strncmp(lapw_result_text(other, NULL), "<svg", 4) == 0);
    lapw_result_free(other);
  }
  CHECK(lapw_draw(plan, LAPW_DRAW_PIECE, pieces.count, 0, 0, &other, &e) == LAPW_E_ARGUMENT && other == NULL);
  CHECK(lapw_draw(plan, LAPW_DRAW_PIECE, -1, 0, 0, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_draw(plan, LAPW_DRAW_TEMPLATE, 0, 99, 0, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_draw(plan, 77, 0, 0, 0, &other, &e) == LAPW_E_UNSUPPORTED);
  CHECK(lapw_draw(plan, LAPW_DRAW_POLE, 0, 0, 1024, &other, &e) == LAPW_E_UNSUPPORTED);
  CHECK(lapw_draw(NULL, LAPW_DRAW_POLE, 0, 0, 0, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_draw(plan, LAPW_DRAW_POLE, 0, 0, 0, NULL, &e) == LAPW_E_ARGUMENT);
  for (which = LAPW_SHEET_SUMMARY; which <= LAPW_SHEET_PAGE; ++which) {
    CHECK(lapw_write_sheet(plan, which, &other, &e) == LAPW_OK && lapw_result_text(other, &size)[0] != 0 &&
          size > 20);
    lapw_result_free(other);
  }
  CHECK(lapw_write_sheet(plan, 9, &other, &e) == LAPW_E_UNSUPPORTED &&
        lapw_write_sheet(NULL, 1, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_write_sheet(plan, 1, NULL, &e) == LAPW_E_ARGUMENT);
  lapw_result_free(plan);

  options.flags = 1;
  CHECK(lapw_plan_job(job, -1, &options, &plan, &e) == LAPW_E_UNSUPPORTED && plan == NULL);
  options.flags = 0;
  options.struct_size = 1;
  CHECK(lapw_plan_job(job, -1, &options, &plan, &e) == LAPW_E_STRUCT_SIZE);
  CHECK(lapw_plan_job(NULL, -1, NULL, &plan, &e) == LAPW_E_ARGUMENT &&
        lapw_plan_job(job, -1, NULL, NULL, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_plan_job(job, -2, NULL, &plan, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_plan_job(job, 20, NULL, &plan, &e) == LAPW_E_REFUSED && plan != NULL); /* cut off: no JSON */
  t = table_of(plan, LAPW_TABLE_FAULTS);
  CHECK(t.count == e.fault_count && t.count >= 1 && LAPW_ROW(lapw_fault, t, 0)->message[0] != 0);
  CHECK(strstr(lapw_result_text(plan, NULL), "errors") != NULL);
  lapw_result_free(plan);
  /* An error struct that is too short is left alone; a call may do without. */
  e.struct_size = 8;
  e.code = 99;
  CHECK(lapw_plan_job("[", -1, NULL, &plan, &e) == LAPW_E_REFUSED && e.code == 99);
  lapw_result_free(plan);
  CHECK(lapw_plan_job("[", -1, NULL, &plan, NULL) == LAPW_E_REFUSED);
  lapw_result_free(plan);
}

static void test_results(void) {
  lapw_table t;
  lapw_result* result = NULL;
  lapw_stock stock[1] = {{10, 1}};
  memset(&t, 0, sizeof t);
  CHECK(lapw_cut_lengths(NULL, 0, stock, 1, 0, 1, &result, NULL) == LAPW_OK);
  CHECK(lapw_result_table(result, LAPW_TABLE_PIECES, &t) == LAPW_E_STRUCT_SIZE);
  t.struct_size = sizeof t;
  CHECK(lapw_result_table(result, 4711, &t) == LAPW_E_UNSUPPORTED && t.count == 0);
  CHECK(lapw_result_table(result, LAPW_TABLE_PIECES, NULL) == LAPW_E_ARGUMENT);
  CHECK(lapw_result_table(NULL, LAPW_TABLE_PIECES, &t) == LAPW_E_ARGUMENT);
  CHECK(lapw_result_text(NULL, NULL) == NULL && lapw_result_text(result, NULL)[0] == 0);
  lapw_result_free(result);
  lapw_result_free(NULL);
}

int main(void) {
  test_versions();
  test_lengths();
  test_lap_profile();
  test_courses();
  test_rake();
  test_newer_caller();
  test_absurd_sizes();
  test_cut_lengths();
  test_results();
  test_fasteners();
  test_runs();
  test_plan_and_audit();
  return 0;
}
