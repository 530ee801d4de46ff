// The job document: text to plain values. Every fault is collected with its path; the limits are check_job's.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <lapwright/detail/text.hpp>
#include <lapwright/document.hpp>
#include <lapwright/job.hpp>
#include <lapwright/length.hpp>

#include "json_tree.hpp"

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace {

// Stands for a number that could not be read: no comparison with it is true, so no limit that involves it is
// reported as broken beside the fault itself.
constexpr double unread = std::numeric_limits<double>::quiet_NaN();

// Letters to change, add or drop to make one key of another.
std::size_t edits_between(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      std::size_t best = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      best = best < above + 1 ? best : above + 1;
      best = best < row[j - 1] + 1 ? best : row[j - 1] + 1;
      diagonal = above;
      row[j] = best;
    }
  }
  return row[b.size()];
}

class JobReader {
public:
  explicit JobReader(std::string_view text) { parsed_ = parse_json(text, root_, faults_); }

  Job read() {
    if (parsed_) read_document();
    if (parsed_ && !stop_) add_checks();
    if (!faults_.empty()) throw Refused(std::move(faults_));
    job_.defaults_used = std::move(defaults_);
    return std::move(job_);
  }

private:
  // An object that is being read: absent (every default is taken), broken (said once) or there.
  struct Group {
    const JsonNode* node = nullptr;
    bool broken = false;
    std::string path;
    std::vector<std::string_view> known;
  };

  void fault(std::string path, std::string message) {
    faults_.push_back({std::move(path), std::move(message)});
  }

  Group group_of(const JsonNode* node, std::string path) {
    Group group{node, false, std::move(path), {}};
    if (node && node->kind != JsonNode::Kind::object) {
      fault(group.path, detail::format("must be an object, got {}", describe(*node)));
      group.node = nullptr;
      group.broken = true;
    }
    return group;
  }
  const JsonNode* take(Group& group, std::string_view key) {
    group.known.push_back(key);
    return group.node ? group.node->find(key) : nullptr;
  }
  Group group(Group& parent, std::string_view key) {
    Group made = group_of(take(parent, key), member_path(parent.path, key));
    made.broken = made.broken || parent.broken;
    return made;
  }
  void took_default(const Group& group, std::string_view key) {
    if (!group.broken) defaults_.push_back(member_path(group.path, key));
  }
  void missing(const Group& group, std::string_view key, std::string_view what) {
    if (!group.broken) fault(member_path(group.path, key), detail::format("is missing: {}", what));
  }
  // Refuses every key that no one asked for.
  void done(const Group& group) {
    if (!group.node) return;
    for (const std::string& key : group.node->keys) {
      bool known = false;
      for (std::string_view k : group.known) known = known || k == key;
      if (known) continue;
      std::string_view nearest;
      std::size_t least = 0;
      if (key.size() <= 40)
        for (std::string_view k : group.known) {
          const std::size_t edits = edits_between(key, k);
          if (nearest.empty() || edits < least) {
            nearest = k;
            least = edits;
          }
        }
      const bool near = !nearest.empty() && least <= 2 && least < nearest.size();
      std::string list;
      for (std::string_view k : group.known) list += detail::format("{}{}", list.empty() ? "" : ", ", k);
      fault(member_path(group.path, key),
            near ? detail::format("is not a key of a job; did you mean \"{}\"?", nearest)
                 : detail::format("is not a key of a job; the keys here are {}", list));
    }
  }

