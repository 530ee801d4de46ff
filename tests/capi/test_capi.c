/* Every function of the C interface has its own test here and in test_own_model.c, in C: what it does, and
 * that it refuses NULL, NaN, negative counts, short and absurd sizes with the status it promises. test_capi
 * NAME runs one; --list names them. */
#include "test_capi.h"

#include <math.h>
#include <string.h>

static const char job[] =
    "{\"lapwright\":1,\"name\":\"shed\",\"board\":{\"width\":8.25,\"lengths\":[144]},\"search\":{\"effort\":"
    "0.05},\"walls\":[{\"name\":"
    "\"front\","
    "\"outline\":[[0,0],[192,0],[192,96],[96,144],[0,96]],\"edges\":[\"base\",\"corner\",\"rake\",\"rake\","
    "\"corner\"],"
    "\"start\":[-0.5,0.5],\"openings\":[{\"name\":\"W1\",\"at\":[60,30],\"size\":[36,40]}]}]}";

static lapw_result* planned(void) {
  lapw_error e = new_error();
  lapw_result* plan = NULL;
  const lapw_status status = lapw_plan_job(job, -1, NULL, &plan, &e);
  if (status != LAPW_OK) printf("%s: %s\n", e.path, e.message);
  CHECK(status == LAPW_OK && plan != NULL);
  return plan;
}

static void test_abi_version(void) {
  CHECK(lapw_abi_version() == LAPW_ABI_VERSION);
}

static void test_version(void) {
  CHECK(strchr(lapw_version(), '.') != NULL);
}

static void test_status_name(void) {
  CHECK(strcmp(lapw_status_name(LAPW_OK), "LAPW_OK") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_INTERNAL), "LAPW_E_INTERNAL") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_MEMORY), "LAPW_E_MEMORY") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_ARGUMENT), "LAPW_E_ARGUMENT") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_STRUCT_SIZE), "LAPW_E_STRUCT_SIZE") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_UNSUPPORTED), "LAPW_E_UNSUPPORTED") == 0);
  CHECK(strcmp(lapw_status_name(LAPW_E_REFUSED), "LAPW_E_REFUSED") == 0);
  CHECK(strcmp(lapw_status_name(12345), "LAPW_E_INTERNAL") == 0);
  CHECK(strcmp(lapw_status_name(-1), "LAPW_E_INTERNAL") == 0);
}

static void test_result_table(void) {
  lapw_table t;
  lapw_result* result = NULL;
  lapw_stock stock[1] = {{10, 1}};
  size_t i;
  memset(&t, 0, sizeof t);
  CHECK(lapw_cut_lengths(NULL, 0, stock, 1, 0, 1, &result, NULL) == LAPW_OK);
  CHECK(lapw_result_table(result, LAPW_TABLE_PIECES, &t) == LAPW_E_STRUCT_SIZE);
  t.struct_size = sizeof t - 1;
  CHECK(lapw_result_table(result, LAPW_TABLE_PIECES, &t) == LAPW_E_STRUCT_SIZE);
  /* A greater struct may be a newer caller's: what is known is filled. */
  for (i = 2; i < ABSURD_SIZES; ++i) {
    t.struct_size = absurd_sizes[i];
    CHECK(lapw_result_table(result, LAPW_TABLE_TOTALS, &t) == LAPW_OK && t.count == 1);
  }
  t.struct_size = sizeof t;
  CHECK(lapw_result_table(result, LAPW_TABLE_TOTALS, &t) == LAPW_OK && t.count == 1 &&
        t.row_size == sizeof(lapw_totals) && (uintptr_t)t.rows % 8 == 0);
  CHECK(lapw_result_table(result, 4711, &t) == LAPW_E_UNSUPPORTED && t.count == 0 && t.rows == NULL);
  CHECK(lapw_result_table(result, -1, &t) == LAPW_E_UNSUPPORTED);
  CHECK(lapw_result_table(result, LAPW_TABLE_PIECES, NULL) == LAPW_E_ARGUMENT);
  CHECK(lapw_result_table(NULL, LAPW_TABLE_PIECES, &t) == LAPW_E_ARGUMENT);
  lapw_result_free(result);
}

static void test_result_text(void) {
  lapw_result* result = NULL;
  lapw_stock stock[1] = {{10, 1}};
  int64_t size = 99;
  CHECK(lapw_result_text(NULL, NULL) == NULL);
  CHECK(lapw_result_text(NULL, &size) == NULL && size == 0);
  CHECK(lapw_cut_lengths(NULL, 0, stock, 1, 0, 1, &result, NULL) == LAPW_OK);
  size = 99;
  CHECK(lapw_result_text(result, &size)[0] == 0 && size == 0);
  lapw_result_free(result);
  result = planned();
  CHECK(lapw_result_text(result, &size)[0] == '{' && (int64_t)strlen(lapw_result_text(result, NULL)) == size);
  lapw_result_free(result);
}

static void test_result_free(void) {
  lapw_result_free(NULL);
  lapw_result_free(planned()); /* the sanitizer looks for what is left behind */
}

static void test_plan_options_init(void) {
  lapw_plan_options options;
  CHECK_INIT(lapw_plan_options, lapw_plan_options_init);
  CHECK(lapw_plan_options_init(&options, sizeof options) == LAPW_OK && options.flags == 0);
}

