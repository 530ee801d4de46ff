#include <lapwright/detail/search.ipp>