  // --- values ---------------------------------------------------------------------------------
  double length_of(const JsonNode& node, const std::string& path) {
    if (node.kind == JsonNode::Kind::number) return metric_ ? node.number / 25.4 : node.number;
    if (node.kind == JsonNode::Kind::text) {
      try {
        return parse_length(node.text);
      } catch (const Refused& refused) {
        for (const Fault& f : refused.faults) fault(path, f.message);
        return unread;
      }
    }
    fault(path, detail::format("must be a length, a number of {} or a text such as 63 7/16 in, got {}",
                               metric_ ? "mm" : "inches", describe(node)));
    return unread;
  }
  double number_of(const JsonNode& node, const std::string& path) {
    if (node.kind == JsonNode::Kind::number) return node.number;
    fault(path, detail::format("must be a number, got {}", describe(node)));
    return unread;
  }
  int whole_of(const JsonNode& node, const std::string& path, int otherwise) {
    if (node.kind == JsonNode::Kind::number && node.number == std::floor(node.number)) {
      if (std::fabs(node.number) <= 1e9) return static_cast<int>(node.number);
      fault(path, detail::format("must be a whole number within 1000000000, got {}", describe(node)));
      return otherwise;
    }
    fault(path, detail::format("must be a whole number, got {}", describe(node)));
    return otherwise;
  }
  bool truth_of(const JsonNode& node, const std::string& path, bool otherwise) {
    if (node.kind == JsonNode::Kind::boolean) return node.truth;
    fault(path, detail::format("must be true or false, got {}", describe(node)));
    return otherwise;
  }
  std::string text_of(const JsonNode& node, const std::string& path) {
    if (node.kind == JsonNode::Kind::text) return node.text;
    fault(path, detail::format("must be a text, got {}", describe(node)));
    return {};
  }
  // Items of a list; none where it is absent or no list.
  const std::vector<JsonNode>* list_of(const JsonNode* node, const std::string& path, std::string_view what) {
    if (!node) return nullptr;
    if (node->kind == JsonNode::Kind::list) return &node->items;
    fault(path, detail::format("must be a list of {}, got {}", what, describe(*node)));
    return nullptr;
  }
  // A list of exactly `count` items.
  const std::vector<JsonNode>* tuple_of(const JsonNode* node, const std::string& path, std::size_t count,
                                        std::string_view what) {
    if (!node) return nullptr;
    if (node->kind == JsonNode::Kind::list && node->items.size() == count) return &node->items;
    fault(path, detail::format("must be {}, got {}", what, describe(*node)));
    return nullptr;
  }

  // --- members: absent ones keep the default, which is noted -----------------------------------
  void length(Group& g, std::string_view key, double& to) {
    if (const JsonNode* node = take(g, key))
      to = length_of(*node, member_path(g.path, key));
    else
      took_default(g, key);
  }
  void length(Group& g, std::string_view key, std::optional<double>& to) {
    if (const JsonNode* node = take(g, key))
      to = length_of(*node, member_path(g.path, key));
    else
      took_default(g, key);
  }
  void number(Group& g, std::string_view key, double& to) {
    if (const JsonNode* node = take(g, key))
      to = number_of(*node, member_path(g.path, key));
    else
      took_default(g, key);
  }
  void whole(Group& g, std::string_view key, int& to) {
    if (const JsonNode* node = take(g, key))
      to = whole_of(*node, member_path(g.path, key), to);
    else
      took_default(g, key);
  }
  void truth(Group& g, std::string_view key, bool& to) {
    if (const JsonNode* node = take(g, key))
      to = truth_of(*node, member_path(g.path, key), to);
    else
      took_default(g, key);
  }
  // One of several words.
  template <class Enum>
  void word(Group& g, std::string_view key, Enum& to,
            std::initializer_list<std::pair<std::string_view, Enum>> words) {
    if (const JsonNode* node = take(g, key))
      word_of(*node, member_path(g.path, key), to, words);
    else
      took_default(g, key);
  }
  template <class Enum>
  bool word_of(const JsonNode& node, const std::string& path, Enum& to,
               std::initializer_list<std::pair<std::string_view, Enum>> words) {
    std::string list;
    for (const auto& [text, value] : words) {
      if (node.kind == JsonNode::Kind::text && node.text == text) {
        to = value;
        return true;
      }
      list += detail::format("{}{}", list.empty() ? "" : ", ", text);
    }
    fault(path, detail::format("must be one of {}, got {}", list, describe(node)));
    return false;
  }

