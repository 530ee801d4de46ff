#include <lapwright/detail/framing.ipp>
