#pragma once
/// \file json_tree.hpp  A JSON text as a small tree that keeps the order of keys. Only in src/.
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/error.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

struct JsonNode {
  enum class Kind { null, boolean, number, text, list, object };
  Kind kind = Kind::null;
  bool truth = false;
  bool whole = false;  ///< written as an integer that fits `integer`
  double number = 0;
  std::int64_t integer = 0;  ///< the same, where `whole`
  std::string text;
  std::vector<std::string> keys;  ///< of an object, beside items
  std::vector<JsonNode> items;    ///< of a list or an object

  /// The member of an object, or null.
  const JsonNode* find(std::string_view key) const;
};

/// Deeper nesting than any document of ours is refused, not followed.
inline constexpr std::size_t json_depth = 64;
/// So is an object with more keys, which would make the search for keys given twice slow.
inline constexpr std::size_t json_keys = 1000;

/// Parses strict JSON (RFC 8259, UTF-8; a byte order mark is passed over). What cannot be parsed, and each
/// key given twice, is added to `faults` with its path; of two equal keys the first stays. A number beyond
/// the range of a double becomes the greatest double of its sign, for its reader to refuse by its own limits.
/// \return false where the text ended in a fault that nothing could be read behind
bool parse_json(std::string_view text, JsonNode& root, std::vector<Fault>& faults);

/// "a list", "the text \"abc\"", "12": what was found, for a message.
std::string describe(const JsonNode& node);

/// `path.key`, or `key` at the root; a key with other characters than letters, digits, - and _ is quoted.
std::string member_path(const std::string& path, std::string_view key);
/// `path[i]`.
std::string item_path(const std::string& path, std::size_t i);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