  // --- the document ---------------------------------------------------------------------------
  void read_document() {
    Group g = group_of(&root_, "");
    if (g.broken) {
      faults_.back().message = detail::format("a job must be an object, got {}", describe(root_));
      stop_ = true;
      return;
    }
    if (const JsonNode* node = take(g, "lapwright")) {
      if (node->kind != JsonNode::Kind::number || node->number != 1)
        fault("lapwright", detail::format("must be 1, the format version, got {}", describe(*node)));
    } else {
      missing(g, "lapwright", "the format version, 1");
    }
    if (const JsonNode* node = take(g, "name")) job_.name = text_of(*node, "name");
    if (const JsonNode* node = take(g, "unit"))
      word_of(*node, "unit", metric_, {{"in", false}, {"mm", true}});
    Rules& rules = job_.rules;
    read_board(g, rules.board);
    read_courses(g, rules.courses);
    read_joints(g, rules.joints);
    read_cutting(g, rules.cutting);
    {
      Group starter = group(g, "starter");
      length(starter, "width", rules.starter.width);
      done(starter);
    }
    {
      Group trim = group(g, "trim");
      if (trim.node) {
        rules.trim.emplace();
        length(trim, "thickness", rules.trim->thickness);
        done(trim);
      }
    }
    {
      Group sheathing = group(g, "sheathing");
      length(sheathing, "thickness", rules.sheathing.thickness);
      truth(sheathing, "holds_nails", rules.sheathing.holds_nails);
      done(sheathing);
    }
    read_fasteners(g, rules.fasteners);
    {
      Group seal = group(g, "seal");
      length(seal, "width", rules.seal.width);
      length(seal, "depth", rules.seal.depth);
      number(seal, "cartridge", rules.seal.cartridge);
      done(seal);
    }
    read_staging(g, rules.staging);
    number(g, "allowance", rules.allowance);
    {
      Group search = group(g, "search");
      number(search, "effort", rules.search.effort);
      done(search);
    }
    read_loads(g, rules);
    if (const JsonNode* node = take(g, "walls")) {
      if (const auto* walls = list_of(node, "walls", "walls")) {
        if (walls->size() > most_walls) {
          fault("walls", detail::format("holds {} walls, the most is {}: plan the building in parts",
                                        walls->size(), most_walls));
          stop_ = true;
        } else {
          job_.walls.resize(walls->size());
          for (std::size_t i = 0; i < walls->size(); ++i)
            read_wall((*walls)[i], item_path("walls", i), job_.walls[i]);
        }
      }
    } else {
      missing(g, "walls", "a list with at least one wall");
    }
    done(g);
  }

  void read_board(Group& parent, BoardRules& board) {
    Group g = group(parent, "board");
    if (!parent.node->find("board")) {
      fault("board", "is missing: at least \"width\" and \"lengths\" of the boards");
      g.broken = true;
    }
    if (const JsonNode* node = take(g, "width")) {
      board.width = length_of(*node, member_path(g.path, "width"));
    } else {
      missing(g, "width", "the board's width, such as 8.25");
      board.width = unread;
    }
    length(g, "thickness", board.thickness);
    if (const JsonNode* node = take(g, "lengths")) {
      const std::string path = member_path(g.path, "lengths");
      if (const auto* items = list_of(node, path, "lengths"))
        for (std::size_t i = 0; i < items->size(); ++i)
          board.lengths.push_back(length_of((*items)[i], item_path(path, i)));
    } else {
      missing(g, "lengths", "the lengths of boards that can be bought, such as [144]");
    }
    if (const JsonNode* node = take(g, "prices")) {
      const std::string path = member_path(g.path, "prices");
      if (const auto* items = list_of(node, path, "prices"))
        for (std::size_t i = 0; i < items->size(); ++i)
          board.prices.push_back(number_of((*items)[i], item_path(path, i)));
    } else {
      took_default(g, "prices");
    }
    length(g, "min_lap", board.min_lap);
    number(g, "weight", board.weight);
    truth(g, "turnable", board.turnable);
    const std::string path = member_path(g.path, "offcuts");
    if (const auto* items = list_of(take(g, "offcuts"), path, "offcuts on hand"))
      for (std::size_t i = 0; i < items->size(); ++i)
        board.offcuts.push_back(read_offcut((*items)[i], item_path(path, i)));
    done(g);
  }
  StockOffcut read_offcut(const JsonNode& node, std::string path) {
    StockOffcut offcut{unread, true, false};
    Group g = group_of(&node, std::move(path));
    if (const JsonNode* length = take(g, "length"))
      offcut.length = length_of(*length, member_path(g.path, "length"));
    else
      missing(g, "length", "the offcut's length");
    if (const JsonNode* factory = take(g, "factory")) {
      const std::string at = member_path(g.path, "factory");
      if (const auto* ends = tuple_of(
              factory, at, 2, "two of true or false, whether its left and right ends are factory ends")) {
        offcut.factory_left = truth_of((*ends)[0], item_path(at, 0), false);
        offcut.factory_right = truth_of((*ends)[1], item_path(at, 1), false);
      }
    } else {
      took_default(g, "factory");
    }
    done(g);
    return offcut;
  }

