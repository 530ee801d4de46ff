/// The keys that every program's plan must have, in the order of the format (its optional ones left out): one
/// of each, as they come in a plan that holds everything.
#pragma once

namespace lapwright_test {

// clang-format off
inline constexpr const char* plan_keys[] = {
    "lapwright", "library", "job", "pole", "lines", "exposures", "settings", "starter", "walls", "name",
    "first_course", "last_rip", "region_area", "framing_share", "least_penetration", "joints", "course", "x",
    "stud", "pieces", "id", "course", "filler", "outline", "holes", "length", "callout", "left", "meets",
    "factory", "seal", "right", "cuts", "kind", "front", "back", "tool", "seal", "callout", "nails", "at",
    "into", "face", "penetration", "starters", "id", "from", "to", "width", "where", "templates", "kind",
    "hand", "rise", "run", "angle", "offset", "step", "square", "uses", "outline", "boards", "id", "length",
    "price", "cut", "piece", "at", "turned", "starter", "at", "size", "offcuts", "order", "boards", "length", "count", "cost",
    "proven_minimum", "allowance_boards", "nails", "stud", "member", "sheathing", "face", "sealant_inches",
    "cartridges", "prime_inches", "joint_flashings", "starter_inches", "weight_lb", "staging", "wall", "lift",
    "courses", "pieces", "weight_lb", "findings", "code", "severity", "wall", "course", "piece", "measured",
    "limit", "message", "cautions", "defaults_used"
};
// clang-format on

}  // namespace lapwright_test
