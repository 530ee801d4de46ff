#include <lapwright/detail/courses.ipp>
