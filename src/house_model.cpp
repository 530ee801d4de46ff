#include <lapwright/detail/house_model.ipp>
