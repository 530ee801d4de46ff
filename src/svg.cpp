#include "svg.hpp"
#include <lapwright/detail/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace lapwright {
inline namespace v0 {
namespace detail {

std::string svg_number(double value) {
  const double rounded = std::nearbyint(value * 100) / 100;
  std::string s = detail::format("{:.2f}", rounded == 0 ? 0.0 : rounded);
  while (s.back() == '0') s.pop_back();
  if (s.back() == '.') s.pop_back();
  return s;
}

std::string escaped(std::string_view text) {
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

std::string id_attribute(std::string_view id) {
  std::string out = "id=\"";
  for (char c : id) {
    const unsigned char u = static_cast<unsigned char>(c);
    out += u <= 0x20 || c == '"' || c == '<' || c == '>' || c == '&' ? '_' : c;
  }
  return out + "\"";
}

double text_width(std::string_view text, double size) {
  // Advance widths of the widest common sans-serif, in em, rounded up by class of letter.
  double em = 0;
  for (char c : text) {
    const unsigned char u = static_cast<unsigned char>(c);
    if (u >= 0x80 && u < 0xC0) continue;  // a later byte of a UTF-8 letter
    if (u >= 0x80 || c == 'm' || c == 'M' || c == 'W' || c == 'w' || c == '%' || c == '@')
      em += 1.0;
    else if (c == ' ' || c == '.' || c == ',' || c == ':' || c == ';' || c == '\'' || c == '|' || c == 'i' ||
             c == 'j' || c == 'l' || c == '-' || c == '/' || c == '(' || c == ')' || c == 'I')
      em += 0.4;
    else if (c >= 'A' && c <= 'Z')
      em += 0.78;
    else
      em += 0.64;
  }
  return em * size;
}

Area text_area(Point at, double size, Anchor anchor, std::string_view text) {
  const double w = text_width(text, size);
  const double x0 = anchor == Anchor::start ? at.x : anchor == Anchor::middle ? at.x - w / 2 : at.x - w;
  return {x0, at.y - 0.78 * size, x0 + w, at.y + 0.22 * size};
}

Sheet::Sheet(double width, double height, std::string title, std::string_view key)
    : width_(width), height_(height), title_(std::move(title)), key_(key) {
  for (char& c : key_) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (!plain) c = '-';
  }
}

void Sheet::line(Point a, Point b, double weight, std::string_view attributes) {
  path({a, b}, weight, attributes);
}

void Sheet::path(const std::vector<Point>& points, double weight, std::string_view attributes) {
  std::string d;
  for (std::size_t i = 0; i < points.size(); ++i)
    d += detail::format("{}{} {}", i == 0 ? "M" : "L", svg_number(points[i].x), svg_number(points[i].y));
  body_ += detail::format("<path d=\"{}\" stroke-width=\"{}\"{}{}/>\n", d, svg_number(weight),
                          attributes.empty() ? "" : " ", attributes);
}

void Sheet::shape(const std::vector<Ring>& rings, double weight, std::string_view fill,
                  std::string_view attributes) {
  std::string d;
  for (const Ring& ring : rings) {
    for (std::size_t i = 0; i < ring.size(); ++i)
      d += detail::format("{}{} {}", i == 0 ? "M" : "L", svg_number(ring[i].x), svg_number(ring[i].y));
    d += "Z";
  }
  body_ += detail::format("<path d=\"{}\" stroke-width=\"{}\" fill=\"{}\" fill-rule=\"evenodd\"{}{}/>\n", d,
                          svg_number(weight), fill, attributes.empty() ? "" : " ", attributes);
}

void Sheet::dot(Point centre, double radius, bool filled, std::string_view attributes) {
  body_ += detail::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" stroke-width=\"0.4\" fill=\"{}\"{}{}/>\n",
                          svg_number(centre.x), svg_number(centre.y), svg_number(radius),
                          filled ? "black" : "none", attributes.empty() ? "" : " ", attributes);
}

void Sheet::text(Point at, double size, Anchor anchor, std::string_view text, std::string_view attributes) {
  areas_.push_back(text_area(at, size, anchor, text));
  const char* name = anchor == Anchor::start ? "start" : anchor == Anchor::middle ? "middle" : "end";
  body_ += detail::format(
      "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"black\" "
      "stroke=\"none\"{}{}>{}</text>\n",
      svg_number(at.x), svg_number(at.y), svg_number(size), name, attributes.empty() ? "" : " ", attributes,
      escaped(text));
}

double Sheet::paragraph(Point at, double size, double width, std::string_view words) {
  std::string row;
  const auto flush = [&] {
    if (row.empty()) return;
    text(at, size, Anchor::start, row);
    at.y += 1.3 * size;
    row.clear();
  };
  std::size_t i = 0;
  while (i < words.size()) {
    std::size_t end = words.find(' ', i);
    if (end == std::string_view::npos) end = words.size();
    const std::string word(words.substr(i, end - i));
    const std::string longer = row.empty() ? word : row + " " + word;
    if (!row.empty() && text_width(longer, size) > width) {
      flush();
      row = word;
    } else {
      row = longer;
    }
    i = end + 1;
  }
  flush();
  return at.y;
}

void Sheet::clip(const Area& area, std::string_view name) {
  body_ += detail::format(
      "<clipPath id=\"{0}-{1}\"><rect x=\"{2}\" y=\"{3}\" width=\"{4}\" height=\"{5}\"/></clipPath>\n<g "
      "clip-path=\"url(#{0}-{1})\">\n",
      name, key_, svg_number(area.x0), svg_number(area.y0), svg_number(area.x1 - area.x0),
      svg_number(area.y1 - area.y0));
}

bool Sheet::is_free(const Area& area) const {
  if (area.x0 < 0 || area.y0 < 0 || area.x1 > width_ || area.y1 > height_) return false;
  return std::none_of(areas_.begin(), areas_.end(), [&](const Area& other) { return overlap(area, other); });
}

bool Sheet::try_text(Point at, double size, Anchor anchor, std::string_view words,
                     std::string_view attributes) {
  if (!is_free(text_area(at, size, anchor, words))) return false;
  text(at, size, anchor, words, attributes);
  return true;
}

std::string Sheet::document() const {
  return detail::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}in\" height=\"{1}in\" viewBox=\"0 0 {2} {3}\" "
      "font-family=\"sans-serif\" fill=\"none\" stroke=\"black\">\n<title>{4}</title>\n"
      "<defs><pattern id=\"hatch-{6}\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\"><path d=\"M0 "
      "4L4 0M-1 1L1 -1M3 5L5 3\" "
      "stroke=\"black\" stroke-width=\"0.35\"/></pattern><pattern id=\"dots-{6}\" width=\"4\" height=\"4\" "
      "patternUnits=\"userSpaceOnUse\"><circle cx=\"2\" cy=\"2\" r=\"0.4\" fill=\"black\" "
      "stroke=\"none\"/></pattern></defs>\n{5}</svg>\n",
      svg_number(width_ / points_per_inch), svg_number(height_ / points_per_inch), svg_number(width_),
      svg_number(height_), escaped(title_), body_, key_);
}

std::vector<double> spread(const std::vector<double>& wishes, double apart, double low, double high) {
  // Pool neighbours that touch into blocks centred on the mean of their wishes (isotonic regression).
  struct Block {
    double sum = 0;  // of (wish - rank * apart)
    std::size_t count = 0;
    double start() const { return sum / static_cast<double>(count); }
  };
  std::vector<Block> blocks;
  for (std::size_t i = 0; i < wishes.size(); ++i) {
    blocks.push_back({wishes[i] - static_cast<double>(i) * apart, 1});
    while (blocks.size() > 1 && blocks[blocks.size() - 2].start() > blocks.back().start()) {
      const Block last = blocks.back();
      blocks.pop_back();
      blocks.back().sum += last.sum;
      blocks.back().count += last.count;
    }
  }
  std::vector<double> out;
  const double highest = high - apart * static_cast<double>(wishes.empty() ? 0 : wishes.size() - 1);
  for (const Block& block : blocks)
    for (std::size_t i = 0; i < block.count; ++i)
      out.push_back(std::max(low, std::min(block.start(), highest)) +
                    static_cast<double>(out.size()) * apart);
  return out;
}

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
