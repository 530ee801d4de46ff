#pragma once
/// \file document_words.hpp  The words of the plan document for each enumeration: written and read from here.
#include <array>
#include <cstddef>
#include <string_view>

#include <lapwright/plan.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

inline constexpr std::array<const char*, 9> meets_words = {"base", "corner",  "top",   "rake",  "roof",
                                                           "wall", "opening", "joint", "filler"};
inline constexpr std::array<const char*, 4> cut_words = {"crosscut", "rip", "rake", "notch"};
inline constexpr std::array<const char*, 2> tool_words = {"shears", "saw"};
inline constexpr std::array<const char*, 3> nail_words = {"stud", "member", "sheathing"};
inline constexpr std::array<const char*, 3> starter_words = {"base", "head", "roof"};
inline constexpr std::array<const char*, 2> hand_words = {"left", "right"};
inline constexpr std::array<const char*, 2> severity_words = {"note", "warning"};

inline const auto& words_of(Meets) {
  return meets_words;
}
inline const auto& words_of(CutKind) {
  return cut_words;
}
inline const auto& words_of(Tool) {
  return tool_words;
}
inline const auto& words_of(NailBase) {
  return nail_words;
}
inline const auto& words_of(StarterPlace) {
  return starter_words;
}
inline const auto& words_of(Hand) {
  return hand_words;
}
inline const auto& words_of(Severity) {
  return severity_words;
}

template <class Enum>
const char* word_of(Enum value) {
  return words_of(value)[static_cast<std::size_t>(value)];
}

template <class Enum>
bool read_word(std::string_view word, Enum& to) {
  const auto& words = words_of(to);
  for (std::size_t i = 0; i < words.size(); ++i)
    if (word == words[i]) {
      to = static_cast<Enum>(i);
      return true;
    }
  return false;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
