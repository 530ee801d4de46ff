#include <lapwright/detail/text.ipp>
