#include <lapwright/detail/boards.ipp>
