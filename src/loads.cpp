#include <lapwright/detail/loads.ipp>
