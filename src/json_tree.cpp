#include "json_tree.hpp"
#include <lapwright/detail/text.hpp>

#include <cstdint>
#include <limits>
#include <utility>

#include <nlohmann/json.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

const JsonNode* JsonNode::find(std::string_view key) const {
  for (std::size_t i = 0; i < keys.size(); ++i)
    if (keys[i] == key) return &items[i];
  return nullptr;
}

std::string member_path(const std::string& path, std::string_view key) {
  bool plain = !key.empty();
  for (char c : key)
    plain = plain && ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                      c == '_' || c == '-');
  if (!plain) return detail::format("{}[\"{}\"]", path, key);
  return path.empty() ? std::string(key) : detail::format("{}.{}", path, key);
}
std::string item_path(const std::string& path, std::size_t i) {
  return detail::format("{}[{}]", path, i);
}

namespace {

// At most 60 bytes of what was read, no character cut through.
std::string clipped(std::string_view text) {
  std::size_t end = 60;
  if (text.size() <= end) return std::string(text);
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;
  return std::string(text.substr(0, end)) + "...";
}

// Builds the tree from the parser's events. Names are the library's.
class TreeBuilder {
public:
  using number_integer_t = nlohmann::json::number_integer_t;
  using number_unsigned_t = nlohmann::json::number_unsigned_t;
  using number_float_t = nlohmann::json::number_float_t;
  using string_t = nlohmann::json::string_t;
  using binary_t = nlohmann::json::binary_t;

  TreeBuilder(JsonNode& root, std::vector<Fault>& faults) : root_(root), faults_(faults) {}

  bool null() { return add({}); }
  bool boolean(bool value) {
    JsonNode node;
    node.kind = JsonNode::Kind::boolean;
    node.truth = value;
    return add(std::move(node));
  }
  bool number_integer(number_integer_t value) { return add_number(static_cast<double>(value), true, value); }
  bool number_unsigned(number_unsigned_t value) {
    const bool fits = value <= static_cast<number_unsigned_t>(std::numeric_limits<std::int64_t>::max());
    return add_number(static_cast<double>(value), fits, fits ? static_cast<std::int64_t>(value) : 0);
  }
  bool number_float(number_float_t value, const string_t&) { return add_number(value, false, 0); }
  bool string(string_t& value) {
    JsonNode node;
    node.kind = JsonNode::Kind::text;
    node.text = std::move(value);
    return add(std::move(node));
  }
  bool binary(binary_t&) { return false; }
  bool start_object(std::size_t) { return open(JsonNode::Kind::object); }
  bool start_array(std::size_t) { return open(JsonNode::Kind::list); }
  bool end_object() { return close(); }
  bool end_array() { return close(); }
  bool key(string_t& value) {
    const JsonNode& object = top().node;
    if (object.keys.size() >= json_keys) {
      too_many_keys = true;
      error_path = path();
      return false;
    }
    if (object.find(value)) {
      faults_.push_back({member_path(path(), value),
                         detail::format("key \"{}\" is given twice; keep one of the two", clipped(value))});
      top().drop_next = true;
    }
    top().key = std::move(value);
    return true;
  }

  bool parse_error(std::size_t position, const std::string& token, const nlohmann::detail::exception& error) {
    too_large = error.id == 406;
    error_at = position;
    error_token = token;
    error_path = path();
    error_text = error.what();
    return false;
  }

  bool too_large = false;  // a number beyond the range of a double
  bool too_deep = false;
  bool too_many_keys = false;
  std::size_t error_at = 0;
  std::string error_token, error_path, error_text;

private:
  struct Level {
    JsonNode node;
    std::string key;
    bool drop_next = false;  // the value of a key given twice
  };

