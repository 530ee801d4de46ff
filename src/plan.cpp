#include <lapwright/detail/plan.ipp>
