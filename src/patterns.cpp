#include <lapwright/detail/patterns.ipp>
