#include <lapwright/detail/error.ipp>
