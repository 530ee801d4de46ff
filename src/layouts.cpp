#include <lapwright/detail/layouts.ipp>