  void read_courses(Group& parent, CourseRules& courses) {
    Group g = group(parent, "courses");
    word(g, "mode", courses.mode,
         {{"full", CourseMode::full}, {"even", CourseMode::even}, {"fitted", CourseMode::fitted}});
    length(g, "max_exposure", courses.max_exposure);
    length(g, "min_exposure", courses.min_exposure);
    length(g, "division", courses.division);
    length(g, "max_step", courses.max_step);
    length(g, "min_strip", courses.min_strip);
    const std::string lines = member_path(g.path, "lines");
    if (const auto* items = list_of(take(g, "lines"), lines, "heights of course lines"))
      for (std::size_t i = 0; i < items->size(); ++i)
        courses.lines.push_back(length_of((*items)[i], item_path(lines, i)));
    const std::string joints = member_path(g.path, "joints_built");
    if (const auto* items = list_of(take(g, "joints_built"), joints, "joints, each [wall, course, x]"))
      for (std::size_t i = 0; i < items->size(); ++i) {
        const std::string path = item_path(joints, i);
        BuiltJoint joint;
        joint.x = unread;
        if (const auto* parts =
                tuple_of(&(*items)[i], path, 3, "[wall, course, x], such as [\"south\", 2, 48]")) {
          joint.wall = text_of((*parts)[0], item_path(path, 0));
          joint.course = whole_of((*parts)[1], item_path(path, 1), 0);
          joint.x = length_of((*parts)[2], item_path(path, 2));
        }
        courses.joints_built.push_back(std::move(joint));
      }
    done(g);
  }

  void read_joints(Group& parent, JointRules& joints) {
    Group g = group(parent, "joints");
    length(g, "gap", joints.gap);
    length(g, "window", joints.window);
    length(g, "min_piece", joints.min_piece);
    length(g, "stagger", joints.stagger);
    whole(g, "repeat_after", joints.repeat_after);
    truth(g, "factory_ends", joints.factory_ends);
    number(g, "price", joints.price);
    done(g);
  }

  void read_cutting(Group& parent, CuttingRules& cutting) {
    Group g = group(parent, "cutting");
    length(g, "kerf", cutting.kerf);
    length(g, "min_leg", cutting.min_leg);
    length(g, "min_offcut", cutting.min_offcut);
    done(g);
  }

  void read_fasteners(Group& parent, FastenerRules& nails) {
    Group g = group(parent, "fasteners");
    length(g, "length", nails.length);
    length(g, "shank", nails.shank);
    length(g, "head", nails.head);
    truth(g, "ring_shank", nails.ring_shank);
    length(g, "top_edge", nails.top_edge);
    length(g, "end_edge", nails.end_edge);
    length(g, "edge", nails.edge);
    length(g, "max_spacing", nails.max_spacing);
    length(g, "end_reach", nails.end_reach);
    length(g, "min_penetration", nails.min_penetration);
    number(g, "min_framing_share", nails.min_framing_share);
    done(g);
  }

