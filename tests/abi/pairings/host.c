/* A host that was compiled against one version of the header and meets a library of any: argv[1] is its path,
 * argv[2] "c" for the library as it is, "c_next" for the next one. */
#include <dlfcn.h>
#include <math.h>
#include <string.h>

#include "../../capi/check.h"
#include "lapwright.h"

static const char job[] =
    "{\"lapwright\":1,\"board\":{\"width\":8.25,\"lengths\":[144]},\"search\":{\"effort\":0},\"walls\":[{"
    "\"name\":\"w\","
    "\"outline\":[[0,0],[200,0],[200,60],[0,60]],\"edges\":[\"base\",\"corner\",\"top\",\"corner\"]}]}";

int main(int argc, char** argv) {
  void* library;
  lapw_status (*init)(lapw_plan_options*, uint32_t);
  lapw_status (*plan)(const char*, int64_t, const lapw_plan_options*, lapw_result**, lapw_error*);
  lapw_status (*table)(const lapw_result*, int32_t, lapw_table*);
  void (*done)(lapw_result*);
  lapw_plan_options options;
  lapw_result* result = NULL;
  lapw_error error;
  lapw_table joints;
  int64_t i;
  int next_library;
  CHECK(argc == 3);
  next_library = strcmp(argv[2], "c_next") == 0;
  library = dlopen(argv[1], RTLD_NOW | RTLD_LOCAL);
  if (!library) printf("%s\n", dlerror());
  CHECK(library != NULL);
  *(void**)&init = dlsym(library, "lapw_plan_options_init");
  *(void**)&plan = dlsym(library, "lapw_plan_job");
  *(void**)&table = dlsym(library, "lapw_result_table");
  *(void**)&done = dlsym(library, "lapw_result_free");
  CHECK(init && plan && table && done);

  memset(&options, 0x55, sizeof options);
  CHECK(init(&options, sizeof options) == LAPW_OK);
  memset(&error, 0, sizeof error);
  error.struct_size = sizeof error;
#ifdef LAPW_NEXT
  /* An older library leaves what it does not know at 0. */
  CHECK(options.next_option == (next_library ? 1.0 : 0.0));
  options.next_option = 2;
  if (!next_library) {
    CHECK(plan(job, -1, &options, &result, &error) == LAPW_E_UNSUPPORTED); /* refused, not ignored */
    CHECK(result == NULL && error.message[0]);
    options.next_option = 0;
  }
#endif
  CHECK(plan(job, -1, &options, &result, &error) == LAPW_OK);
  memset(&joints, 0, sizeof joints);
  joints.struct_size = sizeof joints;
  CHECK(table(result, LAPW_TABLE_JOINTS, &joints) == LAPW_OK);
  CHECK(joints.count > 0);
  for (i = 0; i < joints.count; ++i) {
    const lapw_joint* joint = LAPW_ROW(lapw_joint, joints, i);
    CHECK(joint->course >= 0 && joint->course < 20 && joint->wall == 0);
    CHECK(fabs(joint->x - joint->stud) <= 0.0625 + 1e-6 && joint->x > 0 && joint->x < 200);
#ifdef LAPW_NEXT
    if (joints.row_size >= sizeof(lapw_joint)) {
      CHECK(next_library);
      CHECK(joint->next_column == joint->x + 2);
    } else {
      CHECK(!next_library);
    }
#endif
  }
#ifndef LAPW_NEXT
  CHECK((joints.row_size > sizeof(lapw_joint)) == next_library);
#endif
  done(result);
  printf("%lld joints, rows of %u bytes\n", (long long)joints.count, joints.row_size);
  return 0;
}
