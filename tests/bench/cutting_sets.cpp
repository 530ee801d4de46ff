// cutting_sets DIR: solves every instance file of a folder and prints one line each: name, bins, bound, known
// optimum (or -), milliseconds. A file: `#` comments; lines `name N`, `capacity C`, `optimum Z`, `types T`;
// then `length count` rows.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <lapwright/cutting.hpp>
#include <lapwright/error.hpp>

int main(int argc, char** argv) {
  std::error_code error;
  if (argc != 2 || !std::filesystem::is_directory(argv[1], error)) {
    std::fprintf(stderr, "usage: cutting_sets DIR\n");
    return 2;
  }
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(argv[1]))
    if (entry.is_regular_file()) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  int failed = 0;
  for (const std::filesystem::path& file : files) {
    std::ifstream in(file);
    std::string line, name = file.stem().string(), optimum = "-";
    double capacity = 0;
    std::vector<lapwright::CutDemand> demands;
    while (std::getline(in, line)) {
      line = line.substr(0, line.find('#'));
      std::istringstream words(line);
      std::string key;
      if (!(words >> key)) continue;
      if (key == "name")
        words >> name;
      else if (key == "capacity")
        words >> capacity;
      else if (key == "optimum")
        words >> optimum;
      else if (key != "types") {
        lapwright::CutDemand demand;
        std::istringstream row(line);
        if (row >> demand.length >> demand.count) demands.push_back(demand);
      }
    }
    try {
      const auto start = std::chrono::steady_clock::now();
      const lapwright::CutLengths out = lapwright::cut_lengths(demands, {{capacity, 1}}, 0);
      const double ms =
          std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
      std::printf("%s %.0f %.0f %s %.2f\n", name.c_str(), out.cost, out.bound, optimum.c_str(), ms);
    } catch (const lapwright::Refused& refused) {
      ++failed;
      for (const lapwright::Fault& fault : refused.faults)
        std::printf("%s refused: %s: %s\n", name.c_str(), fault.path.c_str(), fault.message.c_str());
    }
    std::fflush(stdout);
  }
  return failed > 0 ? 1 : 0;
}
