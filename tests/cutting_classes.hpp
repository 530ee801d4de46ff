#pragma once
// Instance classes of the cutting and packing literature, made here from their published definitions.
#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include <lapwright/cutting.hpp>

namespace cutting_classes {

/// splitmix64 (Steele, Lea, Flood 2014): the same numbers everywhere.
class Random {
public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
  }
  /// low to high, both included.
  int between(int low, int high) {
    return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
  }

private:
  std::uint64_t state_;
};

struct Instance {
  std::string name;
  int capacity = 0;
  std::vector<int> lengths;  // one an item
  int optimum = -1;          // known by construction, or -1
};

/// Falkenauer 1996 (J. Heuristics 2:5-30), uniform: n items of 20 to 100, capacity 150.
inline Instance uniform(int n, std::uint64_t seed) {
  Random random(seed * 1000003 + static_cast<std::uint64_t>(n));
  Instance out{"u" + std::to_string(n) + "_" + std::to_string(seed), 150, {}, -1};
  for (int i = 0; i < n; ++i) out.lengths.push_back(random.between(20, 100));
  return out;
}

/// Falkenauer 1996, triplets: bins of 1000 filled exactly by three items, the first of 380 to 490, the second
/// of 250 to half of what is left, the third the rest. Optimum n / 3.
inline Instance triplet(int n, std::uint64_t seed) {
  Random random(seed * 7000003 + static_cast<std::uint64_t>(n));
  Instance out{"t" + std::to_string(n) + "_" + std::to_string(seed), 1000, {}, n / 3};
  for (int i = 0; i < n / 3; ++i) {
    const int first = random.between(380, 490);
    const int second = random.between(250, (1000 - first) / 2);
    out.lengths.push_back(first);
    out.lengths.push_back(second);
    out.lengths.push_back(1000 - first - second);
  }
  return out;
}

/// Scholl, Klein, Juergens 1997 (C&OR 24:627-645), set 1: capacity 100, 120 or 150; 50 to 500 items of 1, 20
/// or 30 to 100.
inline Instance scholl1(int n, int capacity, int least, std::uint64_t seed) {
  Random random(seed * 9000011 + static_cast<std::uint64_t>(n * 1000 + capacity + least));
  Instance out{"scholl1_" + std::to_string(n) + "_" + std::to_string(capacity) + "_" + std::to_string(least),
               capacity,
               {},
               -1};
  for (int i = 0; i < n; ++i) out.lengths.push_back(random.between(least, 100));
  return out;
}

/// The same, set 2: capacity 1000; the mean length is a third, fifth, seventh or ninth of it, each length
/// within 20, 50 or 90 percent of that.
inline Instance scholl2(int n, int part, int percent, std::uint64_t seed) {
  Random random(seed * 11000027 + static_cast<std::uint64_t>(n * 1000 + part * 100 + percent));
  Instance out{"scholl2_" + std::to_string(n) + "_" + std::to_string(part) + "_" + std::to_string(percent),
               1000,
               {},
               -1};
  const double mean = 1000.0 / part;
  const int low = static_cast<int>(mean * (100 - percent) / 100 + 0.999999);
  const int high = static_cast<int>(mean * (100 + percent) / 100);
  for (int i = 0; i < n; ++i) out.lengths.push_back(random.between(low, high));
  return out;
}

/// The same, set 3: capacity 100000, 200 items of 20000 to 35000.
inline Instance scholl3(std::uint64_t seed) {
  Random random(seed * 13000027);
  Instance out{"scholl3_" + std::to_string(seed), 100000, {}, -1};
  for (int i = 0; i < 200; ++i) out.lengths.push_back(random.between(20000, 35000));
  return out;
}

/// Schwerin and Waescher 1997 (ITOR 4:377-389): capacity 1000; 100 (set 1) or 120 (set 2) items of 150 to
/// 200.
inline Instance schwerin(int set, std::uint64_t seed) {
  Random random(seed * 17000023 + static_cast<std::uint64_t>(set));
  Instance out{"schwerin" + std::to_string(set) + "_" + std::to_string(seed), 1000, {}, -1};
  for (int i = 0; i < (set == 1 ? 100 : 120); ++i) out.lengths.push_back(random.between(150, 200));
  return out;
}

inline std::vector<lapwright::CutDemand> demands(const Instance& instance) {
  std::vector<int> sorted = instance.lengths;
  std::sort(sorted.begin(), sorted.end());
  std::vector<lapwright::CutDemand> out;
  for (int length : sorted) {
    if (out.empty() || out.back().length < length) out.push_back({static_cast<double>(length), 0});
    ++out.back().count;
  }
  return out;
}

}  // namespace cutting_classes
