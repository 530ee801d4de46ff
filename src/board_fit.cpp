#include <lapwright/detail/board_fit.ipp>
