#include <lapwright/bands.hpp>

#include <lapwright/detail/bands.ipp>
