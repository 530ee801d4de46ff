#pragma once
/// \file error.hpp  How a stage says no: every fault at once, each with the path of the value.
#include <exception>
#include <string>
#include <vector>

namespace lapwright {
inline namespace v0 {

/// One thing wrong with the input. `path` is that of the job document, `walls[0].openings[2].size[0]`, or of
/// a function's parameter; `message` says what was wrong and what would do, in one sentence.
struct Fault {
  std::string path;
  std::string message;
};

/// Thrown by every stage that is handed something that cannot be built or read. Never empty.
class Refused : public std::exception {
public:
  explicit Refused(std::vector<Fault> all);
  Refused(std::string path, std::string message);
  /// The first fault's message.
  const char* what() const noexcept override;
  std::vector<Fault> faults;
};

}  // namespace v0
}  // namespace lapwright

#ifndef LAPWRIGHT_COMPILED
#include <lapwright/detail/error.ipp>
#endif
