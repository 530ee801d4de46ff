#include <lapwright/detail/wall.ipp>
