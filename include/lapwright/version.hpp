#pragma once
/// \file version.hpp  The release version: the only place that holds it.
#define LAPW_VERSION_MAJOR 0
#define LAPW_VERSION_MINOR 1
#define LAPW_VERSION_PATCH 0
