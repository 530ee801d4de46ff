#include <lapwright/detail/cutting.ipp>
