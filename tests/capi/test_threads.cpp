// Hosts run planning in parallel: 8 threads, each planning its own house and all reading one result, give the
// bytes that one thread gives. Run under ThreadSanitizer by tests/run.
#include <cstdint>
#include <cstdio>
#include <string>
#include <thread>
#include <vector>

#include "lapwright.h"

namespace {

std::string job(int i) {
  return R"({"lapwright":1,"board":{"width":8.25,"lengths":[144]},"search":{"effort":0.01},"walls":[{"name":"w","outline":[[0,0],[)" +
         std::to_string(200 + 7 * i) + R"(,0],[)" + std::to_string(200 + 7 * i) +
         R"(,60],[90,90],[0,60]],"edges":["base","corner","rake","rake","corner"],"openings":[{"at":[50,20],"size":[30,30]}]}]})";
}

std::string planned(const std::string& text) {
  lapw_result* result = nullptr;
  lapw_error error{};
  error.struct_size = sizeof error;
  const lapw_status status =
      lapw_plan_job(text.data(), static_cast<int64_t>(text.size()), nullptr, &result, &error);
  std::string out = std::to_string(status) + error.path + error.message;
  if (result) out += lapw_result_text(result, nullptr);
  lapw_result_free(result);
  return out;
}

// Everything that a reader touches.
std::uint64_t read_all(const lapw_result* result) {
  std::uint64_t sum = 0;
  for (int32_t which = LAPW_TABLE_FAULTS; which <= LAPW_TABLE_CAUTIONS; ++which) {
    lapw_table table{};
    table.struct_size = sizeof table;
    if (lapw_result_table(result, which, &table) != LAPW_OK) return 0;
    const auto* bytes = static_cast<const unsigned char*>(table.rows);
    for (std::int64_t i = 0; i < table.count * static_cast<std::int64_t>(table.row_size); ++i)
      sum = sum * 31 + bytes[i];
  }
  for (const char* c = lapw_result_text(result, nullptr); *c; ++c)
    sum = sum * 31 + static_cast<unsigned char>(*c);
  return sum;
}

}  // namespace

int main() {
  constexpr int threads = 8;
  std::vector<std::string> alone;
  for (int i = 0; i < threads; ++i) alone.push_back(planned(job(i)));
  const std::string first = job(0);
  lapw_result* shared = nullptr;
  if (lapw_plan_job(first.data(), -1, nullptr, &shared, nullptr) != LAPW_OK) {
    std::printf("the job is not planned: %s\n", alone[0].c_str());
    return 1;
  }
  const std::uint64_t sum = read_all(shared);

  std::vector<int> wrong(threads, 0);
  std::vector<std::thread> pool;
  for (int t = 0; t < threads; ++t)
    pool.emplace_back([&, t] {
      const auto mine = static_cast<std::size_t>(t);
      for (int round = 0; round < 3; ++round) {
        const auto which = static_cast<std::size_t>((t + round) % threads);
        if (planned(job(static_cast<int>(which))) != alone[which]) ++wrong[mine];
        if (read_all(shared) != sum) ++wrong[mine];
        lapw_result* drawing = nullptr;
        if (lapw_draw(shared, LAPW_DRAW_ELEVATION, 0, 0, 0, &drawing, nullptr) != LAPW_OK) ++wrong[mine];
        lapw_result_free(drawing);
      }
    });
  for (std::thread& thread : pool) thread.join();
  lapw_result_free(shared);
  int all = 0;
  for (int w : wrong) all += w;
  std::printf("%d threads, %d differences\n", threads, all);
  return all != 0;
}
