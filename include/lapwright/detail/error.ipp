#pragma once
#include <utility>

#include <lapwright/detail/config.hpp>
#include <lapwright/error.hpp>

namespace lapwright {
inline namespace v0 {

LAPW_INLINE Refused::Refused(std::vector<Fault> all) : faults(std::move(all)) {}

LAPW_INLINE Refused::Refused(std::string path, std::string message) {
  faults.push_back({std::move(path), std::move(message)});
}

LAPW_INLINE const char* Refused::what() const noexcept {
  return faults.empty() ? "refused" : faults.front().message.c_str();
}

}  // namespace v0
}  // namespace lapwright
