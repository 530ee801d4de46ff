// A plan document read leniently: whatever cannot be read is a finding and stays at its default, so that an
// audit has something to look at in a plan from whoever made it.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/document.hpp>

#include "document_members.hpp"
#include "document_words.hpp"
#include "json_tree.hpp"

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace {

class PlanReader {
public:
  ReadPlan read(std::string_view json) {
    JsonNode root;
    std::vector<Fault> faults;
    const bool parsed = parse_json(json, root, faults);
    for (const Fault& fault : faults) odd(fault.path, fault.message);
    if (parsed) read_document(root);
    return std::move(read_);
  }

  // --- what document_members.hpp asks of a reader ----------------------------------------------
  static constexpr bool reads = true;
  template <class T>
  void must(std::string_view key, T& to) {
    take(member(key, Need::must), to);
  }
  template <class T>
  void may(std::string_view key, T& to) {
    take(member(key, Need::may), to);
  }
  template <class T>
  void may(std::string_view key, std::optional<T>& to) {
    const Place place = member(key, Need::may);
    if (!place.node) return;
    T value{};
    if (take(place, value)) to = std::move(value);
  }
  template <class T>
  void when(bool, std::string_view key, T& to) {
    may(key, to);
  }
  void line() {}
  void constant(std::string_view key, std::string_view value) {
    const Place place = member(key, Need::must);
    if (is(place, JsonNode::Kind::text, "a text") && place.node->text != value)
      odd(place.path, detail::format("must be {}, got {}", value, describe(*place.node)));
  }
  void range(std::string_view key, int& first, int& last) {
    const Place place = member(key, Need::must);
    if (!is(place, JsonNode::Kind::list, "a list")) return;
    const std::vector<JsonNode>& ends = place.node->items;
    if (ends.size() != 2) {
      odd(place.path, "must be [first, last]");
      return;
    }
    take(Place{&ends[0], item_path(place.path, 0)}, first);
    take(Place{&ends[1], item_path(place.path, 1)}, last);
  }
  template <class T>
  void nailed(std::string_view key, std::vector<T>& things, std::vector<std::vector<Nail>>& nails) {
    const Place list = member(key, Need::must);
    if (!is(list, JsonNode::Kind::list, "a list")) return;
    for (std::size_t i = 0; i < list.node->items.size(); ++i) {
      T& thing = things.emplace_back();
      std::vector<Nail>& held = nails.emplace_back();
      inside(Place{&list.node->items[i], item_path(list.path, i)}, [&] {
        members(*this, thing);
        if (std::is_same_v<T, Piece>)
          must("nails", held);
        else
          may("nails", held);
      });
    }
  }

  /// The blank follows from outline and pole, where a plan does not say it.
  void take_blank(Piece& piece) {
    if (!piece.outline.empty()) {
      const Box box = bounds(piece.outline);
      piece.x_min = box.x_min;
      piece.x_max = box.x_max;
      piece.y = box.y_min;
    }
    const std::vector<double>& lines = read_.plan.pole.lines;
    if (piece.course >= 0 && static_cast<std::size_t>(piece.course) < lines.size())
      piece.y = lines[static_cast<std::size_t>(piece.course)];
  }
  void begin_wall(PlanWall& wall) {
    wall_ = wall.name;
    wall.courses.last_course = unsaid;
  }
  void end_wall(PlanWall& wall) {
    wall_.clear();
    if (wall.courses.last_course != unsaid) return;
    wall.courses.last_course = -1;  // the highest course that has a piece
    for (const Piece& piece : wall.pieces)
      wall.courses.last_course = std::max(wall.courses.last_course, piece.course);
  }
  void check_placed(const Placement& placed) {
    if (placed.piece.empty() == placed.starter.empty())
      odd(object_.path, "must name a \"piece\" or a \"starter\"");
  }

private:
  enum class Need { must, may };     // a part that a plan must have, or may
  static constexpr int unsaid = -2;  // a wall's last course

  // A value and its path; null where it is absent.
  struct Place {
    const JsonNode* node = nullptr;
    std::string path;
  };

  void odd(const std::string& path, std::string_view what) {
    Finding finding;
    finding.code = "format";
    finding.message = path.empty() ? std::string(what) : detail::format("{}: {}", path, what);
    finding.wall = wall_;
    read_.findings.push_back(std::move(finding));
  }

  Place member(std::string_view key, Need need) {
    Place place{object_.node->find(key), member_path(object_.path, key)};
    if (!place.node && need == Need::must) odd(place.path, "is missing");
    return place;
  }
  bool is(const Place& place, JsonNode::Kind kind, std::string_view what) {
    if (!place.node) return false;
    if (place.node->kind == kind) return true;
    odd(place.path, detail::format("must be {}, got {}", what, describe(*place.node)));
    return false;
  }
  // --- values: true where one was read ---------------------------------------------------------
  template <class T>
  bool take(const Place& place, T& to) {
    if constexpr (std::is_enum_v<T>) {
      return word(place, to);
    } else if constexpr (std::is_integral_v<T>) {
      return whole(place, to);
    } else {
      return inside(place, [&] { members(*this, to); });
    }
  }
  bool take(const Place& place, bool& to) {
    if (!is(place, JsonNode::Kind::boolean, "true or false")) return false;
    to = place.node->truth;
    return true;
  }
  bool take(const Place& place, double& to) {
    if (!is(place, JsonNode::Kind::number, "a number")) return false;
    to = place.node->number;
    return true;
  }
  bool take(const Place& place, std::string& to) {
    if (!is(place, JsonNode::Kind::text, "a text")) return false;
    to = place.node->text;
    return true;
  }
  bool take(const Place& place, std::size_t& to) {
    std::int64_t index = -1;
    if (!whole(place, index)) return false;
    if (index < 0) {
      odd(place.path, "must be the index of a piece");
      return false;
    }
    to = static_cast<std::size_t>(index);
    return true;
  }
  bool take(const Place& place, Point& to) {
    if (!place.node) return false;
    const JsonNode& node = *place.node;
    if (node.kind == JsonNode::Kind::list && node.items.size() == 2 &&
        node.items[0].kind == JsonNode::Kind::number && node.items[1].kind == JsonNode::Kind::number) {
      to = {node.items[0].number, node.items[1].number};
      return true;
    }
    odd(place.path, detail::format("must be a point [x, y], got {}", describe(node)));
    return false;
  }
  /// What cannot be read is left out of a list of points or indices; elsewhere it keeps its place.
  template <class T>
  bool take(const Place& place, std::vector<T>& to) {
    constexpr bool left_out = std::is_same_v<T, Point> || std::is_same_v<T, std::size_t>;
    if (!is(place, JsonNode::Kind::list, "a list")) return false;
    for (std::size_t i = 0; i < place.node->items.size(); ++i)
      if (!take(Place{&place.node->items[i], item_path(place.path, i)}, to.emplace_back()) && left_out)
        to.pop_back();
    return true;
  }
  template <class Int>
  bool whole(const Place& place, Int& to) {
    if (!is(place, JsonNode::Kind::number, "a whole number")) return false;
    const double value = place.node->number;
    if (place.node->whole && place.node->integer >= std::numeric_limits<Int>::min() &&
        place.node->integer <= std::numeric_limits<Int>::max()) {
      to = static_cast<Int>(place.node->integer);
      return true;
    }
    if (place.node->whole || value != std::floor(value) || std::fabs(value) > 2147483647.0) {
      odd(place.path, detail::format("must be a whole number, got {}", describe(*place.node)));
      return false;
    }
    to = static_cast<Int>(value);
    return true;
  }
  template <class Enum>
  bool word(const Place& place, Enum& to) {
    if (!is(place, JsonNode::Kind::text, "a text")) return false;
    if (read_word(place.node->text, to)) return true;
    std::string list;
    for (const char* known : words_of(to)) list += detail::format("{}{}", list.empty() ? "" : ", ", known);
    odd(place.path, detail::format("must be one of {}, got {}", list, describe(*place.node)));
    return false;
  }
  template <class Body>
  bool inside(const Place& place, const Body& body) {
    if (!is(place, JsonNode::Kind::object, "an object")) return false;
    const Place around = std::exchange(object_, place);
    body();
    object_ = around;
    return true;
  }

  // --- the document ---------------------------------------------------------------------------
  void read_document(const JsonNode& root) {
    object_ = {&root, ""};
    if (!is(object_, JsonNode::Kind::object, "an object")) return;
    if (root.find("errors") && !root.find("walls")) {
      odd("errors", "this is the answer to a refused job, not a plan");
      return;
    }
    int version = 1;
    must("lapwright", version);
    if (version != 1) odd("lapwright", detail::format("must be 1, the format version, got {}", version));
    std::string library;
    must("library", library);
    members(*this, read_.plan);
  }

  ReadPlan read_;
  Place object_;      // whose members are read
  std::string wall_;  // that a finding is about
};

}  // namespace
}  // namespace detail

ReadPlan read_plan(std::string_view json) {
  return detail::PlanReader().read(json);
}

}  // namespace v0
}  // namespace lapwright
