// The cutter's test: a person who hears nothing but callouts cuts every piece again, face up and back up. The
// reader of callouts below shares no code with the stage that writes them: it knows the board's width, the
// piece's callout and the callouts of its cuts, and no outline.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include <boost/test/unit_test.hpp>

#include <lapwright/document.hpp>
#include <lapwright/pieces.hpp>

#include "cases.hpp"
#include "laid_house.hpp"
#include "random_run.hpp"

using namespace lapwright;
using lapwright_test::between;
using lapwright_test::Random;
using lapwright_test::random_run;

namespace {

// --- reading -------------------------------------------------------------------------------------------

/// Thrown where a cutter would shout back: say again?
struct NotUnderstood : std::runtime_error {
  using std::runtime_error::runtime_error;
};

using Path = std::vector<Point>;

/// Places are distances from the end that is measured from (x) and from the lower edge (y). The board that
/// stays lies on the left of every path.
struct Heard {
  std::string from;        // left or right
  std::vector<Path> saws;  // open paths
  std::vector<Path> holes;
  double squared_at = -1;  // the end across from `from`
};

class Listener {
public:
  Listener(std::string said, double length, double width) : said_(std::move(said)), l_(length), w_(width) {}

  void hear(Heard& heard) {
    rest_ = said_;
    if (take("skip, under ")) {
      number();
      return done();
    }
    std::string from;
    const std::size_t at = rest_.rfind("from ");
    if (at != std::string::npos) {
      from = rest_.substr(at + 5);
      rest_.resize(at);
      if (ends(rest_, ", ")) {
        rest_.resize(rest_.size() - 2);
      } else {
        no("no comma before from");
      }
    }
    if (take("square ")) {
      if (from.empty()) {  // square left end
        from = side();
        need(" end");
        name(heard, from);
        return done();
      }
      name(heard, from);
      need("at ");
      const double x = number();
      if (rest_.empty()) {
        heard.squared_at = x;
        return;
      }
      need(", ");
      const double a = height();
      need(" to ");
      const double b = height();
      return open(heard, {{x, a}, {x, b}});
    }
    if (!from.empty()) name(heard, from);
    if (take("rip at ")) {
      double y = 0;
      if (!take("top", y = w_) && !take("bottom", y = 0)) {
        y = number();
        need(" up");
      }
      if (rest_.find(" to ") == std::string::npos) return open(heard, {{0, y}, {l_, y}});
      need(", ");
      const double a = along();
      need(" to ");
      const double b = along();
      return open(heard, {{a, y}, {b, y}});
    }
    if (take("rake ")) {
      const bool far_side = side() != heard.from;
      need(": ");
      const Point a = place();
      need(", ");
      const Point b = place();
      done();
      return heard.saws.push_back(directed({a, b}, far_side ? Point{1, 0} : Point{-1, 0})), void();
    }
    if (take("notch ")) return notch(heard);
    if (take("hole")) {
      if (take(", ")) {
        const double a = number();
        need(" to ");
        const double b = number();
        need(", ");
        const double c = number();
        need(" up to ");
        const double d = number();
        need(" up");
        done();
        heard.holes.push_back({{a, c}, {a, d}, {b, d}, {b, c}});
        return;
      }
      need(": ");
      Path path{place()};
      while (take(", ")) path.push_back(place());
      done();
      heard.holes.push_back(path);
      return;
    }
    if (take("saw: ")) {
      Path path{place()};
      while (take(", ")) {
        if (rest_.compare(0, 6, "waste ") == 0) break;
        path.push_back(place());
      }
      rest_ = ", " + rest_;
      return open(heard, path);
    }
    no("what is to be cut");
  }

private:
  void notch(Heard& heard) {
    for (const bool top : {true, false}) {
      if (!take(top ? "top" : "bottom")) continue;
      if (take(", ")) {  // notch top, A to B, leave H
        const double a = along();
        need(" to ");
        const double b = along();
        const double h = depth(top);
        done();
        if (top)
          heard.saws.push_back({{b, w_}, {b, h}, {a, h}, {a, w_}});
        else
          heard.saws.push_back({{a, 0}, {a, h}, {b, h}, {b, 0}});
        return;
      }
      need(" ");
      const bool near_end = side() == heard.from;
      need(" corner at ");
      const double x = number();
      const double h = depth(top);
      done();
      const double edge = top ? w_ : 0;
      Path path{{near_end ? 0 : l_, h}, {x, h}, {x, edge}};
      if (near_end == top) std::reverse(path.begin(), path.end());
      heard.saws.push_back(path);
      return;
    }
    const bool near_end = side() == heard.from;
    need(" end, at ");
    const double x = number();
    need(", ");
    const double a = number();
    need(" up to ");
    const double b = number();
    need(" up");
    done();
    const double end = near_end ? 0 : l_;
    Path path{{end, a}, {x, a}, {x, b}, {end, b}};
    if (near_end) std::reverse(path.begin(), path.end());
    heard.saws.push_back(path);
  }
  double depth(bool top) {
    need(top ? ", leave " : ", ");
    const double h = number();
    if (!top) need(" up");
    return h;
  }

