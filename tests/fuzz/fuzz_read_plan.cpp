// Any bytes as a plan: what is read is written, and what is written is read back as itself.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include <lapwright/document.hpp>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const lapwright::ReadPlan read = lapwright::read_plan({reinterpret_cast<const char*>(data), size});
  const std::string text = lapwright::write_plan(read.plan);
  const lapwright::ReadPlan again = lapwright::read_plan(text);
  if (lapwright::write_plan(again.plan) != text) std::abort();
  return 0;
}
