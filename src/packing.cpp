#include <lapwright/detail/packing.ipp>
