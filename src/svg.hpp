#pragma once
// What every drawing shares: numbers, escaping, text widths, a sheet that knows where its labels stand.
#include <string>
#include <string_view>
#include <vector>

#include <lapwright/geometry.hpp>

namespace lapwright {
inline namespace v0 {
namespace detail {

/// Drawing units are points (1/72 in of paper), y down.
inline constexpr double points_per_inch = 72;

/// Drawing coordinates to a hundredth of a point: deterministic text, no exponent, no -0.
std::string svg_number(double value);

/// For text and attribute values of XML and HTML.
std::string escaped(std::string_view text);

/// `id="..."` with what XML does not allow in one replaced by `_`.
std::string id_attribute(std::string_view id);

/// Width of a line of text in a generic sans-serif font, points: that of the widest usual one, so that
/// nothing runs over where the printer's own is narrower.
double text_width(std::string_view text, double size);

enum class Anchor { start, middle, end };

/// Letters are never smaller than this on paper, points.
inline constexpr double least_letters = 6;

/// A rectangle of paper, points.
struct Area {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};
inline bool overlap(const Area& a, const Area& b) {
  return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
}

/// The box of a line of text whose baseline starts, ends or is centred at `at`.
Area text_area(Point at, double size, Anchor anchor, std::string_view text);

/// Inside the rings, even-odd, on paper.
bool inside(const std::vector<Ring>& rings, Point p);
/// The area's upper and lower edge lie inside, at five places each.
bool inside(const std::vector<Ring>& rings, const Area& area);

/// Some of the segment lies in the area.
bool passes(Point a, Point b, const Area& area);

/// One drawing. Attributes are appended as they are given; text is escaped, and stands over all lines.
class Sheet {
public:
  /// \param key  tells this drawing's patterns from those of others on one page: letters, digits, hyphens.
  /// \param about  what the drawing shows, in a sentence, for who does not see it.
  Sheet(double width, double height, std::string title, std::string_view key, std::string about);

  void line(Point a, Point b, double weight, std::string_view attributes = {});
  /// Closed rings, even-odd. `fill` is "none", "white", hatch() or dots().
  void shape(const std::vector<Ring>& rings, double weight, std::string_view fill = "none",
             std::string_view attributes = {});
  void path(const std::vector<Point>& points, double weight, std::string_view attributes = {});
  void dot(Point centre, double radius, bool filled, std::string_view attributes = {});
  /// Writes a label whatever stands there, and remembers its box.
  void text(Point at, double size, Anchor anchor, std::string_view text, std::string_view attributes = {});
  /// Writes a label only where it lies on the sheet and touches no other label's box; says whether it did.
  bool try_text(Point at, double size, Anchor anchor, std::string_view text,
                std::string_view attributes = {});
  /// Words wrapped to `width`, downward from the first baseline; returns the next free baseline.
  double paragraph(Point at, double size, double width, std::string_view words);
  bool is_free(const Area& area) const;
  /// Whether a straight line passes no label.
  bool is_clear(Point a, Point b) const;
  /// Keeps labels out of an area.
  void reserve(const Area& area) { areas_.push_back(area); }
  void group(std::string_view attributes) { body_ += "<g " + std::string(attributes) + ">\n"; }
  void end_group() { body_ += "</g>\n"; }
  /// Opens a group that shows only what lies in `area`; close it with end_group.
  void clip(const Area& area, std::string_view name);

  std::string hatch();
  std::string dots();
  double width() const { return width_; }
  double height() const { return height_; }
  void set_height(double height) { height_ = height; }
  /// The whole document; width and height in inches of paper.
  std::string document() const;

private:
  double width_, height_;
  std::string title_, about_;
  std::string key_;
  std::string body_, texts_;
  bool hatched_ = false, dotted_ = false;
  std::vector<Area> areas_;
};

/// Spreads label centres (ascending wishes) so that neighbours stand at least `apart`, each as near its wish
/// as the others let it, inside [low, high] where there is room.
std::vector<double> spread(const std::vector<double>& wishes, double apart, double low, double high);

}  // namespace detail
}  // namespace v0
}  // namespace lapwright
