#include <lapwright/detail/rake.ipp>
