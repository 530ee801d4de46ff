#include <lapwright/detail/fasteners.ipp>
