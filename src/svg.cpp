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

bool inside(const std::vector<Ring>& rings, Point p) {
  bool in = false;
  for (const Ring& ring : rings)
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
      const Point a = ring[i], b = ring[j];
      if ((a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) in = !in;
    }
  return in;
}

bool inside(const std::vector<Ring>& rings, const Area& area) {
  for (double part : {0.0, 0.25, 0.5, 0.75, 1.0})
    for (double y : {area.y0, area.y1})
      if (!inside(rings, Point{area.x0 + part * (area.x1 - area.x0), y})) return false;
  return true;
}

bool passes(Point a, Point b, const Area& area) {
  // Liang and Barsky: what is left of the segment between the area's sides.
  double from = 0, to = 1;
  const double dx = b.x - a.x, dy = b.y - a.y;
  const double p[] = {-dx, dx, -dy, dy};
  const double q[] = {a.x - area.x0, area.x1 - a.x, a.y - area.y0, area.y1 - a.y};
  for (int i = 0; i < 4; ++i) {
    if (p[i] == 0) {
      if (q[i] < 0) return false;
      continue;
    }
    const double t = q[i] / p[i];
    if (p[i] < 0)
      from = std::max(from, t);
    else
      to = std::min(to, t);
  }
  return from <= to;
}

Sheet::Sheet(double width, double height, std::string title, std::string_view key, std::string about)
    : width_(width), height_(height), title_(std::move(title)), about_(std::move(about)), key_(key) {
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
  body_ += detail::format("<path d=\"{}\" stroke-width=\"{}\"", d, svg_number(weight));
  if (fill != "none") body_ += detail::format(" fill=\"{}\"", fill);
  if (fill != "none" && rings.size() > 1) body_ += " fill-rule=\"evenodd\"";
  body_ += detail::format("{}{}/>\n", attributes.empty() ? "" : " ", attributes);
}

void Sheet::dot(Point centre, double radius, bool filled, std::string_view attributes) {
  body_ += detail::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" stroke-width=\"0.4\" fill=\"{}\"{}{}/>\n",
                          svg_number(centre.x), svg_number(centre.y), svg_number(radius),
                          filled ? "black" : "none", attributes.empty() ? "" : " ", attributes);
}

void Sheet::text(Point at, double size, Anchor anchor, std::string_view text, std::string_view attributes) {
  areas_.push_back(text_area(at, size, anchor, text));
  texts_ += detail::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\"", svg_number(at.x), svg_number(at.y),
                           svg_number(size));
  if (anchor != Anchor::start)
    texts_ += anchor == Anchor::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
  texts_ += detail::format("{}{}>{}</text>\n", attributes.empty() ? "" : " ", attributes, escaped(text));
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

bool Sheet::is_clear(Point a, Point b) const {
  return std::none_of(areas_.begin(), areas_.end(), [&](const Area& area) { return passes(a, b, area); });
}

std::string Sheet::hatch() {
  hatched_ = true;
  return "url(#hatch-" + key_ + ")";
}

std::string Sheet::dots() {
  dotted_ = true;
  return "url(#dots-" + key_ + ")";
}

bool Sheet::try_text(Point at, double size, Anchor anchor, std::string_view words,
                     std::string_view attributes) {
  if (!is_free(text_area(at, size, anchor, words))) return false;
  text(at, size, anchor, words, attributes);
  return true;
}

std::string Sheet::document() const {
  // Of paper, finer than any printer: what is drawn full size measures full size.
  const auto inches = [](double points) {
    std::string s = detail::format("{:.6f}", points / points_per_inch);
    s.erase(s.find_last_not_of('0') + 1);
    if (s.back() == '.') s.pop_back();
    return s;
  };
  std::string defs;
  if (hatched_)
    defs += detail::format(
        "<pattern id=\"hatch-{}\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\"><path d=\"M0 "
        "0H4V4H0Z\" "
        "fill=\"white\" stroke=\"none\"/><path d=\"M0 4L4 0M-1 1L1 -1M3 5L5 3\" "
        "stroke-width=\"0.35\"/></pattern>",
        key_);
  if (dotted_)
    defs += detail::format(
        "<pattern id=\"dots-{}\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\"><circle cx=\"2\" "
        "cy=\"2\" "
        "r=\"0.4\" fill=\"black\" stroke=\"none\"/></pattern>",
        key_);
  return detail::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xml:lang=\"en\" role=\"img\" width=\"{0}in\" "
      "height=\"{1}in\" "
      "viewBox=\"0 0 {2} {3}\" font-family=\"sans-serif\" fill=\"none\" "
      "stroke=\"black\">\n<title>{4}</title>\n<desc>{5}</desc>\n{6}{7}<g fill=\"black\" "
      "stroke=\"none\">\n{8}</g>\n</svg>\n",
      inches(width_), inches(height_), svg_number(width_), svg_number(height_), escaped(title_),
      escaped(about_), defs.empty() ? std::string() : "<defs>" + defs + "</defs>\n", body_, texts_);
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
