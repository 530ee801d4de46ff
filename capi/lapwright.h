/* clang-format off */  /* columns of comments are read as tables */
/* lapwright.h - the C interface of Lapwright: plans lap siding.  C99, and C++11 or newer.
 *
 * CONVENTIONS, stated once
 *   Units      Lengths are inches unless a name or comment says otherwise; angles degrees; x runs right along
 *              a wall seen from outside, y up from one datum that all walls share.
 *   Numbers    Inputs must be finite. Outputs are finite, unless a field says otherwise.
 *   Counts     int64_t; of a list in, at most 1,000,000. Indices are 0-based and point into another table of the same
 *              result; -1 means "none".
 *   Flags      int32_t, 0 or 1; anything else in gives LAPW_E_ARGUMENT. Members called reserved are 0, in and out.
 *   Status     0 is success. A code that you do not know is a failure: treat it as LAPW_E_INTERNAL.
 *   Text       UTF-8. Text in is a pointer and a byte count, which may be -1 for NUL-terminated text. Text out is
 *              NUL-terminated and lives as long as the result that it was read from.
 *   Defaults   X_init(&x, sizeof x) fills X with this library's defaults: LAPW_OK, LAPW_E_ARGUMENT for NULL,
 *              LAPW_E_STRUCT_SIZE. Structs without an _init are zeroed by you, and their struct_size set.
 *   Ownership  You own what you pass in, and may free it once the call returns. The library owns what it hands
 *              out: one lapw_result a call, freed with lapw_result_free; its tables and texts live as long as it.
 *   Threads    No global state. Any function may be called from any thread at any time. A result never changes after
 *              it is made: many threads may read it, one may free it.
 *   Exceptions None cross this boundary.
 *   Calls      Every call that makes a result sets *out: to the result on LAPW_OK; on LAPW_E_REFUSED to one that holds
 *              LAPW_TABLE_FAULTS, every fault with its path, and the refusal document; else to NULL. It may give
 *              LAPW_E_ARGUMENT (NULL, a negative count, a number that is not finite), LAPW_E_STRUCT_SIZE, LAPW_E_UNSUPPORTED,
 *              LAPW_E_REFUSED, LAPW_E_MEMORY, LAPW_E_INTERNAL. `error` may be NULL; one whose struct_size is too small is left alone.
 *   Versions   See LAPW_ABI_VERSION. Structs that begin with struct_size, and rows of tables, may grow at the end: set
 *              struct_size to sizeof, read rows row_size apart, take a column that is missing as 0. Other structs never
 *              grow. A field, flag or constant that this library does not know is refused, not ignored.
 *
 * CARE       This work can hurt: silica dust, nail guns, ladders, heavy boards. A plan carries cautions; print them. Local
 *            codes, the maker's written instructions and a licensed professional decide.
 */
#ifndef LAPWRIGHT_H
#define LAPWRIGHT_H

#include <stddef.h>
#include <stdint.h>

#if defined(_WIN32)
#if defined(LAPW_C_BUILD)
#define LAPW_API __declspec(dllexport)
#elif defined(LAPW_C_STATIC)
#define LAPW_API
#else
#define LAPW_API __declspec(dllimport)
#endif
#elif defined(__GNUC__)
#define LAPW_API __attribute__((visibility("default")))
#else
#define LAPW_API
#endif

