#include <lapwright/detail/joints.ipp>
