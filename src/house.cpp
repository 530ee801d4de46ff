#include <lapwright/detail/house.ipp>