  Level& top() { return levels_.back(); }
  bool add_number(double value, bool whole, std::int64_t integer) {
    JsonNode node;
    node.kind = JsonNode::Kind::number;
    node.number = value;
    node.whole = whole;
    node.integer = integer;
    return add(std::move(node));
  }
  bool open(JsonNode::Kind kind) {
    if (levels_.size() >= json_depth) {
      too_deep = true;
      error_path = path();
      return false;
    }
    Level level;
    level.node.kind = kind;
    levels_.push_back(std::move(level));
    return true;
  }
  bool close() {
    JsonNode node = std::move(top().node);
    levels_.pop_back();
    return add(std::move(node));
  }
  bool add(JsonNode node) {
    if (levels_.empty()) {
      root_ = std::move(node);
      return true;
    }
    Level& level = top();
    if (level.node.kind == JsonNode::Kind::list) {
      level.node.items.push_back(std::move(node));
    } else if (level.drop_next) {
      level.drop_next = false;
    } else {
      level.node.keys.push_back(std::move(level.key));
      level.node.items.push_back(std::move(node));
    }
    return true;
  }
  // Of the value that is read next.
  std::string path() const {
    std::string out;
    for (std::size_t i = 0; i < levels_.size(); ++i) {
      const Level& level = levels_[i];
      if (level.node.kind == JsonNode::Kind::list)
        out = item_path(out, level.node.items.size());
      else if (i + 1 < levels_.size() || !level.key.empty())
        out = member_path(out, level.key);
    }
    return out;
  }

  JsonNode& root_;
  std::vector<Fault>& faults_;
  std::vector<Level> levels_;
};

// "line 3, column 7" of a byte position counted from 1.
std::string line_and_column(std::string_view text, std::size_t position) {
  std::size_t line = 1, column = 1;
  for (std::size_t i = 0; i + 1 < position && i < text.size(); ++i) {
    ++column;
    if (text[i] == '\n') {
      ++line;
      column = 1;
    }
  }
  return detail::format("line {}, column {}", line, column);
}

// The parser's reason without its own prefix and position.
std::string reason(const std::string& what) {
  const std::string mark = "syntax error ";
  std::size_t from = what.find(mark);
  if (from == std::string::npos) {
    from = what.find(": ");
    return from == std::string::npos ? what : what.substr(from + 2);
  }
  return what.substr(from + mark.size());
}

}  // namespace

bool parse_json(std::string_view text, JsonNode& root, std::vector<Fault>& faults) {
  std::string copy;  // only where numbers had to be brought into range
  for (int tries = 0;; ++tries) {
    std::vector<Fault> found;
    root = {};
    TreeBuilder builder(root, found);
    const bool read = nlohmann::json::sax_parse(text.begin(), text.end(), &builder);
    if (!read && builder.too_large && builder.error_at <= text.size() && tries < 100) {
      // The parser gives up on 1e999; its reader should refuse it by name and go on.
      std::size_t end = builder.error_at;
      const auto in_number = [](char c) {
        return (c >= '0' && c <= '9') || c == '+' || c == '-' || c == '.' || c == 'e' || c == 'E';
      };
      while (end > 0 && !in_number(text[end - 1])) --end;
      std::size_t begin = end;
      while (begin > 0 && in_number(text[begin - 1])) --begin;
      const std::size_t sign = begin < end && text[begin] == '-' ? 1 : 0;
      if (end - begin >= 5 + sign) {
        if (copy.empty()) copy = std::string(text);
        copy.replace(begin + sign, end - begin - sign, "1e308" + std::string(end - begin - sign - 5, ' '));
        text = copy;
        continue;
      }
    }
    for (Fault& fault : found) faults.push_back(std::move(fault));
    if (read) return true;
    root = {};
    if (builder.too_deep)
      faults.push_back({builder.error_path, detail::format("is nested deeper than {} levels", json_depth)});
    else if (builder.too_many_keys)
      faults.push_back({builder.error_path, detail::format("has more than {} keys", json_keys)});
    else
      faults.push_back({builder.error_path,
                        detail::format("text is not JSON, at {}: {}", line_and_column(text, builder.error_at),
                                       reason(builder.error_text))});
    return false;
  }
}

std::string describe(const JsonNode& node) {
  switch (node.kind) {
    case JsonNode::Kind::null:
      return "null";
    case JsonNode::Kind::boolean:
      return node.truth ? "true" : "false";
    case JsonNode::Kind::number:
      return detail::format("{}", node.number);
    case JsonNode::Kind::text:
      return detail::format("the text \"{}\"", clipped(node.text));
    case JsonNode::Kind::list:
      return node.items.empty() ? "an empty list" : detail::format("a list of {}", node.items.size());
    case JsonNode::Kind::object:
      return "an object";
  }
  return "nothing";
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
