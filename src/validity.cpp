// The one unit that pays for Boost.Geometry's algorithms.
#include <lapwright/detail/validity.ipp>
