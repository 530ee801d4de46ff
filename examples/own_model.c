/* A host with a model of its own, in C: it lays courses, makes a rake template and places nails through the C
 * interface, without a job document. Prints what a crew would ask for. Exit status 0 on success. Follow local
 * codes and the maker's written instructions. */
#include <lapwright.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The host's model: a gable end 24 ft wide with one window. Inches. */
static const double wall_width = 288, eave = 96, rise = 6, run = 12;
static const double window_sill = 36, window_head = 84;
static const double trim = 3.625; /* corner trim and its gap */

static void stop(const char* what, lapw_status status, const lapw_error* error) {
  fprintf(stderr, "%s: %s at %s: %s\n", what, lapw_status_name(status), error->path, error->message);
  exit(1);
}

static lapw_table table_of(const lapw_result* result, int32_t which) {
  lapw_table table;
  memset(&table, 0, sizeof table);
  table.struct_size = sizeof table;
  if (lapw_result_table(result, which, &table) != LAPW_OK) exit(1);
  return table;
}

static void say(const char* before, double inches, const char* after) {
  char text[64];
  lapw_error error;
  lapw_status status;
  error.struct_size = sizeof error;
  status = lapw_format_length(inches, 0.0625, LAPW_FEET_INCHES, text, sizeof text, NULL, &error);
  if (status != LAPW_OK) stop("a length", status, &error);
  printf("%s%s%s", before, text, after);
}

int main(void) {
  lapw_error error;
  lapw_status status;
  lapw_result *courses = NULL, *shape = NULL, *nails = NULL;
  lapw_table lines, templates, rows;
  lapw_wall_heights wall;
  lapw_mark marks[3];
  lapw_rake_input rake;
  lapw_framing framing;
  lapw_nail_piece* pieces;
  double *xy, *heights;
  int64_t i, count;
  memset(&error, 0, sizeof error);
  error.struct_size = sizeof error;

  if (lapw_abi_version() != LAPW_ABI_VERSION) return 1;

  /* 1. Courses: one pole for the wall, landing on the window's sill and head. */
  memset(&wall, 0, sizeof wall);
  memset(marks, 0, sizeof marks);
  marks[0].height = window_sill - trim;
  marks[0].board_below = 1;
  marks[1].height = window_head + trim;
  marks[2].height = eave;
  marks[2].board_below = 1;
  wall.struct_size = sizeof wall;
  wall.name = "gable";
  wall.highest = eave; /* below the eave; the gable goes on with the same exposure */
  wall.has_start = 1;
  wall.start_low = -0.5;
  wall.start_high = 0.5;
  wall.marks = marks;
  wall.mark_count = 3;
  status = lapw_lay_courses(&wall, 1, NULL, &courses, &error);
  if (status != LAPW_OK) stop("courses", status, &error);
  lines = table_of(courses, LAPW_TABLE_LINES);
  printf("Pole, %d lines:\n", (int)lines.count);
  for (i = 0; i < lines.count; ++i) say("  ", LAPW_ROW(lapw_line, lines, i)->height, "\n");

  /* 2. The template for the rake. */
  status = lapw_rake_input_init(&rake, sizeof rake);
  if (status != LAPW_OK) stop("rake", status, &error);
  rake.rise = rise;
  rake.run = run;
  rake.exposure = LAPW_ROW(lapw_line, lines, 0)->exposure;
  status = lapw_rake_template(&rake, &shape, &error);
  if (status != LAPW_OK) stop("rake", status, &error);
  templates = table_of(shape, LAPW_TABLE_TEMPLATES);
  say("Rake: long point to short point ", LAPW_ROW(lapw_template, templates, 0)->offset, ", ");
  say("each course shorter by ", LAPW_ROW(lapw_template, templates, 0)->step, " at this end\n");

  /* 3. Nails for two boards a course that meet on the stud at 144 3/4. */
  count = 2 * lines.count;
  pieces = calloc((size_t)count, sizeof *pieces);
  xy = calloc((size_t)count * 8, sizeof *xy);
  heights = calloc((size_t)lines.count, sizeof *heights);
  if (!pieces || !xy || !heights) return 1;
  for (i = 0; i < count; ++i) {
    const double y = LAPW_ROW(lapw_line, lines, i / 2)->height;
    const double left = i % 2 ? 144.75 : trim, right = i % 2 ? wall_width - trim : 144.75;
    double* p = xy + 8 * i;
    heights[i / 2] = y;
    p[0] = p[6] = left;
    p[2] = p[4] = right;
    p[1] = p[3] = y;
    p[5] = p[7] = y + 8.25;
    pieces[i].struct_size = sizeof *pieces;
    pieces[i].course = (int32_t)(i / 2);
    pieces[i].xy = p;
    pieces[i].vertex_count = 4;
    pieces[i].joint_right = i % 2 == 0;
    pieces[i].joint_left = i % 2 == 1;
  }
  status = lapw_framing_init(&framing, sizeof framing);
  if (status != LAPW_OK) stop("framing", status, &error);
  framing.wall_x_max = wall_width;
  status = lapw_place_fasteners(pieces, count, heights, lines.count, &framing, NULL, &nails, &error);
  if (status != LAPW_OK) stop("fasteners", status, &error);
  rows = table_of(nails, LAPW_TABLE_NAILS);
  printf("%d nails, %.0f percent in framing\n", (int)rows.count,
         100 * LAPW_ROW(lapw_plan_wall, table_of(nails, LAPW_TABLE_WALLS), 0)->framing_share);
  for (i = 0; i < rows.count && LAPW_ROW(lapw_nail, rows, i)->piece == 0; ++i) {
    say("  first board, nail at ", LAPW_ROW(lapw_nail, rows, i)->x, "");
    say(", up ", LAPW_ROW(lapw_nail, rows, i)->y, "\n");
  }

  lapw_result_free(courses);
  lapw_result_free(shape);
  lapw_result_free(nails);
  free(pieces);
  free(xy);
  free(heights);
  return 0;
}
