#include <lapwright/detail/house_pricer.ipp>
