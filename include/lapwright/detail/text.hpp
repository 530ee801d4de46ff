#pragma once
/// \file detail/text.hpp  Text from a pattern and values.
/// fmt's bodies cost every unit seconds when they are header-only: compiled, they are in src/text.cpp alone.
#include <string>

#include <fmt/core.h>

namespace lapwright {
inline namespace v0 {
namespace detail {

std::string format_values(fmt::string_view pattern, fmt::format_args values);

/// As fmt::format.
template <class... Values>
std::string format(fmt::format_string<Values...> pattern, Values&&... values) {
  return format_values(pattern, fmt::make_format_args(values...));
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/text.ipp>
#endif
