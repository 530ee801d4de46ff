#pragma once
// What the calls for hosts with a model of their own share: numbers, lists, rows, rings, framing.
#include <cstddef>
#include <cstdint>
#include <string>

#include "result.hpp"

namespace lapw {

// The size of a struct's first version, whose last member this was: a caller's struct may not be shorter. It
// stays as it is when the struct grows.
#define LAPW_FIRST_SIZE(type, last) (offsetof(type, last) + sizeof(type::last))

inline constexpr std::size_t framing_first = LAPW_FIRST_SIZE(lapw_framing, around_openings);

inline std::string at(const char* name, std::int64_t i) {
  return std::string(name) + "[" + std::to_string(i) + "]";
}

// Finite, above 0 and at most 100000 in.
double positive(double value, const std::string& path);
// A flag, 0 or 1: anything else is a struct that was never set.
bool flag(std::int32_t value, const std::string& path);
// A reserved member: what a newer caller may set there is not known here.
void unused(std::int32_t value, const std::string& path);
lapwright::Ring ring_in(const double* xy, std::int64_t count, const std::string& path);
// Course lines by height, no further apart than a board is wide.
lapwright::Pole pole_in(const double* lines, std::int64_t count, double board_width);
lapw_framing framing_defaults();
lapwright::Framing framing_in(const lapw_framing& frame, const std::string& path);

// Row i of a caller's array whose rows may be older or newer than ours: they stand the first row's
// struct_size apart.
template <class T>
T row_at(const T* rows, std::int64_t i, std::size_t first, const char* name, const T& defaults = T{}) {
  const std::uint32_t stride = rows->struct_size;
  if (stride < first || stride % 8 != 0 || stride > most_struct)
    throw CallError(LAPW_E_STRUCT_SIZE, name,
                    "struct_size of the first row is the distance of rows: set it to sizeof");
  const T* row = reinterpret_cast<const T*>(reinterpret_cast<const unsigned char*>(rows) +
                                            static_cast<std::size_t>(i) * stride);
  if (row->struct_size != stride)
    throw CallError(LAPW_E_STRUCT_SIZE, at(name, i), "struct_size differs from that of the first row");
  return read_struct(row, defaults, first, name);
}

}  // namespace lapw