  void read_staging(Group& parent, StagingRules& staging) {
    Group g = group(parent, "staging");
    length(g, "lift", staging.lift);
    if (const JsonNode* node = take(g, "rating"))
      staging.rating = number_of(*node, member_path(g.path, "rating"));
    const std::string path = member_path(g.path, "bay");
    if (const JsonNode* node = take(g, "bay")) {
      if (const auto* bay = tuple_of(node, path, 2, "[length, width] of one bay's platform")) {
        staging.bay_length = length_of((*bay)[0], item_path(path, 0));
        staging.bay_width = length_of((*bay)[1], item_path(path, 1));
      }
    } else {
      took_default(g, "bay");
    }
    done(g);
  }

  void read_loads(Group& parent, Rules& rules) {
    Group g = group(parent, "loads");
    if (!g.node) return;
    LoadRules& loads = rules.loads.emplace();
    number(g, "wind_speed", loads.wind_speed);
    word(g, "exposure", loads.exposure, {{"B", 'B'}, {"C", 'C'}, {"D", 'D'}});
    length(g, "mean_roof_height", loads.mean_roof_height);
    if (const JsonNode* node = take(g, "plan")) {
      const std::string path = member_path(g.path, "plan");
      if (const auto* plan = tuple_of(node, path, 2, "[length, width] of the building")) {
        loads.plan_length = length_of((*plan)[0], item_path(path, 0));
        loads.plan_width = length_of((*plan)[1], item_path(path, 1));
      }
    } else {
      took_default(g, "plan");
    }
    number(g, "specific_gravity", loads.specific_gravity);
    done(g);
  }

