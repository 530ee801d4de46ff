#include <lapwright/detail/runs.ipp>
