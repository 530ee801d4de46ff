/* An outside project's program in C. */
#include <stdio.h>
#include <string.h>

#include <lapwright.h>

int main(void) {
  double inches = 0;
  lapw_error error;
  memset(&error, 0, sizeof error);
  error.struct_size = sizeof error;
  if (lapw_abi_version() != LAPW_ABI_VERSION) return 1;
  if (lapw_parse_length("5' 3 7/16\"", -1, &inches, &error) != LAPW_OK) return 2;
  printf("%s %g\n", lapw_version(), inches);
  return inches == 63.4375 ? 0 : 3;
}
