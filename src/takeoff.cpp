#include <lapwright/detail/takeoff.ipp>
