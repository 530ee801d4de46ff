#include <lapwright/detail/audit.ipp>