static void test_plan_job(void) {
  lapw_error e = new_error();
  lapw_plan_options options;
  lapw_result* plan = NULL;
  lapw_table t, placements, pieces;
  int64_t i;
  int32_t which;
  size_t s;
  CHECK(lapw_plan_options_init(&options, sizeof options) == LAPW_OK);
  CHECK(lapw_plan_job(job, -1, &options, &plan, &e) == LAPW_OK && plan != NULL);
  for (which = LAPW_TABLE_FAULTS; which <= LAPW_TABLE_RUNS; ++which) (void)table_of(plan, which);
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
  lapw_result_free(plan);

  options.flags = 1;
  CHECK(lapw_plan_job(job, -1, &options, &plan, &e) == LAPW_E_UNSUPPORTED && plan == NULL);
  options.flags = 0;
  for (s = 0; s < ABSURD_SIZES; ++s) {
    options.struct_size = absurd_sizes[s];
    CHECK(lapw_plan_job(job, -1, &options, &plan, &e) == LAPW_E_STRUCT_SIZE && plan == NULL);
  }
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

static void test_audit(void) {
  lapw_error e = new_error();
  lapw_result *plan = planned(), *other = NULL;
  lapw_table t;
  int64_t size = 0;
  (void)lapw_result_text(plan, &size);
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
  CHECK(lapw_audit(job, -2, "{}", -1, &other, &e) == LAPW_E_ARGUMENT &&
        lapw_audit(job, -1, "{}", -2, &other, &e) == LAPW_E_ARGUMENT && other == NULL);
  lapw_result_free(plan);
}

static void test_draw(void) {
  lapw_error e = new_error();
  lapw_result *plan = planned(), *other = NULL;
  lapw_table pieces = table_of(plan, LAPW_TABLE_PIECES);
  int32_t which;
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
  CHECK(lapw_draw(plan, LAPW_DRAW_POLE, 0, 1, 0, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_draw(plan, LAPW_DRAW_TEMPLATE, 0, -1, 0, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_draw(plan, LAPW_DRAW_BOARD, INT64_MAX, 0, 0, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_draw(plan, LAPW_DRAW_POLE, 0, 0, 0, &other, &e) == LAPW_OK);
  {
    lapw_result* again = NULL; /* a drawing is no plan */
    CHECK(lapw_draw(other, LAPW_DRAW_POLE, 0, 0, 0, &again, &e) == LAPW_E_ARGUMENT && again == NULL);
  }
  lapw_result_free(other);
  lapw_result_free(plan);
}

static void test_write_sheet(void) {
  lapw_error e = new_error();
  lapw_result *plan = planned(), *other = NULL;
  int64_t size = 0;
  int32_t which;
  for (which = LAPW_SHEET_SUMMARY; which <= LAPW_SHEET_PAGE; ++which) {
    CHECK(lapw_write_sheet(plan, which, &other, &e) == LAPW_OK && lapw_result_text(other, &size)[0] != 0 &&
          size > 20);
    lapw_result_free(other);
  }
  CHECK(lapw_write_sheet(plan, 9, &other, &e) == LAPW_E_UNSUPPORTED &&
        lapw_write_sheet(NULL, 1, &other, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_write_sheet(plan, 1, NULL, &e) == LAPW_E_ARGUMENT);
  lapw_result_free(plan);
}

static void test_parse_length(void) {
  lapw_error e = new_error();
  double inches = 1;
  CHECK(lapw_parse_length("63-7/16", -1, &inches, &e) == LAPW_OK && inches == 63.4375 && e.code == LAPW_OK &&
        e.message[0] == 0);
  CHECK(lapw_parse_length("5' 3 7/16\"junk", 10, &inches, &e) == LAPW_OK && inches == 63.4375);
  CHECK(lapw_parse_length("about a yard", -1, &inches, &e) == LAPW_E_REFUSED && e.code == LAPW_E_REFUSED &&
        e.message[0] != 0);
  CHECK(lapw_parse_length(NULL, 3, &inches, &e) == LAPW_E_ARGUMENT && strcmp(e.path, "text") == 0);
  CHECK(lapw_parse_length("1", -7, &inches, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_parse_length("1", -1, NULL, &e) == LAPW_E_ARGUMENT);
  CHECK(lapw_parse_length("1", -1, &inches, NULL) == LAPW_OK);
}

static void test_format_length(void) {
  lapw_error e = new_error();
  char buffer[64];
  int64_t needed = 0;
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

static const capi_test document_tests[] = {
    {"lapw_abi_version", test_abi_version},
    {"lapw_version", test_version},
    {"lapw_status_name", test_status_name},
    {"lapw_result_table", test_result_table},
    {"lapw_result_text", test_result_text},
    {"lapw_result_free", test_result_free},
    {"lapw_plan_options_init", test_plan_options_init},
    {"lapw_plan_job", test_plan_job},
    {"lapw_audit", test_audit},
    {"lapw_draw", test_draw},
    {"lapw_write_sheet", test_write_sheet},
    {"lapw_parse_length", test_parse_length},
    {"lapw_format_length", test_format_length},
};

/* Runs, or names, those of `count` tests that are asked for. Returns how many. */
static int run_tests(const capi_test* tests, int count, const char* wanted, int list) {
  int i, ran = 0;
  for (i = 0; i < count; ++i) {
    if (wanted && strcmp(wanted, tests[i].name) != 0) continue;
    if (list)
      printf("T %s\n", tests[i].name);
    else
      tests[i].run();
    ++ran;
  }
  return ran;
}

int main(int argc, char** argv) {
  const int list = argc > 1 && strcmp(argv[1], "--list") == 0;
  const char* wanted = argc > 1 && !list ? argv[1] : NULL;
  const int ran =
      run_tests(document_tests, (int)(sizeof document_tests / sizeof document_tests[0]), wanted, list) +
      run_tests(own_model_tests, own_model_test_count, wanted, list);
  if (!list) printf("%d functions tested\n", ran);
  return ran == 0;
}
