// Runs a fuzz target over files, once each: how the seeds, and whatever a fuzzer found, are kept as tests by
// every compiler. Each file is also cut short at many places.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int main(int argc, char** argv) {
  std::size_t files = 0, runs = 0;
  for (int i = 1; i < argc; ++i) {
    std::vector<std::filesystem::path> paths;
    if (std::filesystem::is_directory(argv[i]))
      for (const auto& entry : std::filesystem::directory_iterator(argv[i])) paths.push_back(entry.path());
    else
      paths.emplace_back(argv[i]);
    for (const std::filesystem::path& path : paths) {
      std::ifstream file(path, std::ios::binary);
      const std::string text{std::istreambuf_iterator<char>(file), {}};
      ++files;
      const std::size_t step = text.size() / 50 + 1;
      for (std::size_t size = text.size();; size -= step) {
        // A copy of its own size, so that a sanitizer sees a read past its end.
        const std::vector<std::uint8_t> bytes(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(size));
        LLVMFuzzerTestOneInput(bytes.data(), bytes.size());
        ++runs;
        if (size < step) break;
      }
    }
  }
  std::printf("%zu files, %zu runs\n", files, runs);
  return files == 0;
}
