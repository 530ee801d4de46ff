#include <lapwright/detail/pieces.ipp>
