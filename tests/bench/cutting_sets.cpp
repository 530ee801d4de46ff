// cutting_sets DIR: cuts every instance in a folder, and the folders in it, at the least number of stock
// lengths, and prints one line each: name, bins, bound, known optimum (or -), milliseconds of processor time.
// An instance file: `#` comments; lines `name N`, `capacity C`, `optimum Z`, `types T`, in any order; then,
// or before, `length count` rows. A file without a capacity is none, and is named on the error stream. Exit
// code 0; 1 where an instance is refused or contradicts what is printed; 2 for a wrong call.
#include <algorithm>
#include <cctype>
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <lapwright/cutting.hpp>
#include <lapwright/error.hpp>

namespace {

struct Instance {
  std::string name, optimum = "-";
  double capacity = 0;
  bool has_capacity = false;
  std::vector<lapwright::CutDemand> demands;
  std::vector<std::string> faults;
};

Instance read_instance(const std::filesystem::path& file) {
  Instance out;
  out.name = file.stem().string();
  std::ifstream in(file);
  std::string line;
  long types = -1;
  for (int number = 1; std::getline(in, line); ++number) {
    line = line.substr(0, line.find('#'));
    std::istringstream words(line);
    std::string key, rest;
    if (!(words >> key)) continue;
    const auto fault = [&] { out.faults.push_back("line " + std::to_string(number) + ": " + line); };
    if (key == "name") {
      if (words >> rest) out.name = rest;
    } else if (key == "capacity") {
      out.has_capacity = static_cast<bool>(words >> out.capacity);
      if (!out.has_capacity) fault();
    } else if (key == "optimum") {
      if (words >> rest) out.optimum = rest;
    } else if (key == "types") {
      if (!(words >> types)) fault();
    } else {
      lapwright::CutDemand demand;
      std::istringstream row(line);
      if (row >> demand.length >> demand.count && !(row >> rest))
        out.demands.push_back(demand);
      else
        fault();
    }
  }
  if (types >= 0 && static_cast<std::size_t>(types) != out.demands.size())
    out.faults.push_back("types says " + std::to_string(types) + ", but there are " +
                         std::to_string(out.demands.size()) + " rows");
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  std::error_code error;
  if (argc != 2 || !std::filesystem::is_directory(argv[1], error)) {
    std::fprintf(stderr, "usage: cutting_sets DIR\n");
    return 2;
  }
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(argv[1], error))
    if (entry.is_regular_file(error)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  int failed = 0;
  for (const std::filesystem::path& file : files) {
    const Instance instance = read_instance(file);
    if (!instance.has_capacity) {
      std::fprintf(stderr, "%s: no capacity, no instance\n", file.string().c_str());
      continue;
    }
    if (!instance.faults.empty()) {
      ++failed;
      for (const std::string& fault : instance.faults)
        std::printf("%s refused: %s\n", instance.name.c_str(), fault.c_str());
      continue;
    }
    try {
      const std::clock_t start = std::clock();
      const lapwright::CutLengths out = lapwright::cut_lengths(instance.demands, {{instance.capacity, 1}}, 0);
      const double ms = 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
      std::printf("%s %.0f %.0f %s %.2f\n", instance.name.c_str(), out.cost, out.bound,
                  instance.optimum.c_str(), ms);
      double known = 0;
      std::istringstream number(instance.optimum);
      if (number >> known && (out.bound > known || out.cost < known)) {
        ++failed;
        std::fprintf(stderr, "%s: contradicts the known optimum\n", instance.name.c_str());
      }
    } catch (const lapwright::Refused& refused) {
      ++failed;
      for (const lapwright::Fault& fault : refused.faults)
        std::printf("%s refused: %s: %s\n", instance.name.c_str(), fault.path.c_str(), fault.message.c_str());
    }
    std::fflush(stdout);
  }
  return failed > 0 ? 1 : 0;
}
