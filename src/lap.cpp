#include <lapwright/detail/lap.ipp>
