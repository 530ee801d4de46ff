#pragma once
#include <fmt/format.h>

#include <lapwright/detail/config.hpp>
#include <lapwright/detail/text.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

LAPW_INLINE std::string format_values(fmt::string_view pattern, fmt::format_args values) {
  return fmt::vformat(pattern, values);
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
