/// The jobs taken from open building models, where they lie beside the project.
#pragma once
#include <boost/test/unit_test.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <vector>

namespace lapwright_test {

/// By name; none, and a message, where the folder (LAPW_REAL_DATA, or ../shared/data/real) is not there.
inline std::vector<std::filesystem::path> real_jobs() {
  const char* given = std::getenv("LAPW_REAL_DATA");
  const std::filesystem::path folder =
      given ? std::filesystem::path(given) : std::filesystem::path(LAPW_SOURCE_DIR) / "../shared/data/real";
  std::vector<std::filesystem::path> files;
  if (!std::filesystem::exists(folder)) {
    BOOST_TEST_MESSAGE("left out: " << folder << " is not there");
    return files;
  }
  for (const auto& entry : std::filesystem::directory_iterator(folder))
    if (entry.path().extension() == ".json") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace lapwright_test
