#include <lapwright/detail/length.ipp>
