#pragma once
// Reads back what the drawings write, by their own plain form: elements with attributes, text without
// children.
#include <algorithm>
#include <cstddef>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

namespace svg_reader {

struct Element {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text;
  std::string get(const std::string& key) const {
    const auto found = attributes.find(key);
    return found == attributes.end() ? std::string() : found->second;
  }
  double number(const std::string& key) const { return std::atof(get(key).c_str()); }
};

inline std::string unescaped(std::string s) {
  for (auto [from, to] :
       {std::pair<const char*, const char*>{"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&amp;", "&"}}) {
    const std::string f = from;
    for (std::size_t i = s.find(f); i != std::string::npos; i = s.find(f, i + 1)) s.replace(i, f.size(), to);
  }
  return s;
}

inline std::vector<Element> elements(const std::string& svg) {
  std::vector<Element> out;
  for (std::size_t i = svg.find('<'); i != std::string::npos; i = svg.find('<', i + 1)) {
    if (svg[i + 1] == '/' || svg[i + 1] == '!') continue;
    const std::size_t end = svg.find('>', i);
    Element e;
    std::size_t p = svg.find_first_of(" />", i + 1);
    e.name = svg.substr(i + 1, p - i - 1);
    while (p < end) {
      p = svg.find_first_not_of(" /", p);
      if (p >= end) break;
      const std::size_t eq = svg.find('=', p);
      if (eq == std::string::npos || eq > end) break;
      const std::size_t close = svg.find('"', eq + 2);
      e.attributes[svg.substr(p, eq - p)] = unescaped(svg.substr(eq + 2, close - eq - 2));
      p = close + 1;
    }
    if (svg[end - 1] != '/') e.text = unescaped(svg.substr(end + 1, svg.find('<', end) - end - 1));
    out.push_back(e);
  }
  return out;
}

struct Extent {
  double x0 = 1e300, y0 = 1e300, x1 = -1e300, y1 = -1e300;
};

// Bounds of a path of M, L and Z with absolute coordinates.
inline Extent path_extent(const std::string& d) {
  Extent e;
  std::vector<double> v;
  for (const char* p = d.c_str(); *p;) {
    if (*p == 'M' || *p == 'L' || *p == 'Z' || *p == ' ') {
      ++p;
      continue;
    }
    char* next = nullptr;
    v.push_back(std::strtod(p, &next));
    if (next == p) break;
    p = next;
  }
  for (std::size_t i = 0; i + 1 < v.size(); i += 2) {
    e.x0 = std::min(e.x0, v[i]), e.x1 = std::max(e.x1, v[i]);
    e.y0 = std::min(e.y0, v[i + 1]), e.y1 = std::max(e.y1, v[i + 1]);
  }
  return e;
}

}  // namespace svg_reader
