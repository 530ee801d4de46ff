// No include guard: every body includes this first and contract_restore.hpp last.
// A fused multiply-add rounds once where two operations round twice, so a coordinate would depend on the
// compiler and its flags. The exported target carries -ffp-contract=off; this guards a host that does
// without.
#if defined(__clang__)
#pragma STDC FP_CONTRACT OFF
#elif defined(__GNUC__)
#pragma GCC push_options
#pragma GCC optimize("fp-contract=off")
#endif