  /// ..., waste above|below|left|right: of the first leg called; or inside, between the marks and the edge.
  void open(Heard& heard, Path path) {
    need(", waste ");
    Point waste{0, 0};
    if (take("inside")) {
      done();
      const Point a = path.front(), b = path.back();
      if ((a.y != b.y || (a.y != 0 && a.y != w_)) && (a.x != b.x || (a.x != 0 && a.x != l_)))
        no("ends on one edge");
      double twice = 0;
      for (std::size_t i = 0; i < path.size(); ++i) {
        const Point p = path[i], q = path[(i + 1) % path.size()];
        twice += (p.x - a.x) * (q.y - a.y) - (p.y - a.y) * (q.x - a.x);
      }
      if (twice > 0) std::reverse(path.begin(), path.end());
      return heard.saws.push_back(path), void();
    }
    if (take("above"))
      waste.y = 1;
    else if (take("below"))
      waste.y = -1;
    else
      waste.x = side() == heard.from ? -1 : 1;
    done();
    heard.saws.push_back(directed(path, waste));
  }
  /// Turns a path so that its waste lies on its right.
  Path directed(Path path, Point waste) const {
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
      const double dx = path[i + 1].x - path[i].x, dy = path[i + 1].y - path[i].y;
      if (dx == 0 && dy == 0) continue;
      const double right = dy * waste.x - dx * waste.y;
      if (right == 0) no("waste lies along the cut");
      if (right < 0) std::reverse(path.begin(), path.end());
      return path;
    }
    return path;
  }

  void name(Heard& heard, const std::string& from) const {
    if (from != "left" && from != "right") no("which end");
    if (!heard.from.empty() && heard.from != from) no("two ends to measure from");
    heard.from = from;
  }
  std::string side() {
    if (take("left")) return "left";
    if (take("right")) return "right";
    no("left or right");
  }
  Point place() {
    Point p;
    p.x = along();
    need(" ");
    if (take("at ")) {
      p.y = number();
      need(" up");
    } else if (take("top")) {
      p.y = w_;
    } else {
      need("bottom");
    }
    return p;
  }
  double along() { return take("end") ? 0 : number(); }
  double height() {
    if (take("top")) return w_;
    if (take("bottom")) return 0;
    const double y = number();
    need(" up");
    return y;
  }
  /// 63, 63 7/16, 7/16, 12.5
  double number() {
    std::size_t i = 0;
    const auto digits = [&] {
      if (i >= rest_.size() || rest_[i] < '0' || rest_[i] > '9') no("a number");
      double value = 0;
      while (i < rest_.size() && rest_[i] >= '0' && rest_[i] <= '9') value = value * 10 + (rest_[i++] - '0');
      return value;
    };
    double value = digits();
    if (i < rest_.size() && rest_[i] == '.') {
      double scale = 1;
      for (++i; i < rest_.size() && rest_[i] >= '0' && rest_[i] <= '9'; ++i)
        value += (rest_[i] - '0') * (scale /= 10);
    } else if (i < rest_.size() && rest_[i] == '/') {
      ++i;
      value /= digits();
    } else if (i + 1 < rest_.size() && rest_[i] == ' ' && rest_[i + 1] >= '0' && rest_[i + 1] <= '9') {
      ++i;
      const double top = digits();
      if (i >= rest_.size() || rest_[i] != '/') no("a fraction");
      ++i;
      value += top / digits();
    }
    rest_.erase(0, i);
    if (take(" mm")) {
      mm_ = true;
      return value / 25.4;
    }
    // A stretch says its unit once, behind its second number.
    const std::size_t to = rest_.compare(0, 4, " to ") == 0 ? 4 : rest_.compare(0, 7, " up to ") == 0 ? 7 : 0;
    const std::size_t after = to > 0 ? rest_.find_first_not_of("0123456789./ ", to) : std::string::npos;
    if (after != std::string::npos && after > to && rest_.compare(after - 1, 3, " mm") == 0)
      return value / 25.4;
    if (mm_) no("mm");
    return value;
  }

