#include <lapwright/document.hpp>

#include <stdexcept>

namespace lapwright {
inline namespace v0 {

std::string write_plan(const Plan&) {
  throw std::logic_error("write_plan: not built yet");
}
std::string write_refusal(const Refused&) {
  throw std::logic_error("write_refusal: not built yet");
}
ReadPlan read_plan(std::string_view) {
  throw std::logic_error("read_plan: not built yet");
}
std::string plan_job(std::string_view) {
  throw std::logic_error("plan_job: not built yet");
}

}  // namespace v0
}  // namespace lapwright
