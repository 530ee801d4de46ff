#pragma once
// What every drawing shares: numbers, escaping, the document's frame.
#include <fmt/format.h>

#include <cmath>
#include <string>
#include <string_view>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

// Drawing coordinates to a hundredth: deterministic text, no exponent, no -0.
inline std::string svg_number(double v) {
  double r = std::nearbyint(v * 100) / 100;
  if (r == 0) r = 0;
  std::string s = fmt::format("{:.2f}", r);
  while (s.back() == '0') s.pop_back();
  if (s.back() == '.') s.pop_back();
  return s;
}

// For text and attribute values of XML and HTML.
inline std::string escaped(std::string_view text) {
  std::string out;
  for (char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    }
  }
  return out;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
