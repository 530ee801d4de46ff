// Any bytes as a length: refused with a sentence, or a finite length that survives being written and read.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include <lapwright/error.hpp>
#include <lapwright/geometry.hpp>
#include <lapwright/length.hpp>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  double inches = 0;
  try {
    inches = lapwright::parse_length({reinterpret_cast<const char*>(data), size});
  } catch (const lapwright::Refused& refused) {
    if (refused.faults.empty() || refused.faults[0].message.empty()) std::abort();
    return 0;
  }
  if (!(std::fabs(inches) <= lapwright::greatest_length)) std::abort();
  using lapwright::LengthStyle;
  for (LengthStyle style : {LengthStyle::inches, LengthStyle::feet_inches}) {
    const std::string text = lapwright::format_length(inches, 0.0625, style);
    const double back =
        std::fabs(inches) < lapwright::greatest_length - 1 ? lapwright::parse_length(text) : inches;
    if (std::fabs(back - inches) > 0.03125 + 1e-9) std::abort();
  }
  return 0;
}
