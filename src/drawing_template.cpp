
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <lapwright/detail/polygon.hpp>
#include <lapwright/detail/text.hpp>
#include <lapwright/drawing.hpp>
#include <lapwright/length.hpp>

#include "svg.hpp"

namespace lapwright {
inline namespace v0 {

std::vector<std::string> draw_rake_template(const RakeTemplate& shape, Paper paper) {
  using detail::Anchor;
  constexpr double margin = 0.5;  // in; what printers leave white
  const double page_width = paper == Paper::letter ? 8.5 : 8.27,
               page_height = paper == Paper::letter ? 11 : 11.69;
  const double cell_width = page_width - 2 * margin,
               cell_height = page_height - 2 * margin - 0.8;  // ruler and title below
  if (shape.outline.size() < 3)
    throw Refused("shape.outline", "a template needs an outline; make it with rake_template");
  const Box box = detail::bounds(shape.outline);
  const double step_x = cell_width - template_overlap, step_y = cell_height - template_overlap;
  const auto pages = [](double size, double cell, double step) {
    return size <= cell ? 1 : 1 + static_cast<int>(std::ceil((size - cell) / step - tolerance));
  };
  const int columns = pages(box.x_max - box.x_min, cell_width, step_x),
            rows = pages(box.y_max - box.y_min, cell_height, step_y);

  std::vector<std::string> out;
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const double x0 = box.x_min + column * step_x, y0 = box.y_min + row * step_y;  // lower left of the cell
      const auto to = [&](Point p) {
        return Point{(margin + p.x - x0) * 72, (margin + cell_height - (p.y - y0)) * 72};
      };
      detail::Sheet sheet(page_width * 72, page_height * 72, "Rake template",
                          detail::format("template-{}-{}", row, column));
      const double left = margin * 72, right = (margin + cell_width) * 72, top = margin * 72,
                   bottom = (margin + cell_height) * 72;
      Ring ring;
      for (Point p : shape.outline) ring.push_back(to(p));
      sheet.clip({left, top, right, bottom}, "cell");
      sheet.shape({ring}, 0.8, "none", "id=\"template\"");
      sheet.end_group();
      // Registration marks on the seams, a crosshair a corner: neighbours' crosses fall on one another.
      for (double x : {x0 + template_overlap / 2, x0 + cell_width - template_overlap / 2})
        for (double y : {y0 + template_overlap / 2, y0 + cell_height - template_overlap / 2}) {
          const Point c = to({x, y});
          sheet.line({c.x - 9, c.y}, {c.x + 9, c.y}, 0.4, "class=\"register\"");
          sheet.line({c.x, c.y - 9}, {c.x, c.y + 9}, 0.4, "class=\"register\"");
        }
      const double y_ruler = bottom + 26;
      for (int i = 0; i <= 6 * 16; ++i) {
        const double x = left + i * 4.5;
        const double tall = i % 16 == 0 ? 12 : i % 8 == 0 ? 9 : i % 4 == 0 ? 7 : i % 2 == 0 ? 5 : 3;
        sheet.line({x, y_ruler}, {x, y_ruler - tall}, i % 16 == 0 ? 0.6 : 0.3,
                   i % 96 == 0 ? detail::format("id=\"ruler-{}\"", i / 16) : "");
        if (i % 16 == 0) sheet.text({x, y_ruler + 9}, 7, Anchor::middle, std::to_string(i / 16));
      }
      sheet.line({left, y_ruler}, {left + 432, y_ruler}, 0.6);
      sheet.text({left, y_ruler + 20}, 7, Anchor::start,
                 "Check the print: 0 to 6 must measure 6 in. Print at actual size, not fitted to the page.");
      sheet.text({left, y_ruler + 30}, 7, Anchor::start,
                 detail::format("Rake template, {} in 12, {} hand. Page {} of {}: row {}, column {} from the "
                                "lower left. Lay the crosses on one another.",
                                format_length(shape.rise * 12 / shape.run, 0.0625),
                                shape.hand == Hand::left ? "left" : "right", row * columns + column + 1,
                                rows * columns, row + 1, column + 1));
      out.push_back(sheet.document());
    }
  return out;
}

}  // namespace v0
}  // namespace lapwright