  static bool ends(const std::string& text, const std::string& with) {
    return text.size() >= with.size() && text.compare(text.size() - with.size(), with.size(), with) == 0;
  }
  bool take(const char* word, double = 0) {
    const std::string w = word;
    if (rest_.compare(0, w.size(), w) != 0) return false;
    rest_.erase(0, w.size());
    return true;
  }
  void need(const char* word) {
    if (!take(word)) no(std::string("\"") + word + "\"");
  }
  void done() const {
    if (!rest_.empty()) no("the end");
  }
  [[noreturn]] void no(const std::string& wanted) const {
    throw NotUnderstood("\"" + said_ + "\": expected " + wanted + " at \"" + rest_ + "\"");
  }

  std::string said_, rest_;
  double l_, w_;
  bool mm_ = false;
};

double hear_length(const std::string& callout) {
  // A length alone is heard as the place of a square cut.
  Heard heard;
  const bool mm = callout.size() > 3 && callout.substr(callout.size() - 3) == " mm";
  const std::string number = mm ? callout.substr(0, callout.size() - 3) : callout;
  Listener("square at " + number + (mm ? " mm, from left" : ", from left"), 0, 0).hear(heard);
  return heard.squared_at;
}

// --- cutting -------------------------------------------------------------------------------------------

struct Recut {
  std::string from;
  double length = 0;
  Ring outline;
  std::vector<Ring> holes;
};

bool same(Point a, Point b) {
  return std::fabs(a.x - b.x) < 1e-9 && std::fabs(a.y - b.y) < 1e-9;
}

/// The line of every cut is drawn on the blank; then the pencil goes around what is left.
Recut recut(const std::string& length, const std::vector<std::string>& callouts, double width) {
  Recut result;
  result.length = hear_length(length);
  const double l = result.length, w = width;
  Heard heard;
  for (const std::string& callout : callouts) Listener(callout, l, w).hear(heard);
  if (heard.squared_at >= 0 && std::fabs(heard.squared_at - l) > 1e-9)
    throw NotUnderstood("squared at another length than the piece's");
  result.from = heard.from;
  result.holes = heard.holes;
  std::vector<Path> paths;
  for (Path& path : heard.saws) {
    path.erase(std::unique(path.begin(), path.end(), same), path.end());
    if (path.size() > 1) paths.push_back(path);
  }
  if (paths.empty()) {
    result.outline = {{0, 0}, {l, 0}, {l, w}, {0, w}};
    return result;
  }
  // Once around the blank, from its lower corner at the end that is measured from.
  const auto around = [&](Point p) -> double {
    if (std::fabs(p.y) < 1e-9) return p.x;
    if (std::fabs(p.x - l) < 1e-9) return l + p.y;
    if (std::fabs(p.y - w) < 1e-9) return l + w + (l - p.x);
    if (std::fabs(p.x) < 1e-9) return l + w + l + (w - p.y);
    return -1;
  };
  const double whole = 2 * (l + w);
  std::vector<char> used(paths.size(), 0);
  std::size_t at = 0;
  for (std::size_t count = 0; count < paths.size(); ++count) {
    if (used[at]) throw NotUnderstood("the cuts fall into more than one piece");
    used[at] = 1;
    result.outline.insert(result.outline.end(), paths[at].begin(), paths[at].end());
    const Point end = paths[at].back();
    std::size_t next = paths.size();
    for (std::size_t i = 0; i < paths.size(); ++i)
      if ((!used[i] || i == 0) && same(paths[i].front(), end) && (next == paths.size() || next == 0))
        next = i;
    if (next == paths.size()) {
      const double here = around(end);
      if (here < 0) throw NotUnderstood("a cut ends in the middle of the board");
      double best = 2 * whole;
      for (std::size_t i = 0; i < paths.size(); ++i) {
        double there = around(paths[i].front());
        if (there < 0) continue;
        if (there < here - 1e-9) there += whole;
        if (there < best - 1e-9 || (there < best + 1e-9 && used[next] && !used[i])) {
          best = there;
          next = i;
        }
      }
      if (next == paths.size()) throw NotUnderstood("no cut begins on the board's edge");
      const Point corners[] = {{0, 0}, {l, 0}, {l, w}, {0, w}};
      for (const double turn : {0.0, whole})
        for (const Point corner : corners)
          if (turn + around(corner) > here + 1e-9 && turn + around(corner) < best - 1e-9)
            result.outline.push_back(corner);
    }
    at = next;
  }
  if (at != 0) throw NotUnderstood("the cuts do not close");
  return result;
}

// --- comparing -----------------------------------------------------------------------------------------

