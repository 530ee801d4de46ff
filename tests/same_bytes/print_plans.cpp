// Plans every job named on the command line and prints one line each: name and a hash of the plan's bytes.
// Built in several ways (compiled, header-only, -O0, -O3 for this processor) that must all print the same.
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include <lapwright/document.hpp>

int main(int argc, char** argv) {
  for (int i = 1; i < argc; ++i) {
    std::ifstream file(argv[i], std::ios::binary);
    const std::string job{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    const std::string plan = lapwright::plan_job(job);
    std::uint64_t hash = 14695981039346656037u;  // FNV-1a
    for (char c : plan) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211u;
    const std::string path = argv[i];
    std::printf("%s %016llx %zu\n", path.substr(path.rfind('/') + 1).c_str(),
                static_cast<unsigned long long>(hash), plan.size());
  }
  return 0;
}