  // --- walls ----------------------------------------------------------------------------------
  Point read_point(const JsonNode& node, const std::string& path) {
    if (const auto* xy = tuple_of(&node, path, 2, "a point [x, y]"))
      return {snap_read((*xy)[0], item_path(path, 0)), snap_read((*xy)[1], item_path(path, 1))};
    return {unread, unread};
  }
  double snap_read(const JsonNode& node, const std::string& path) {
    return snap_finite(length_of(node, path));
  }
  // Beyond the limit nothing is snapped: check_job refuses it with the value as it was given.
  static double snap_finite(double inches) {
    return std::fabs(inches) <= greatest_length ? snap(inches) : inches;
  }
  Ring read_ring(const JsonNode& node, const std::string& path) {
    Ring ring;
    if (const auto* points = list_of(&node, path, "points [x, y]")) {
      if (points->size() > most_points) {
        fault(path, detail::format("has {} points, the most is {}", points->size(), most_points));
        return ring;
      }
      for (std::size_t i = 0; i < points->size(); ++i)
        ring.push_back(read_point((*points)[i], item_path(path, i)));
      if (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
    }
    return ring;
  }

  void read_wall(const JsonNode& node, const std::string& path, Wall& wall) {
    Group g = group_of(&node, path);
    if (const JsonNode* name = take(g, "name"))
      wall.name = text_of(*name, member_path(path, "name"));
    else
      missing(g, "name", "each wall has a name of its own");
    if (const JsonNode* outline = take(g, "outline"))
      wall.outline = read_ring(*outline, member_path(path, "outline"));
    else
      missing(g, "outline", "the wall's corners, a list of points [x, y]");
    if (const JsonNode* edges = take(g, "edges")) {
      const std::string at = member_path(path, "edges");
      if (const auto* items = list_of(edges, at, "kinds of edge, one for each side of the outline"))
        for (std::size_t i = 0; i < items->size(); ++i)
          wall.edges.push_back(read_edge((*items)[i], item_path(at, i)));
    } else {
      missing(g, "edges", "the kind of each edge: base, corner, top, rake, roof or wall");
    }
    if (const JsonNode* start = take(g, "start")) {
      const std::string at = member_path(path, "start");
      if (const auto* ends = tuple_of(start, at, 2, "[lowest, highest] for the first course line"))
        wall.start =
            Interval{length_of((*ends)[0], item_path(at, 0)), length_of((*ends)[1], item_path(at, 1))};
    }
    const std::string openings = member_path(path, "openings");
    if (const auto* items = list_of(take(g, "openings"), openings, "openings")) {
      if (items->size() > most_openings) {
        fault(openings, detail::format("holds {} openings, the most is {}", items->size(), most_openings));
      } else {
        wall.openings.resize(items->size());
        for (std::size_t i = 0; i < items->size(); ++i)
          read_opening((*items)[i], item_path(openings, i), wall.openings[i]);
      }
    }
    read_framing(g, wall.framing);
    done(g);
  }

  Edge read_edge(const JsonNode& node, std::string path) {
    const std::initializer_list<std::pair<std::string_view, EdgeKind>> kinds = {
        {"base", EdgeKind::base}, {"corner", EdgeKind::corner}, {"top", EdgeKind::top},
        {"rake", EdgeKind::rake}, {"roof", EdgeKind::roof},     {"wall", EdgeKind::wall}};
    EdgeKind kind = EdgeKind::corner;
    if (node.kind == JsonNode::Kind::text) {
      if (!word_of(node, path, kind, kinds)) return default_edge(kind);
      defaults_.push_back(member_path(path, "trim"));
      defaults_.push_back(member_path(path, "gap"));
      return default_edge(kind);
    }
    if (node.kind != JsonNode::Kind::object) {
      fault(std::move(path),
            detail::format(
                "must be a kind of edge (base, corner, top, rake, roof, wall) or an object with one, got {}",
                describe(node)));
      return default_edge(kind);
    }
    Group g = group_of(&node, std::move(path));
    bool known = false;
    if (const JsonNode* word = take(g, "kind"))
      known = word_of(*word, member_path(g.path, "kind"), kind, kinds);
    else
      missing(g, "kind", "one of base, corner, top, rake, roof, wall");
    Edge edge = default_edge(kind);
    if (!known) g.broken = true;  // whose defaults they would be is not known
    length(g, "trim", edge.trim);
    length(g, "gap", edge.gap);
    done(g);
    return edge;
  }

  // One number for all sides, or an object with some of them; sides in the order of `names`.
  void read_sides(Group& g, std::string_view key, std::vector<double>& sides,
                  std::initializer_list<std::string_view> names, std::initializer_list<std::size_t> index) {
    const JsonNode* node = take(g, key);
    if (!node) {
      took_default(g, key);
      return;
    }
    const std::string path = member_path(g.path, key);
    if (node->kind != JsonNode::Kind::object) {
      sides.assign(sides.size(), length_of(*node, path));
      return;
    }
    if (names.size() == 0) {
      fault(path, "must be one length: the sides of a polygon have no names");
      return;
    }
    Group side = group_of(node, path);
    auto i = index.begin();
    for (std::string_view name : names) length(side, name, sides[*i++]);
    done(side);
  }

  void read_opening(const JsonNode& node, const std::string& path, Opening& opening) {
    Group g = group_of(&node, path);
    if (const JsonNode* name = take(g, "name")) opening.name = text_of(*name, member_path(path, "name"));
    const JsonNode* at = take(g, "at");
    const JsonNode* size = take(g, "size");
    const JsonNode* outline = take(g, "outline");
    if (outline && (at || size))
      fault(path, "has both \"outline\" and \"at\" or \"size\": keep the outline, or the corner and size");
    else if (!outline && !at && !size)
      missing_shape(g);
    else if (!outline && !at)
      missing(g, "at", "the lower left corner [x, y]");
    else if (!outline && !size)
      missing(g, "size", "[width, height]");
    if (outline && !at && !size) {
      opening.outline = read_ring(*outline, member_path(path, "outline"));
      const std::size_t n = opening.outline.size();
      opening.trim.assign(n, default_opening_trim);
      opening.gap = polygon_opening_gaps(opening.outline);
      read_sides(g, "trim", opening.trim, {}, {});
      read_sides(g, "gap", opening.gap, {}, {});
    } else {
      double x = unread, y = unread, width = unread, height = unread;
      const std::string at_path = member_path(path, "at"), size_path = member_path(path, "size");
      if (const auto* xy = tuple_of(at, at_path, 2, "the lower left corner [x, y]")) {
        x = length_of((*xy)[0], item_path(at_path, 0));
        y = length_of((*xy)[1], item_path(at_path, 1));
      }
      if (const auto* wh = tuple_of(size, size_path, 2, "[width, height]")) {
        width = length_of((*wh)[0], item_path(size_path, 0));
        height = length_of((*wh)[1], item_path(size_path, 1));
        limit_size(width, item_path(size_path, 0), "width");
        limit_size(height, item_path(size_path, 1), "height");
      }
      std::string name = std::move(opening.name);
      opening = rectangular_opening(std::move(name), {0, 0}, 0, 0);
      const double left = snap_finite(x), right = snap_finite(x + width);
      const double bottom = snap_finite(y), top = snap_finite(y + height);
      opening.outline = {{left, bottom}, {right, bottom}, {right, top}, {left, top}};
      read_sides(g, "trim", opening.trim, {"left", "right", "head", "sill"}, {3, 1, 2, 0});
      read_sides(g, "gap", opening.gap, {"left", "right", "head", "sill"}, {3, 1, 2, 0});
    }
    done(g);
  }
  void missing_shape(const Group& g) {
    if (!g.broken) fault(g.path, "has no shape: give \"at\" and \"size\", or \"outline\"");
  }
  // Said here, of the size as it was given; the corner that it leads to is then left alone.
  void limit_size(double& size, const std::string& path, std::string_view what) {
    std::string wrong = size_fault(what, size);
    if (wrong.empty()) return;
    fault(path, std::move(wrong));
    size = unread;
  }

  void read_framing(Group& parent, Framing& framing) {
    Group g = group(parent, "framing");
    length(g, "spacing", framing.spacing);
    length(g, "first", framing.first);
    length(g, "stud_width", framing.stud_width);
    const std::string studs = member_path(g.path, "studs");
    if (const auto* items = list_of(take(g, "studs"), studs, "stud centres"))
      for (std::size_t i = 0; i < items->size(); ++i)
        framing.studs.push_back(length_of((*items)[i], item_path(studs, i)));
    const std::string members = member_path(g.path, "members");
    if (const auto* items = list_of(take(g, "members"), members, "rectangles [x0, y0, x1, y1]"))
      for (std::size_t i = 0; i < items->size(); ++i) {
        const std::string path = item_path(members, i);
        Box box{unread, unread, unread, unread};
        if (const auto* sides = tuple_of(&(*items)[i], path, 4, "a rectangle [x0, y0, x1, y1]")) {
          box.x_min = snap_read((*sides)[0], item_path(path, 0));
          box.y_min = snap_read((*sides)[1], item_path(path, 1));
          box.x_max = snap_read((*sides)[2], item_path(path, 2));
          box.y_max = snap_read((*sides)[3], item_path(path, 3));
        }
        framing.members.push_back(box);
      }
    length(g, "opening_stud", framing.opening_stud);
    truth(g, "around_openings", framing.around_openings);
    done(g);
  }

  // What check_job finds, but for what is only a consequence of a fault that is listed already.
  void add_checks() {
    std::vector<std::string> listed;
    for (const Fault& f : faults_) listed.push_back(f.path);
    std::sort(listed.begin(), listed.end());
    for (Fault& found : check_job(job_))
      if (!touches_any(listed, found.path)) faults_.push_back(std::move(found));
  }
  // A path in the sorted list is `path`, or holds it, or lies in it.
  static bool touches_any(const std::vector<std::string>& listed, const std::string& path) {
    for (std::size_t end = path.size(); end > 0; --end)
      if ((end == path.size() || path[end] == '.' || path[end] == '[') &&
          std::binary_search(listed.begin(), listed.end(), path.substr(0, end)))
        return true;
    for (const char* below : {".", "["}) {
      const std::string prefix = path + below;
      const auto next = std::lower_bound(listed.begin(), listed.end(), prefix);
      if (next != listed.end() && next->compare(0, prefix.size(), prefix) == 0) return true;
    }
    return false;
  }

  JsonNode root_;
  bool parsed_ = false;
  bool stop_ = false;
  bool metric_ = false;
  Job job_;
  std::vector<Fault> faults_;
  std::vector<std::string> defaults_;
};

}  // namespace
}  // namespace detail

Job read_job(std::string_view json) {
  return detail::JobReader(json).read();
}

}  // namespace v0
}  // namespace lapwright
