#include <lapwright/detail/job.ipp>
