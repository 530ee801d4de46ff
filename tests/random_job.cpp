/// Prints the job document of a random house: random_job SEED.
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "random_house.hpp"

int main(int count, char** arguments) {
  if (count != 2) {
    std::fputs("usage: random_job SEED\n", stderr);
    return 1;
  }
  const auto seed = static_cast<std::uint64_t>(std::strtoull(arguments[1], nullptr, 10));
  std::fputs(lapwright_test::job_text(lapwright_test::random_house(seed)).c_str(), stdout);
  return 0;
}
