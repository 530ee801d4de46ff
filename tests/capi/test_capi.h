/* What the C tests share. */
#ifndef LAPW_TEST_CAPI_H
#define LAPW_TEST_CAPI_H
#include <string.h>

#include "check.h"
#include "lapwright.h"

/* An error struct full of garbage but for its size. */
static inline lapw_error new_error(void) {
  lapw_error e;
  memset(&e, 0x55, sizeof e);
  e.struct_size = sizeof e;
  return e;
}

static inline lapw_table table_of(const lapw_result* result, int32_t which) {
  lapw_table t;
  memset(&t, 0, sizeof t);
  t.struct_size = sizeof t;
  CHECK(lapw_result_table(result, which, &t) == LAPW_OK);
  CHECK(t.count == 0 ? t.rows == NULL : t.rows != NULL);
  return t;
}

static const uint32_t absurd_sizes[] = {0, 1, 4097, 0x7fffffffu, 0xffffffffu};
enum { ABSURD_SIZES = sizeof absurd_sizes / sizeof absurd_sizes[0] };

/* The defaults of a sized struct, and the sizes that its _init refuses. */
#define CHECK_INIT(type, init)                                                                          \
  do {                                                                                                  \
    type value_;                                                                                        \
    size_t i_;                                                                                          \
    for (i_ = 0; i_ < ABSURD_SIZES; ++i_) CHECK(init(&value_, absurd_sizes[i_]) == LAPW_E_STRUCT_SIZE); \
    CHECK(init(NULL, sizeof value_) == LAPW_E_ARGUMENT);                                                \
    memset(&value_, 0x55, sizeof value_);                                                               \
    CHECK(init(&value_, sizeof value_) == LAPW_OK);                                                     \
    CHECK(value_.struct_size == sizeof value_);                                                         \
  } while (0)

typedef struct capi_test {
  const char* name;
  void (*run)(void);
} capi_test;
extern const capi_test own_model_tests[];
extern const int own_model_test_count;
#endif
