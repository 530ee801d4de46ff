// The whole job in one call.
#include <lapwright/document.hpp>

namespace lapwright {
inline namespace v0 {

std::string plan_job(std::string_view json) {
  try {
    return write_plan(plan_house(read_job(json)));
  } catch (const Refused& refused) {
    return write_refusal(refused);
  }
}

}  // namespace v0
}  // namespace lapwright
