#include <lapwright/detail/certificate.ipp>
