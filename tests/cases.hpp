/// How many random cases a test draws.
#pragma once
#include <algorithm>
#include <cstdlib>

namespace lapwright_test {

/// LAPW_CASES (or another variable) where it is set; else the usual count, a tenth of it under sanitizers.
inline int cases(int usual, const char* variable = "LAPW_CASES") {
  if (const char* given = std::getenv(variable)) return std::max(1, std::atoi(given));
#ifdef LAPW_SANITIZED
  return std::max(1, usual / 10);
#else
  return usual;
#endif
}

}  // namespace lapwright_test