/// The greater of the differences along and across the board, from p to the nearest place on a ring.
double off(const Ring& ring, Point p) {
  double best = 1e9;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[(i + 1) % ring.size()];
    const double ax = a.x - p.x, ay = a.y - p.y, dx = b.x - a.x, dy = b.y - a.y;
    // max(|ax + t dx|, |ay + t dy|) is least at an end, where one of them is 0, or where they are alike.
    double ts[6] = {0, 1, dx != 0 ? -ax / dx : 0, dy != 0 ? -ay / dy : 0, 0, 0};
    if (dx != dy) ts[4] = (ay - ax) / (dx - dy);
    if (dx != -dy) ts[5] = -(ax + ay) / (dx + dy);
    for (double t : ts) {
      t = std::min(1.0, std::max(0.0, t));
      best = std::min(best, std::max(std::fabs(ax + t * dx), std::fabs(ay + t * dy)));
    }
  }
  return best;
}
double difference(const Ring& a, const Ring& b) {
  double worst = 0;
  for (Point p : a) worst = std::max(worst, off(b, p));
  for (Point p : b) worst = std::max(worst, off(a, p));
  return worst;
}
double ring_area(const Ring& ring) {
  double sum = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[(i + 1) % ring.size()];
    sum += a.x * b.y - b.x * a.y;
  }
  return sum / 2;
}

/// The piece as it lies, from the end that the cutter measures from: x away from it, y up.
Ring as_measured(const Ring& ring, const Piece& piece) {
  Ring out;
  for (Point p : ring)
    out.push_back({piece.from == Hand::left ? p.x - piece.x_min : piece.x_max - p.x, p.y - piece.y});
  return out;
}

std::string told(const Piece& piece) {
  std::string all = piece.callout + "\n";
  for (const Cut& cut : piece.cuts) all += "  " + cut.callout + "\n";
  for (Point p : as_measured(piece.outline, piece))
    all += "  [" + std::to_string(p.x) + ", " + std::to_string(p.y) + "]";
  return all;
}

struct Verdict {
  double off = 0;     // the greatest difference, inches
  double larger = 0;  // what the recut board has more than the outline, square inches
};

/// Recuts a piece both ways. Throws where a callout is not understood.
Verdict check_piece(const Piece& piece, const Rules& rules) {
  Verdict verdict;
  double& worst = verdict.off;
  for (const bool back : {false, true}) {
    std::vector<std::string> callouts;
    for (const Cut& cut : piece.cuts) callouts.push_back(back ? cut.back_callout : cut.callout);
    const Recut made = recut(piece.callout, callouts, rules.board.width);
    if (!made.from.empty()) {
      // Left as it is called is left as the board lies: the back's left is the face's right.
      const bool left = (piece.from == Hand::left) != back;
      if (made.from != (left ? "left" : "right")) throw NotUnderstood("measured from the wrong end");
    }
    worst = std::max(worst, difference(made.outline, as_measured(piece.outline, piece)));
    verdict.larger = std::max(verdict.larger, ring_area(made.outline) - std::fabs(ring_area(piece.outline)));
    if (made.holes.size() != piece.holes.size()) throw NotUnderstood("another number of holes");
    std::vector<char> taken(piece.holes.size(), 0);
    for (const Ring& hole : made.holes) {
      std::size_t nearest = 0;
      double least = 1e9;
      for (std::size_t i = 0; i < piece.holes.size(); ++i) {
        const double d = difference(hole, as_measured(piece.holes[i], piece));
        if (!taken[i] && d < least) {
          least = d;
          nearest = i;
        }
      }
      taken[nearest] = 1;
      worst = std::max(worst, least);
    }
  }
  return verdict;
}

// --- the test ------------------------------------------------------------------------------------------

using lapwright_test::cases;

}  // namespace

BOOST_AUTO_TEST_CASE(a_listener_refuses_what_is_not_complete) {
  Heard heard;
  BOOST_CHECK_THROW(Listener("notch top, 20 to 30, from left", 100, 8).hear(heard), NotUnderstood);
  BOOST_CHECK_THROW(Listener("rake right: 20 bottom, from left", 100, 8).hear(heard), NotUnderstood);
  BOOST_CHECK_THROW(recut("100", {"rake right: 100 bottom, 90 at 4 up, from left"}, 8), NotUnderstood);
  BOOST_CHECK_THROW(recut("100", {"square at 99, from left"}, 8), NotUnderstood);
}

