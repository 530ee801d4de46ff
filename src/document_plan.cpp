// The plan document: plain values to text. Keys stand in the order of the format; every number is written in
// its shortest form that reads back as the same double.
#include <cmath>
#include <cstdint>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include <lapwright/detail/text.hpp>
#include <lapwright/document.hpp>
#include <lapwright/version.hpp>

#include "document_members.hpp"
#include "document_words.hpp"

namespace lapwright {
inline namespace v0 {
namespace detail {
namespace {

// Writes JSON from left to right. Lists of things stand a line each, small values in one line.
class PlanWriter {
public:
  std::string take() { return std::move(out_); }

  void open(char bracket) {
    separate();
    out_ += bracket;
    first_ = true;
  }
  void close(char bracket) {
    out_ += bracket;
    first_ = false;
  }
  void key(std::string_view name) {
    separate();
    text_raw(name);
    out_ += ": ";
    first_ = true;  // no comma before its value
  }
  void line() { break_ = true; }  // the next value begins on a line of its own

  void number(double value) {
    separate();
    if (!std::isfinite(value)) {
      out_ += "null";  // JSON has no other word; no stage makes one
      return;
    }
    fmt::format_to(std::back_inserter(out_), "{}", value == 0 ? 0.0 : value);
  }
  void whole(std::int64_t value) {
    separate();
    fmt::format_to(std::back_inserter(out_), "{}", value);
  }
  void truth(bool value) {
    separate();
    out_ += value ? "true" : "false";
  }
  void text(std::string_view value) {
    separate();
    text_raw(value);
  }

  static constexpr bool reads = false;
  template <class T>
  void must(std::string_view name, const T& value) {
    key(name);
    put(value);
  }
  template <class T>
  void may(std::string_view name, const T& value) {
    must(name, value);
  }
  template <class T>
  void may(std::string_view name, const std::optional<T>& value) {
    if (value) must(name, *value);
  }
  template <class T>
  void when(bool is, std::string_view name, const T& value) {
    if (is) must(name, value);
  }
  void constant(std::string_view name, std::string_view value) {
    key(name);
    text(value);
  }
  void range(std::string_view name, int first, int last) { must(name, std::vector<int>{first, last}); }
  /// Things, each with what holds it as its last member.
  template <class T>
  void nailed(std::string_view name, const std::vector<T>& things,
              const std::vector<std::vector<Nail>>& nails) {
    key(name);
    open('[');
    for (std::size_t i = 0; i < things.size(); ++i) {
      line();
      open('{');
      members(*this, things[i]);
      must("nails", i < nails.size() ? nails[i] : std::vector<Nail>{});
      close('}');
    }
    close(']');
  }

private:
  template <class T>
  void put(const T& value) {
    if constexpr (std::is_same_v<T, bool>) {
      truth(value);
    } else if constexpr (std::is_enum_v<T>) {
      text(word_of(value));
    } else if constexpr (std::is_floating_point_v<T>) {
      number(value);
    } else if constexpr (std::is_integral_v<T>) {
      whole(static_cast<std::int64_t>(value));
    } else if constexpr (std::is_same_v<T, std::string>) {
      text(value);
    } else {
      open('{');
      members(*this, value);
      close('}');
    }
  }
  void put(Point p) { put(std::vector<double>{p.x, p.y}); }
  template <class T>
  void put(const std::vector<T>& list) {
    constexpr bool one_line =
        std::is_arithmetic_v<T> || std::is_same_v<T, Point> || std::is_same_v<T, Ring> || is_small<T>;
    open('[');
    for (const T& item : list) {
      if (!one_line) line();
      put(item);
    }
    close(']');
  }
  void separate() {
    if (!first_) out_ += break_ ? "," : ", ";
    if (break_) out_ += '\n';
    break_ = false;
    first_ = false;
  }
  void text_raw(std::string_view value) {
    out_ += '"';
    for (std::size_t i = 0; i < value.size();) {
      const char c = value[i];
      const std::size_t bytes = utf8_bytes(value.substr(i));
      if (bytes == 0) {  // no character: a host's name may hold anything
        out_ += "\xEF\xBF\xBD";
        ++i;
        continue;
      }
      if (c == '"' || c == '\\') {
        out_ += '\\';
        out_ += c;
      } else if (static_cast<unsigned char>(c) < 0x20) {
        fmt::format_to(std::back_inserter(out_), "\\u{:04x}", static_cast<unsigned>(c));
      } else {
        out_.append(value, i, bytes);
      }
      i += bytes;
    }
    out_ += '"';
  }
  // Bytes of the character that a text begins with; 0 where it is not UTF-8 (RFC 3629).
  static std::size_t utf8_bytes(std::string_view text) {
    const auto byte = [&text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned first = byte(0);
    const std::size_t bytes = first < 0x80   ? 1
                              : first < 0xC2 ? 0
                              : first < 0xE0 ? 2
                              : first < 0xF0 ? 3
                              : first < 0xF5 ? 4
                                             : 0;
    if (bytes == 0 || text.size() < bytes) return 0;
    for (std::size_t i = 1; i < bytes; ++i)
      if ((byte(i) & 0xC0U) != 0x80U) return 0;
    if (first == 0xE0 && byte(1) < 0xA0) return 0;  // longer than it need be
    if (first == 0xED && byte(1) > 0x9F) return 0;  // half a surrogate pair
    if (first == 0xF0 && byte(1) < 0x90) return 0;
    if (first == 0xF4 && byte(1) > 0x8F) return 0;  // beyond the last character
    return bytes;
  }

  std::string out_;
  bool first_ = true;
  bool break_ = false;
};

}  // namespace
}  // namespace detail

std::string write_plan(const Plan& plan) {
  detail::PlanWriter w;
  w.open('{');
  w.must("lapwright", 1);
  w.must("library", detail::format("{}.{}.{}", LAPW_VERSION_MAJOR, LAPW_VERSION_MINOR, LAPW_VERSION_PATCH));
  detail::members(w, plan);
  w.close('}');
  return w.take() + '\n';
}

std::string write_refusal(const Refused& refused) {
  detail::PlanWriter w;
  w.open('{');
  w.must("lapwright", 1);
  w.line();
  w.must("errors", refused.faults);
  w.close('}');
  return w.take() + '\n';
}

}  // namespace v0
}  // namespace lapwright