#ifdef __cplusplus
#define LAPW_NOEXCEPT noexcept
extern "C" {
#else
#define LAPW_NOEXCEPT
#endif

/* ---- version ---------------------------------------------------------------------------------------------- */

/* Goes up only when an existing caller would break. It is the number in liblapwright_c.so.N. */
#define LAPW_ABI_VERSION 1

LAPW_API uint32_t lapw_abi_version(void) LAPW_NOEXCEPT;   /* the library's, to compare with the macro. Since ABI 1 */
LAPW_API const char *lapw_version(void) LAPW_NOEXCEPT;    /* "0.1.0"; static, never freed. Since ABI 1 */

/* ---- status ----------------------------------------------------------------------------------------------- */

typedef int32_t lapw_status; /* a fixed width, not an enum: the size of an enum is the compiler's */
enum {
  LAPW_OK = 0,
  LAPW_E_INTERNAL = 1, /* a fault of the library: please report it, with the input */
  LAPW_E_MEMORY = 2,
  /* 10-19: the call was wrong */
  LAPW_E_ARGUMENT = 10,    /* NULL, negative, out of range, not finite */
  LAPW_E_STRUCT_SIZE = 11, /* struct_size not set, or smaller than the first version */
  LAPW_E_UNSUPPORTED = 12, /* a field, flag or table newer than this library */
  /* 20-29: the job or the demand was wrong; lapw_error.path says where */
  LAPW_E_REFUSED = 20
};

/* "LAPW_E_REFUSED"; never NULL; static. Unknown codes give "LAPW_E_INTERNAL". Since ABI 1. */
LAPW_API const char *lapw_status_name(lapw_status status) LAPW_NOEXCEPT;

/* Where and why. Caller-owned and optional: pass NULL to do without. It is written on success too (code 0, empty
 * texts), so that it never holds an older error. */
typedef struct lapw_error {
  uint32_t struct_size; /* in: sizeof(lapw_error) */
  int32_t code;         /* the same as the returned status */
  int64_t fault_count;  /* faults found in all; the first is told here */
  char path[176];       /* of the faulty value, "walls[0].openings[2].size[0]"; cut off with "..." where longer */
  char message[320];    /* one line, for people */
} lapw_error;           /* 512 bytes */

/* ---- results ---------------------------------------------------------------------------------------------- */

typedef struct lapw_result lapw_result;

/* A view of one table. Rows stand row_size bytes apart, which may exceed sizeof(row). */
typedef struct lapw_table {
  uint32_t struct_size; /* in: sizeof(lapw_table) */
  uint32_t row_size;    /* out */
  const void *rows;     /* out: 8-byte aligned; NULL when count is 0 */
  int64_t count;        /* out */
} lapw_table;

/* Row i of a table, as a pointer to `type`. */
#define LAPW_ROW(type, table, i) ((const type *)((const char *)(table).rows + (size_t)(i) * (table).row_size))

enum {
  LAPW_TABLE_FAULTS = 1,      /* lapw_fault */
  LAPW_TABLE_FINDINGS = 2,    /* lapw_finding */
  LAPW_TABLE_LINES = 3,       /* lapw_line: the pole */
  LAPW_TABLE_WALLS = 4,       /* lapw_plan_wall */
  LAPW_TABLE_JOINTS = 5,      /* lapw_joint */
  LAPW_TABLE_PIECES = 6,      /* lapw_piece */
  LAPW_TABLE_RINGS = 7,       /* lapw_ring */
  LAPW_TABLE_VERTICES = 8,    /* lapw_vertex */
  LAPW_TABLE_CUTS = 9,        /* lapw_cut */
  LAPW_TABLE_NAILS = 10,      /* lapw_nail */
  LAPW_TABLE_STARTERS = 11,   /* lapw_starter */
  LAPW_TABLE_TEMPLATES = 12,  /* lapw_template */
  LAPW_TABLE_BOARDS = 13,     /* lapw_board */
  LAPW_TABLE_PLACEMENTS = 14, /* lapw_placement */
  LAPW_TABLE_OFFCUTS = 15,    /* lapw_offcut */
  LAPW_TABLE_ORDER = 16,      /* lapw_order_line */
  LAPW_TABLE_TOTALS = 17,     /* lapw_totals: one row */
  LAPW_TABLE_LIFTS = 18,      /* lapw_lift */
  LAPW_TABLE_PATTERNS = 19,   /* lapw_pattern */
  LAPW_TABLE_CAUTIONS = 20,   /* lapw_caution */
  LAPW_TABLE_RUNS = 21        /* lapw_run */
};

/* A table of a result; one that the result does not have is empty. O(1), copies nothing.
 * Returns LAPW_OK; LAPW_E_ARGUMENT, LAPW_E_STRUCT_SIZE; LAPW_E_UNSUPPORTED for an unknown table. Since ABI 1. */
LAPW_API lapw_status lapw_result_table(const lapw_result *result, int32_t table, lapw_table *out) LAPW_NOEXCEPT;

/* The text of a result: the plan or refusal document as JSON, the SVG of a drawing; "" where it has none. `size` may be
 * NULL; it receives the byte count. Never NULL for a result; NULL for NULL. Since ABI 1. */
LAPW_API const char *lapw_result_text(const lapw_result *result, int64_t *size) LAPW_NOEXCEPT;

/* Frees a result, its tables and texts. NULL is allowed. Since ABI 1. */
LAPW_API void lapw_result_free(lapw_result *result) LAPW_NOEXCEPT;

typedef struct lapw_vertex {
  double x, y;
} lapw_vertex;

typedef struct lapw_ring { /* outer rings counter-clockwise, holes clockwise; the first vertex is not repeated */
  int64_t first_vertex;
  int64_t vertex_count;
} lapw_ring;

typedef struct lapw_fault {
  const char *path;
  const char *message;
} lapw_fault;

enum { LAPW_NOTE = 0, LAPW_WARNING = 1 };
typedef struct lapw_finding {
  const char *code;
  const char *wall;    /* "" : of the whole house */
  const char *piece;   /* "" : none */
  const char *message; /* one sentence */
  int32_t severity;    /* LAPW_NOTE, LAPW_WARNING */
  int32_t course;      /* index into the lines, or -1 */
  double measured;     /* NaN where there is none */
  double limit;        /* NaN where there is none */
} lapw_finding;

typedef struct lapw_caution {
  const char *text;
} lapw_caution;

typedef struct lapw_line { /* by height */
  double height;
  double exposure; /* to the next line; 0 for the last */
  int32_t built;   /* nailed already */
  int32_t reserved;
} lapw_line;

typedef struct lapw_plan_wall {
  const char *name;
  int32_t first_course, last_course; /* indices into the lines; last_course -1: nothing to side */
  int32_t ripped_start;
  int32_t reserved;
  double last_rip;
  double region_area; /* square inches */
  double framing_share;
  double least_penetration;
  int64_t first_piece, piece_count;
  int64_t first_joint, joint_count;
  int64_t first_starter, starter_count;
  int64_t first_template, template_count;
} lapw_plan_wall;

typedef struct lapw_joint { /* by wall and run, left to right */
  int64_t wall;
  int64_t run; /* row of LAPW_TABLE_RUNS, or -1 where the result has none */
  double x;    /* middle of the gap */
  double stud; /* centre of the stud that carries it */
  int32_t course;
  int32_t left_factory;  /* the piece on its left ends in a factory end there */
  int32_t right_factory; /* the piece on its right does */
  int32_t reserved;
} lapw_joint;

enum {
  LAPW_MEETS_BASE = 0, LAPW_MEETS_CORNER = 1, LAPW_MEETS_TOP = 2, LAPW_MEETS_RAKE = 3, LAPW_MEETS_ROOF = 4,
  LAPW_MEETS_WALL = 5, LAPW_MEETS_OPENING = 6, LAPW_MEETS_JOINT = 7, LAPW_MEETS_FILLER = 8
};
typedef struct lapw_piece { /* by wall, course, left to right; fillers after the pieces of their course */
  const char *id;
  const char *callout; /* its length rounded down to the division */
  int64_t wall;
  double x_min, x_max; /* the blank's ends on the wall */
  double y;            /* its course line */
  double length;
  int64_t first_ring, ring_count; /* the first is the outline, the others holes; on the wall */
  int64_t first_cut, cut_count;
  int64_t first_nail, nail_count;
  int32_t course;
  int32_t filler;
  int32_t left_meets, right_meets; /* LAPW_MEETS_* */
  int32_t left_factory, right_factory;
  int32_t left_seal, right_seal;
} lapw_piece;

enum { LAPW_CROSSCUT = 0, LAPW_RIP = 1, LAPW_RAKE = 2, LAPW_NOTCH = 3 };
enum { LAPW_SHEARS = 0, LAPW_SAW = 1 };
typedef struct lapw_cut { /* in the order a cutter makes them */
  const char *callout;      /* short, face up */
  const char *back_callout; /* short, back up: left is right */
  const char *print;        /* longer */
  int64_t piece;
  int64_t first_front, front_count; /* path in the vertices, from the blank's lower left corner, face up */
  int64_t first_back, back_count;   /* the same path, back up */
  double long_point, short_point;   /* rake: distance of its ends from the blank's other end; NaN for others */
  int32_t kind;                     /* LAPW_CROSSCUT ... */
  int32_t tool;                     /* LAPW_SHEARS, LAPW_SAW */
  int32_t seal;
  int32_t reserved;
} lapw_cut;

enum { LAPW_STUD = 0, LAPW_MEMBER = 1, LAPW_SHEATHING = 2 };
typedef struct lapw_nail {
  int64_t piece;   /* or -1 */
  int64_t starter; /* or -1 */
  double x, y;     /* on the wall */
  double penetration;
  double board, board_below, stand_off, sheathing; /* its path before that */
  double stud_edge; /* to the nearest face of the stud or member; 0 in sheathing */
  int32_t into;     /* LAPW_STUD ... */
  int32_t face;     /* some of the head shows */
} lapw_nail;

enum { LAPW_AT_BASE = 0, LAPW_AT_HEAD = 1, LAPW_AT_ROOF = 2 };
typedef struct lapw_starter {
  const char *id;
  int64_t wall;
  double from_x, from_y, to_x, to_y; /* lower edge of the strip, on the wall */
  double width;                      /* square to it */
  int32_t where;                     /* LAPW_AT_BASE ... */
  int32_t reserved;
} lapw_starter;

enum { LAPW_LEFT = 0, LAPW_RIGHT = 1 };
typedef struct lapw_template {
  int64_t wall;                   /* or -1 */
  double rise, run;
  double angle;                   /* degrees */
  double offset;                  /* long point to short point over the board's width */
  double step;                    /* change of length from course to course */
  double square_run, square_rise; /* settings on a 24 x 16 framing square */
  double error;                   /* over one board if made to the nearest sixteenth */
  double fence;
  double stock_length, stock_width;
  int64_t first_ring, ring_count; /* its outline, origin where slope meets fence */
  int32_t hand;                   /* LAPW_LEFT, LAPW_RIGHT */
  int32_t uses;
} lapw_template;

typedef struct lapw_board { /* in cutting order */
  double length;
  double price;
  int64_t first_placement, placement_count;
  int64_t first_offcut, offcut_count;
  int32_t id;      /* from 1 */
  int32_t on_hand; /* index of the job's offcut it is, or -1: bought */
} lapw_board;

typedef struct lapw_placement {
  int64_t board;
  int64_t piece;        /* or -1 */
  int64_t starter;      /* or -1 */
  double x, y;          /* lower left corner of the blank, or of the strip, on the board, face up */
  double width, height; /* of the blank or of the strip */
  int32_t turned;       /* half a turn in its plane */
  int32_t reserved;
} lapw_placement;

typedef struct lapw_offcut {
  int64_t board;
  double x, y, width, height;
} lapw_offcut;

typedef struct lapw_order_line {
  double length;
  int64_t count;
} lapw_order_line;

typedef struct lapw_totals {
  double cost;
  double proven_minimum; /* no plan under the same rules costs less */
  double sealant_inches;
  double prime_inches;
  double starter_inches;
  double weight_lb;
  int64_t allowance_boards;
  int64_t cartridges;
  int64_t joint_flashings;
  int64_t nails_stud, nails_member, nails_sheathing;
  int64_t nails_face; /* counted again */
  int32_t gauge_settings;
  int32_t reserved;
} lapw_totals;

typedef struct lapw_lift {
  int64_t wall;
  double weight_lb;
  int32_t lift; /* from 1 */
  int32_t first_course, last_course;
  int32_t pieces;
} lapw_lift;

typedef struct lapw_pattern { /* of lapw_cut_lengths: one row for each demand that a pattern holds */
  int64_t pattern;            /* rows with the same number are one pattern */
  int64_t stock;              /* index into the stock */
  int64_t times;              /* how often it is cut */
  int64_t demand;             /* index into the demands */
  int64_t pieces;             /* of that demand in one */
} lapw_pattern;

typedef struct lapw_run { /* by course, left to right; fillers after the runs of their course */
  double x_min, x_max;            /* the blank's ends on the wall */
  int64_t first_ring, ring_count; /* the first is the outline, the others holes; on the wall */
  int32_t course;
  int32_t filler;
} lapw_run;

/* ---- the whole job ---------------------------------------------------------------------------------------- */

typedef struct lapw_plan_options {
  uint32_t struct_size;
  uint32_t flags; /* 0 */
} lapw_plan_options;

/* Since ABI 1. */
LAPW_API lapw_status lapw_plan_options_init(lapw_plan_options *options, uint32_t struct_size) LAPW_NOEXCEPT;

/* Plans a job document.
 *   json, size  the job as JSON
 *   options     NULL for the defaults
 * The result has every table but LAPW_TABLE_FAULTS, LAPW_TABLE_PATTERNS and LAPW_TABLE_RUNS, and the plan document as its text. The same job gives the same bytes on every platform. Since ABI 1. */
LAPW_API lapw_status lapw_plan_job(const char *json, int64_t size, const lapw_plan_options *options, lapw_result **out,
                                   lapw_error *error) LAPW_NOEXCEPT;

/* Audits a plan document, from whoever made it, against its job: LAPW_TABLE_FINDINGS, empty where every rule holds. A plan
 * that cannot be read is a finding; a job that is refused gives LAPW_E_REFUSED and its faults. Since ABI 1. */
LAPW_API lapw_status lapw_audit(const char *job, int64_t job_size, const char *plan, int64_t plan_size, lapw_result **out,
                                lapw_error *error) LAPW_NOEXCEPT;

/* ---- drawings --------------------------------------------------------------------------------------------- */

enum {
  LAPW_DRAW_ELEVATION = 1, /* index: wall */
  LAPW_DRAW_POLE = 2,      /* page: from 0; a second one where the marks need it */
  LAPW_DRAW_PIECE = 3,     /* index: row of LAPW_TABLE_PIECES */
  LAPW_DRAW_BOARD = 4,     /* index: row of LAPW_TABLE_BOARDS */
  LAPW_DRAW_TEMPLATE = 5,  /* index: row of LAPW_TABLE_TEMPLATES; page: from 0 */
  LAPW_DRAW_LAP = 6
};
enum { LAPW_DRAW_STUDS = 1, LAPW_DRAW_NAILS = 2, LAPW_DRAW_A4 = 4 }; /* flags */

/* Draws from a plan made by lapw_plan_job: the new result's text is an SVG document. `index` and `page` are 0 where the list
 * above names none; a page past the last gives LAPW_E_ARGUMENT. Since ABI 1. */
LAPW_API lapw_status lapw_draw(const lapw_result *plan, int32_t drawing, int64_t index, int64_t page, uint32_t flags,
                               lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

enum { LAPW_SHEET_SUMMARY = 1, LAPW_SHEET_CUTS = 2, LAPW_SHEET_BOARDS = 3, LAPW_SHEET_PAGE = 4 };

/* Writes a sheet from a plan made by lapw_plan_job as the new result's text: plain text, or for LAPW_SHEET_PAGE one page of
 * HTML. Since ABI 1. */
LAPW_API lapw_status lapw_write_sheet(const lapw_result *plan, int32_t sheet, lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

/* ---- lengths ---------------------------------------------------------------------------------------------- */

/* Reads `63-7/16`, `63 7/16"`, `63.4375in`, `5' 3 7/16"`, `5 ft 3 7/16 in`, `1611 mm`: inches in *inches, 0 on a failure.
 * Without a unit it is inches. LAPW_E_REFUSED for anything else. Since ABI 1. */
LAPW_API lapw_status lapw_parse_length(const char *text, int64_t size, double *inches, lapw_error *error) LAPW_NOEXCEPT;

enum { LAPW_INCHES = 0, LAPW_FEET_INCHES = 1 };
/* Writes inches to the nearest `division` into the caller's buffer, NUL-terminated. *needed (may be NULL) receives the bytes
 * that it takes with the NUL; a buffer that is too small gives LAPW_E_ARGUMENT and an empty text. Since ABI 1. */
LAPW_API lapw_status lapw_format_length(double inches, double division, int32_t style, char *buffer, int64_t buffer_size,
                                        int64_t *needed, lapw_error *error) LAPW_NOEXCEPT;

/* ---- for hosts with a model of their own ------------------------------------------------------------------ */

typedef struct lapw_lap_figures { /* all inches but where it says otherwise */
  uint32_t struct_size;           /* in */
  uint32_t reserved;
  double slope;
  double angle; /* degrees */
  double edge_stand_off;
  double face_projection;
  double nail_stand_off;
  double least_trim;
  double starter_width;
  double starter_thickness;
} lapw_lap_figures;

/* How a board `width` wide leans over the one below. 0 < exposure < width, 0 < thickness, 0 <= top_edge <= width (the nail
 * line below the board's upper edge), else LAPW_E_REFUSED. Set out->struct_size; members beyond the library's are left as
 * they were. Since ABI 1. */
LAPW_API lapw_status lapw_lap_profile(double width, double thickness, double exposure, double top_edge,
                                      lapw_lap_figures *out, lapw_error *error) LAPW_NOEXCEPT;

enum { LAPW_MODE_FULL = 0, LAPW_MODE_EVEN = 1, LAPW_MODE_FITTED = 2 };
typedef struct lapw_course_rules {
  uint32_t struct_size;
  int32_t mode;               /* default LAPW_MODE_FITTED */
  double board_width;         /* default 8.25 */
  double min_lap;             /* default 1.25 */
  double max_exposure;        /* 0 (default): board_width - min_lap */
  double min_exposure;        /* 0 (default): max_exposure - 1 */
  double division;            /* default 1/16 */
  double max_step;            /* default 1/8 */
  double min_strip;           /* default 1 1/2 */
  const double *built_lines;  /* lines nailed already, from the lowest; NULL for none */
  int64_t built_count;
} lapw_course_rules;
/* Since ABI 1. */
LAPW_API lapw_status lapw_course_rules_init(lapw_course_rules *rules, uint32_t struct_size) LAPW_NOEXCEPT;

typedef struct lapw_mark {
  double height;
  int32_t board_below; /* 1: the board next to it is below (a sill, a top); 0: above (a head, a step) */
  int32_t reserved;
} lapw_mark;
typedef struct lapw_wall_heights {
  uint32_t struct_size;
  int32_t has_start;
  const char *name; /* NUL-terminated; NULL: "wall N" */
  double lowest, highest;
  double start_low, start_high; /* where the first line lies, if has_start */
  const lapw_mark *marks;
  int64_t mark_count;
} lapw_wall_heights;

/* Lays the courses of all walls on one pole: LAPW_TABLE_LINES, LAPW_TABLE_WALLS (courses only), LAPW_TABLE_FINDINGS, LAPW_TABLE_TOTALS
 * (gauge_settings only). Rows of `walls` stand walls[0].struct_size bytes apart. rules NULL: the defaults. Since ABI 1. */
LAPW_API lapw_status lapw_lay_courses(const lapw_wall_heights *walls, int64_t wall_count, const lapw_course_rules *rules,
                                      lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

typedef struct lapw_rake_input {
  uint32_t struct_size;
  int32_t hand;        /* LAPW_LEFT, LAPW_RIGHT */
  double rise, run;    /* both above 0; or both 0 to use the angle */
  double degrees;      /* from level */
  double board_width;  /* default 8.25 */
  double exposure;     /* default 7 */
  double division;     /* default 1/16 */
} lapw_rake_input;
/* Since ABI 1. */
LAPW_API lapw_status lapw_rake_input_init(lapw_rake_input *input, uint32_t struct_size) LAPW_NOEXCEPT;

/* One template: LAPW_TABLE_TEMPLATES with its ring and vertices. The text is page 1 of its drawing 1:1 on Letter paper,
 * "" where that would take hundreds of pages.
 * LAPW_E_REFUSED outside 1:12 to 24:12. Since ABI 1. */
LAPW_API lapw_status lapw_rake_template(const lapw_rake_input *input, lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

typedef struct lapw_demand {
  double length;
  int64_t count;
} lapw_demand;
typedef struct lapw_stock {
  double length;
  double price;
} lapw_stock;

/* The plain cutting problem: least cost to cut every demand from the stock with `kerf` lost between neighbours.
 * LAPW_TABLE_PATTERNS, LAPW_TABLE_TOTALS (cost, proven_minimum). effort 1 is the default. Since ABI 1. */
LAPW_API lapw_status lapw_cut_lengths(const lapw_demand *demands, int64_t demand_count, const lapw_stock *stock,
                                      int64_t stock_count, double kerf, double effort, lapw_result **out,
                                      lapw_error *error) LAPW_NOEXCEPT;

typedef struct lapw_nail_rules {
  uint32_t struct_size;
  int32_t sheathing_holds_nails; /* default 1 */
  double board_width;            /* default 8.25 */
  double board_thickness;        /* default 5/16 */
  double min_lap;                /* default 1 1/4 */
  double length, shank, head;    /* default 2 1/2, 0.113, 0.297 */
  double top_edge, end_edge, edge;
  double max_spacing; /* 0 (default): the stud spacing, or 16 */
  double end_reach;
  double min_penetration;
  double min_framing_share;
  double sheathing_thickness; /* default 7/16 */
} lapw_nail_rules;
/* Since ABI 1. */
LAPW_API lapw_status lapw_nail_rules_init(lapw_nail_rules *rules, uint32_t struct_size) LAPW_NOEXCEPT;

typedef struct lapw_rectangle {
  double x_min, y_min, x_max, y_max;
} lapw_rectangle;
typedef struct lapw_framing {
  uint32_t struct_size;
  int32_t reserved;
  double spacing;                /* 0: no regular studs; default 16 */
  double first;                  /* centre of the first stud; default 0.75 */
  double stud_width;             /* default 1.5 */
  double wall_x_min, wall_x_max; /* the wall's ends; 0 and 0 where the call has its outline */
  const double *studs;           /* further centres */
  int64_t stud_count;
  const lapw_rectangle *members; /* plates, headers, blocking */
  int64_t member_count;
  double opening_stud;           /* width of the stud, or pair, flush with each side of a rectangular opening; default 3 */
  int32_t around_openings;       /* default 1: there are such studs */
  int32_t reserved2;             /* 0 */
} lapw_framing;
/* Since ABI 1. */
LAPW_API lapw_status lapw_framing_init(lapw_framing *framing, uint32_t struct_size) LAPW_NOEXCEPT;

/* A piece of the host's own layout. */
typedef struct lapw_nail_piece {
  uint32_t struct_size;
  int32_t course;             /* index into the lines */
  const double *xy;           /* outline on the wall, 2 * vertex_count doubles, counter-clockwise */
  int64_t vertex_count;
  int32_t joint_left;         /* its left end meets another piece on a stud */
  int32_t joint_right;
} lapw_nail_piece;

/* The nails of a host's pieces: LAPW_TABLE_NAILS (piece indices into `pieces`), LAPW_TABLE_FINDINGS, LAPW_TABLE_WALLS (one row:
 * framing_share, least_penetration). `lines` are the course lines by height; the last course is the highest that has a
 * piece. Rows of `pieces` stand pieces[0].struct_size bytes apart. Since ABI 1. */
LAPW_API lapw_status lapw_place_fasteners(const lapw_nail_piece *pieces, int64_t piece_count, const double *lines,
                                          int64_t line_count, const lapw_framing *framing, const lapw_nail_rules *rules,
                                          lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

enum { LAPW_EDGE_BASE = 0, LAPW_EDGE_CORNER = 1, LAPW_EDGE_TOP = 2, LAPW_EDGE_RAKE = 3, LAPW_EDGE_ROOF = 4, LAPW_EDGE_WALL = 5 };
typedef struct lapw_edge { /* what lies along an edge: depth trim + gap is taken from the wall */
  double trim, gap;
  int32_t kind; /* LAPW_EDGE_* */
  int32_t reserved;
} lapw_edge;
typedef struct lapw_opening {
  uint32_t struct_size;
  int32_t rectangle;  /* 1: upright, from its lower left corner counter-clockwise; framed at its sides */
  const double *xy;   /* outline, 2 * vertex_count doubles, either direction, not closed */
  int64_t vertex_count;
  const double *trim; /* vertex_count doubles: entry i for the edge from vertex i to i + 1 */
  const double *gap;  /* the same */
} lapw_opening;
typedef struct lapw_wall_shape {
  uint32_t struct_size;
  int32_t has_start;
  const char *name;       /* NULL: "wall" */
  const double *xy;       /* outline, 2 * vertex_count doubles, either direction, not closed */
  int64_t vertex_count;
  const lapw_edge *edges; /* vertex_count rows: row i for the edge from vertex i to i + 1 */
  const lapw_opening *openings;
  int64_t opening_count;
  double start_low, start_high; /* if has_start: level base edges in here follow the first line */
  int32_t first_course;         /* index into the lines */
  int32_t reserved;
} lapw_wall_shape;
typedef struct lapw_run_rules {
  uint32_t struct_size;
  int32_t reserved;
  double board_width;   /* default 8.25 */
  double min_leg;       /* default 2: a lower leg snaps, and is split off as a filler */
  double end_edge;      /* default 3/8: what is narrower than twice this is not laid */
  double starter_width; /* default 1 1/4 */
} lapw_run_rules;
/* Since ABI 1. */
LAPW_API lapw_status lapw_run_rules_init(lapw_run_rules *rules, uint32_t struct_size) LAPW_NOEXCEPT;

/* Where boards lie on one wall, course by course, before joints: LAPW_TABLE_RUNS, LAPW_TABLE_RINGS, LAPW_TABLE_VERTICES,
 * LAPW_TABLE_STARTERS, LAPW_TABLE_FINDINGS, LAPW_TABLE_WALLS (one row: courses, region_area). `lines` are the course lines by height.
 * Rows of `openings` stand openings[0].struct_size bytes apart. Since ABI 1. */
LAPW_API lapw_status lapw_find_runs(const lapw_wall_shape *wall, const double *lines, int64_t line_count,
                                    const lapw_run_rules *rules, lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

/* ---- joints and boards ------------------------------------------------------------------------------------- */

typedef struct lapw_on_hand { /* a cut-off board, full width; it costs nothing */
  double length;
  int32_t left_factory, right_factory; /* its ends, face up */
} lapw_on_hand;

/* The board, its joints and the saw. */
typedef struct lapw_board_rules {
  uint32_t struct_size;
  int32_t turnable;             /* default 1: a board may be turned half round in its plane */
  const lapw_stock *stock;      /* lengths on sale and their prices; at least one */
  int64_t stock_count;
  const lapw_on_hand *on_hand;  /* NULL for none */
  int64_t on_hand_count;
  double board_width;           /* default 8.25 */
  double min_leg;               /* default 2: a lower leg snaps, and is split off as a filler */
  double end_edge;              /* default 3/8: least distance of a nail from an end */
  double starter_width;         /* default 1 1/4 */
  double division;              /* default 1/16: the grid of lengths between joints, and of callouts */
  double gap;                   /* default 0: between two ends that meet */
  double window;                /* default 1/16: a joint lies within this of the centre of a stud */
  double min_piece;             /* default 16: least length of a piece beside a joint */
  double stagger;               /* default 32: between studs that carry joints of neighbouring courses */
  double joint_price;           /* default 0.002: what lapw_settle_boards pays to save a joint */
  double kerf;                  /* default 1/8: lost between two things cut from one board */
  double min_offcut;            /* default 16: a shorter offcut is not worth keeping */
  double effort;                /* default 1: multiplies the steps of the search */
  int32_t repeat_after;         /* default 3: courses until a stud may carry a joint again */
  int32_t factory_ends;         /* default 1: ends that meet between trims are factory ends */
} lapw_board_rules;
/* Since ABI 1. */
LAPW_API lapw_status lapw_board_rules_init(lapw_board_rules *rules, uint32_t struct_size) LAPW_NOEXCEPT;

/* Joints of one wall on their own: fewest pieces, then the best stagger, without knowing the boards. LAPW_TABLE_RUNS,
 * LAPW_TABLE_JOINTS, LAPW_TABLE_PIECES with their LAPW_TABLE_CUTS, LAPW_TABLE_RINGS and LAPW_TABLE_VERTICES, LAPW_TABLE_STARTERS,
 * LAPW_TABLE_FINDINGS (each rule that had to be relaxed), LAPW_TABLE_WALLS (one row). `lines` are the course lines by height.
 *   framing   NULL: the defaults of lapw_framing_init; the wall's ends are those of its outline
 *   rules     not NULL: it holds the stock; on_hand, kerf, min_offcut, effort and joint_price decide nothing here
 * LAPW_E_REFUSED with the path of each value that is wrong, and where a run is longer than the stock with no stud, clear of
 * openings, to carry a joint. Since ABI 1. */
LAPW_API lapw_status lapw_place_joints(const lapw_wall_shape *wall, const double *lines, int64_t line_count,
                                       const lapw_framing *framing, const lapw_board_rules *rules, lapw_result **out,
                                       lapw_error *error) LAPW_NOEXCEPT;

/* A piece of the host's own layout, to be cut from a board. */
typedef struct lapw_board_piece {
  uint32_t struct_size;
  int32_t wall;                        /* any number: starters are nailed with the pieces of their wall */
  const double *xy;                    /* outline, 2 * vertex_count doubles, counter-clockwise */
  int64_t vertex_count;
  double y;                            /* lower edge of its blank: the outline lies between y and y + board_width */
  int32_t left_factory, right_factory; /* that end must be a factory end */
} lapw_board_piece;
typedef struct lapw_board_starter {
  uint32_t struct_size;
  int32_t wall;
  double length; /* in all; it may be cut as several strips, rules->starter_width wide */
  double y;      /* its height on the wall: for the order of cutting */
  int32_t where; /* LAPW_AT_BASE: its strips have a factory long edge */
  int32_t reserved;
} lapw_board_starter;

/* Which board each piece of a host's layout is cut from: LAPW_TABLE_BOARDS, LAPW_TABLE_PLACEMENTS (indices into `pieces` and
 * `starters`), LAPW_TABLE_OFFCUTS, LAPW_TABLE_ORDER, LAPW_TABLE_FINDINGS, LAPW_TABLE_TOTALS (cost, starter_inches; proven_minimum is 0:
 * lapw_settle_boards proves one). Pieces stand in the order in which they are hung: boards are cut in an order that keeps
 * few pieces waiting. Rows of `pieces` and of `starters` stand the first row's struct_size apart. What lies on a blank's
 * long edge is the board's own edge. Of the rules, stock, on_hand, board_width, starter_width, turnable, division, kerf,
 * min_offcut and effort count. LAPW_E_REFUSED for a piece longer than any stock. Since ABI 1. */
LAPW_API lapw_status lapw_pack_boards(const lapw_board_piece *pieces, int64_t piece_count,
                                      const lapw_board_starter *starters, int64_t starter_count,
                                      const lapw_board_rules *rules, lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

/* Joints and boards of a whole house settled together: which studs carry the joints decides what the offcuts are worth.
 * The tables of lapw_place_joints for all walls and those of lapw_pack_boards, whose placements point into LAPW_TABLE_PIECES and
 * LAPW_TABLE_STARTERS; LAPW_TABLE_TOTALS with cost and proven_minimum: no choice of joints and boards under the same rules costs
 * less. Runs are not listed.
 *   walls     wall_count rows, the first row's struct_size apart
 *   framings  NULL: the defaults for every wall; else wall_count rows, the first row's struct_size apart
 * Since ABI 1. */
LAPW_API lapw_status lapw_settle_boards(const lapw_wall_shape *walls, const lapw_framing *framings, int64_t wall_count,
                                        const double *lines, int64_t line_count, const lapw_board_rules *rules,
                                        lapw_result **out, lapw_error *error) LAPW_NOEXCEPT;

#ifdef __cplusplus
}
#endif
#endif /* LAPWRIGHT_H */
