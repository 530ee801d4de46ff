#include <lapwright/detail/simplex.ipp>
