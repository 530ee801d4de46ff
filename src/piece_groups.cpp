#include <lapwright/detail/piece_groups.ipp>