BOOST_AUTO_TEST_CASE(any_piece_can_be_cut_again_from_its_callouts) {
  const double divisions[] = {0.0625, 0.125, 0.03125, 1 / 25.4, 0.5 / 25.4, 0.05};
  double worst = 0;  // in divisions
  int cut = 0, square = 0;
  for (int i = 0; i < cases(3000); ++i) {
    Random r(static_cast<std::uint64_t>(i));
    Wall wall;
    wall.name = "w";
    Pole pole;
    pole.lines = {between(r, -20, 20)};
    Rules rules;
    rules.board.width = i % 3 == 0 ? 8.25 : between(r, 5, 12);
    rules.courses.division = divisions[r.whole(0, 5)];
    Runs runs;
    runs.runs.resize(1);
    const bool thin_legs = r.once_in(2), slopes = !r.once_in(3);
    runs.runs[0].shape = random_run(r, pole.lines[0], rules.board.width, thin_legs, slopes);
    Region region;
    region.parts.push_back(runs.runs[0].shape);
    for (const Piece& piece : cut_pieces(wall, region, runs, {}, pole, rules)) {
      if (piece.length < 2 * rules.courses.division) continue;  // dust, not a piece
      ++cut;
      try {
        const Verdict verdict = check_piece(piece, rules);
        const double d = verdict.off / rules.courses.division;
        worst = std::max(worst, d);
        if (d > 1 + 1e-4) BOOST_ERROR("case " << i << ": off by " << d << " divisions\n" << told(piece));
        if (!thin_legs && !slopes && piece.holes.empty()) {
          ++square;
          if (verdict.larger > 1e-4)
            BOOST_ERROR("case " << i << ": larger by " << verdict.larger << "\n" << told(piece));
        }
      } catch (const NotUnderstood& e) {
        BOOST_ERROR("case " << i << ": " << e.what() << "\n" << told(piece));
      }
    }
  }
  BOOST_TEST_MESSAGE(cut << " pieces, worst difference " << worst << " divisions");
  BOOST_TEST(cut > 0);
  BOOST_TEST(square > 0);
}

BOOST_AUTO_TEST_CASE(every_piece_of_a_thousand_walls_can_be_cut_again) {
  double worst = 0;
  int walls = 0, cut = 0, dust = 0, refused = 0;
  for (int i = 0; walls < cases(1000) && i < cases(1000); ++i) {
    const Job job = lapwright_test::random_house(static_cast<std::uint64_t>(i));
    lapwright_test::LaidHouse house;
    try {
      house = lapwright_test::lay_house(job);
    } catch (const Refused&) {
      ++refused;  // a run with no stud to carry its joint
      continue;
    }
    for (const lapwright_test::LaidWall& wall : house.walls) {
      ++walls;
      for (const Piece& piece : wall.pieces) {
        double high = piece.y;
        for (Point p : piece.outline) high = std::max(high, p.y);
        if (std::min(high - piece.y, piece.length) < 2 * job.rules.courses.division) {
          ++dust;  // thinner than a pencil line: no tool makes it
          continue;
        }
        ++cut;
        try {
          const double d = check_piece(piece, job.rules).off / job.rules.courses.division;
          worst = std::max(worst, d);
          if (d > 1 + 1e-4)
            BOOST_ERROR("house " << i << ", " << piece.id << ": off by " << d << " divisions\n"
                                 << told(piece));
        } catch (const NotUnderstood& e) {
          BOOST_ERROR("house " << i << ", " << piece.id << ": " << e.what() << "\n" << told(piece));
        }
      }
    }
  }
  BOOST_TEST(walls >= cases(1000));
  BOOST_TEST_MESSAGE(walls << " walls, " << cut << " pieces, worst difference " << worst << " divisions, "
                           << refused << " houses refused");
}

BOOST_AUTO_TEST_CASE(every_piece_of_the_demo_houses_can_be_cut_again) {
  double worst = 0;
  int cut = 0;
  for (const char* name : {"cottage", "tower"}) {
    std::ifstream file(std::string(LAPW_SOURCE_DIR "/examples/") + name + ".json");
    BOOST_REQUIRE(file);
    std::stringstream text;
    text << file.rdbuf();
    const Job job = read_job(text.str());
    const lapwright_test::LaidHouse house = lapwright_test::lay_house(job);
    for (const lapwright_test::LaidWall& wall : house.walls)
      for (const Piece& piece : wall.pieces) {
        ++cut;
        const double d = check_piece(piece, job.rules).off / job.rules.courses.division;
        worst = std::max(worst, d);
        BOOST_TEST(d <= 1 + 1e-4, name << ", " << piece.id << "\n" << told(piece));
      }
  }
  BOOST_TEST(cut > 100);
  BOOST_TEST_MESSAGE(cut << " pieces, worst difference " << worst << " divisions");
}
