#pragma once
/// \file detail/config.hpp  How the bodies (*.ipp) are compiled: once in src/, or in the includer.
#ifdef LAPWRIGHT_COMPILED
#define LAPW_INLINE
#else
#define LAPW_INLINE inline
#endif
