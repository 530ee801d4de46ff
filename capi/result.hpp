#pragma once
// What every entry of the C interface shares: the result, the firewall, sized structs.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <exception>
#include <memory>
#include <new>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <lapwright/lapwright.hpp>

#include "lapwright.h"

// One list a table. Rows point into `words`, whose strings never move.
struct lapw_result {
  std::vector<lapw_fault> faults;
  std::vector<lapw_finding> findings;
  std::vector<lapw_line> lines;
  std::vector<lapw_plan_wall> walls;
  std::vector<lapw_joint> joints;
  std::vector<lapw_piece> pieces;
  std::vector<lapw_ring> rings;
  std::vector<lapw_vertex> vertices;
  std::vector<lapw_cut> cuts;
  std::vector<lapw_nail> nails;
  std::vector<lapw_starter> starters;
  std::vector<lapw_template> templates;
  std::vector<lapw_board> boards;
  std::vector<lapw_placement> placements;
  std::vector<lapw_offcut> offcuts;
  std::vector<lapw_order_line> order;
  std::vector<lapw_totals> totals;
  std::vector<lapw_lift> lifts;
  std::vector<lapw_pattern> patterns;
  std::vector<lapw_caution> cautions;
  std::vector<lapw_run> runs;
  std::string text;
  std::vector<std::unique_ptr<std::string>> words;
  // Kept by a plan for its drawings.
  std::unique_ptr<const lapwright::Job> job;
  std::unique_ptr<const lapwright::Plan> plan;

  const char* keep(std::string_view word) {
    words.push_back(std::make_unique<std::string>(word));
    return words.back()->c_str();
  }
};

namespace lapw {

// The call itself was wrong; everything else that a stage refuses is lapwright::Refused.
struct CallError : std::exception {
  CallError(lapw_status s, std::string p, std::string m)
      : status(s), path(std::move(p)), message(std::move(m)) {}
  const char* what() const noexcept override { return message.c_str(); }
  lapw_status status;
  std::string path, message;
};
inline CallError argument(std::string path, std::string message) {
  return {LAPW_E_ARGUMENT, std::move(path), std::move(message)};
}

void report(lapw_error* error, lapw_status status, std::string_view path, std::string_view message,
            std::int64_t faults) noexcept;

// The only place where C++ exceptions become status codes. `out` may be null; it holds NULL after a failure,
// or the faults of a refusal.
lapw_status fail(lapw_result** out, lapw_error* error) noexcept;  // inside a catch block
template <class Body>
lapw_status guard(lapw_result** out, lapw_error* error, Body&& body) noexcept {
  if (out) *out = nullptr;
  try {
    body();
    report(error, LAPW_OK, "", "", 0);
    return LAPW_OK;
  } catch (...) {
    return fail(out, error);
  }
}

// No struct of ours grows beyond this; a greater struct_size is garbage, and its bytes are not looked at.
inline constexpr std::size_t most_struct = 4096;

// Reads a sized struct of any version over this library's defaults: what an older caller does not have stays
// at its default; what a newer one sets beyond ours is refused. `first` is the size of the struct's first
// version.
template <class T>
T read_struct(const T* given, const T& defaults, std::size_t first, const char* name) {
  T value = defaults;
  if (!given) return value;
  if (given->struct_size < first)
    throw CallError(LAPW_E_STRUCT_SIZE, name, "struct_size is too small; was it set to sizeof?");
  if (given->struct_size > most_struct)
    throw CallError(LAPW_E_STRUCT_SIZE, name, "struct_size is no size of a struct; was it set to sizeof?");
  std::memcpy(&value, given, given->struct_size < sizeof value ? given->struct_size : sizeof value);
  const unsigned char* bytes = reinterpret_cast<const unsigned char*>(given);
  for (std::size_t i = sizeof value; i < given->struct_size; ++i)
    if (bytes[i]) throw CallError(LAPW_E_UNSUPPORTED, name, "a field newer than this library is set");
  return value;
}

template <class T>
lapw_status init_struct(T* out, std::uint32_t size, const T& defaults, std::size_t first) noexcept {
  if (!out) return LAPW_E_ARGUMENT;
  if (size < first || size > most_struct) return LAPW_E_STRUCT_SIZE;
  std::memset(static_cast<void*>(out), 0, size);
  std::memcpy(static_cast<void*>(out), &defaults, size < sizeof defaults ? size : sizeof defaults);
  out->struct_size = size;
  return LAPW_OK;
}

// Text in: a pointer and a byte count, -1 for NUL-terminated.
std::string_view text_in(const char* text, std::int64_t size, const char* name);
// A list in: a pointer and a count, at most `most`.
inline constexpr std::int64_t most_rows = 1000000;
void check_list(const void* rows, std::int64_t count, const char* name);
double finite(double value, const std::string& path);

// Rows of a plan or a part of one.
void add_findings(lapw_result& result, const std::vector<lapwright::Finding>& findings);
std::int64_t add_ring(lapw_result& result, const lapwright::Ring& ring);
void add_pole(lapw_result& result, const lapwright::Pole& pole);
lapw_plan_wall wall_row(lapw_result& result, const std::string& name, const lapwright::WallCourses& courses);
void add_starter(lapw_result& result, const lapwright::Starter& starter, std::int64_t wall);
void add_nail(lapw_result& result, const lapwright::Nail& nail, std::int64_t piece, std::int64_t starter);
// `run` is a row of the result's runs, or -1.
void add_joint(lapw_result& result, const lapwright::Joint& joint, std::int64_t wall, std::int64_t run);
void add_piece(lapw_result& result, const lapwright::Piece& piece, const std::vector<lapwright::Nail>& nails,
               std::int64_t wall);
// What boards are cut into, by name.
class Names {
public:
  void list(const lapw_result& result);  // its pieces and starters
  void add_piece(std::string name, double length) {
    pieces_.emplace_back(std::move(name), static_cast<std::int64_t>(lengths_.size()));
    lengths_.push_back(length);
  }
  void add_starter(std::string name) {
    const auto index = static_cast<std::int64_t>(starters_.size());
    starters_.emplace_back(std::move(name), index);
  }
  void sort() {
    std::sort(pieces_.begin(), pieces_.end());
    std::sort(starters_.begin(), starters_.end());
  }
  // Indices, or -1. Sort first.
  std::int64_t piece(const std::string& name) const { return find(pieces_, name); }
  std::int64_t starter(const std::string& name) const { return find(starters_, name); }
  double length(std::int64_t piece) const { return lengths_[static_cast<std::size_t>(piece)]; }

private:
  using List = std::vector<std::pair<std::string, std::int64_t>>;
  static std::int64_t find(const List& list, const std::string& name) {
    const auto found = std::lower_bound(list.begin(), list.end(), std::make_pair(name, std::int64_t{-1}));
    return found != list.end() && found->first == name ? found->second : -1;
  }
  List pieces_, starters_;
  std::vector<double> lengths_;
};
void add_boards(lapw_result& result, const std::vector<lapwright::Board>& boards, Names& names,
                double board_width);
void add_template(lapw_result& result, const lapwright::RakeTemplate& shape, std::int64_t wall);
void add_plan(lapw_result& result, const lapwright::Job& job, const lapwright::Plan& plan);

}  // namespace lapw
