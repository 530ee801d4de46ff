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

// A call of a host with a model of its own.
std::string settled() {
  const double xy[] = {0, 0, 200, 0, 200, 21, 0, 21}, lines[] = {0, 7, 14};
  const lapw_edge edges[4] = {};
  const lapw_stock stock[] = {{96, 1}, {144, 1.4}};
  lapw_wall_shape wall{};
  wall.struct_size = sizeof wall;
  wall.has_start = 1;
  wall.xy = xy;
  wall.vertex_count = 4;
  wall.edges = edges;
  lapw_board_rules rules;
  lapw_board_rules_init(&rules, sizeof rules);
  rules.stock = stock;
  rules.stock_count = 2;
  rules.effort = 0.01;
  lapw_result* result = nullptr;
  const lapw_status status = lapw_settle_boards(&wall, nullptr, 1, lines, 3, &rules, &result, nullptr);
  std::string out = std::to_string(status);
  lapw_table table{};
  table.struct_size = sizeof table;
  if (status == LAPW_OK && lapw_result_table(result, LAPW_TABLE_PLACEMENTS, &table) == LAPW_OK)
    out.append(static_cast<const char*>(table.rows), static_cast<std::size_t>(table.count) * table.row_size);
  lapw_result_free(result);
  return out;
}

// Everything that a reader touches.
std::uint64_t read_all(const lapw_result* result) {
  std::uint64_t sum = 0;
  for (int32_t which = LAPW_TABLE_FAULTS; which <= LAPW_TABLE_RUNS; ++which) {
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
  const std::string boards = settled();
  if (boards[0] != '0') {
    std::printf("the boards are not settled\n");
    return 1;
  }
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
        if (settled() != boards) ++wrong[mine];
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
