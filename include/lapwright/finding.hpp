#pragma once
/// \file finding.hpp  What a stage, or the audit, has to say about a plan at one place.
#include <optional>
#include <string>

namespace lapwright {
inline namespace v0 {

enum class Severity { note, warning };  ///< warning: a rule relaxed, or a thing to mend.

/// One finding. `code` is one of the published codes; an audit uses the same ones.
struct Finding {
  std::string code;
  Severity severity = Severity::warning;
  std::string wall;                ///< empty: of the whole house
  std::optional<int> course;       ///< index into the pole's lines
  std::string piece;               ///< id, or empty
  std::optional<double> measured;  ///< in the rule's own unit, inches unless the message says otherwise
  std::optional<double> limit;
  std::string message;  ///< one sentence in the trade's words
};

}  // namespace v0
}  // namespace lapwright
