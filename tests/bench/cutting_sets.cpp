// cutting_sets DIR: cuts every instance in a folder, and the folders in it, at the least number of stock
// lengths, and prints one line each: name, bins, bound, known optimum (or -), milliseconds of processor time.
// An instance file: `#` comments; lines `name N`, `capacity C`, `optimum Z`, `types T`, in any order; then,
// or before, `length count` rows; lines end as on any system. Lengths may be of any size: the unit does not
// matter. A file without a capacity line is none, and is named on the error stream; one that cannot be
// understood prints `name refused: ` and every reason. Exit code 0; 1 where an instance is refused or
// contradicts what is printed; 2 for a wrong call.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include <lapwright/cutting.hpp>
#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>

namespace {

struct Instance {
  std::string name, optimum = "-";
  double capacity = 0;
  bool has_capacity = false;
  std::vector<lapwright::CutDemand> demands;
  std::vector<std::string> faults;
};

/// The whole of a word as a number.
template <class Number>
bool reads(const std::string& word, Number& out) {
  std::istringstream in(word);
  return in >> out && in.peek() == std::istringstream::traits_type::eof();
}

Instance read_instance(const std::filesystem::path& file) {
  Instance out;
  out.name = file.stem().string();
  std::ifstream in(file, std::ios::binary);
  std::string text(std::istreambuf_iterator<char>(in), {});
  if (text.compare(0, 3, "\xEF\xBB\xBF") == 0) text.erase(0, 3);
  std::string lf;  // every end of line as one
  for (std::size_t k = 0; k < text.size(); ++k)
    if (text[k] != '\r')
      lf += text[k];
    else if (k + 1 == text.size() || text[k + 1] != '\n')
      lf += '\n';
  std::istringstream lines(lf);
  std::string line;
  std::set<std::string> keys;
  long long types = -1;
  for (int number = 1; std::getline(lines, line); ++number) {
    line = line.substr(0, line.find('#'));
    std::istringstream split(line);
    const std::vector<std::string> words(std::istream_iterator<std::string>(split), {});
    if (words.empty()) continue;
    const std::string& key = words[0];
    bool good = words.size() == 2;
    if (key == "name" || key == "capacity" || key == "optimum" || key == "types") {
      good = keys.insert(key).second && (good || (key == "name" && words.size() > 2));
      if (key == "name" && good) {
        out.name = words[1];
        for (std::size_t k = 2; k < words.size(); ++k) out.name += "_" + words[k];
      } else if (key == "capacity") {
        out.has_capacity = true;
        good = good && reads(words[1], out.capacity);
      } else if (key == "optimum" && good) {
        double value = 0;
        good = words[1] == "-" || reads(words[1], value);
        out.optimum = words[1];
      } else if (key == "types") {
        good = good && reads(words[1], types) && types >= 0;
      }
    } else {
      lapwright::CutDemand demand;
      good = good && reads(words[0], demand.length) && reads(words[1], demand.count);
      out.demands.push_back(demand);
    }
    if (!good) out.faults.push_back("line " + std::to_string(number) + ": " + line);
  }
  if (types >= 0 && static_cast<std::size_t>(types) != out.demands.size())
    out.faults.push_back("types says " + std::to_string(types) + ", but there are " +
                         std::to_string(out.demands.size()) + " rows");
  // Any unit will do: halved, exactly, until a board is no longer than the library takes.
  for (int n = 0; n < 60 && out.capacity > lapwright::greatest_length; ++n) {
    out.capacity /= 2;
    for (lapwright::CutDemand& demand : out.demands) demand.length /= 2;
  }
  return out;
}

/// All on one line, without bytes that a terminal would take for something else.
void refuse(const Instance& instance, const std::vector<std::string>& reasons) {
  std::string line = instance.name + " refused: ";
  for (std::size_t k = 0; k < reasons.size(); ++k) {
    if (k == 20) {
      line += "; and " + std::to_string(reasons.size() - k) + " more";
      break;
    }
    line += (k > 0 ? "; " : "") + reasons[k].substr(0, 200);
  }
  for (char& c : line)
    if (static_cast<unsigned char>(c) < 32 || c == 127) c = '?';
  std::printf("%s\n", line.c_str());
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
      refuse(instance, instance.faults);
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
      std::vector<std::string> reasons;
      for (const lapwright::Fault& fault : refused.faults)
        reasons.push_back(fault.path + ": " + fault.message);
      refuse(instance, reasons);
    }
    std::fflush(stdout);
  }
  return failed > 0 ? 1 : 0;
}
