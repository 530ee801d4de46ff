/// Counts what operator new is asked for: included by one unit of a program, which it gives an allocator. Not
/// under sanitizers, which bring one of their own.
#pragma once
#include <atomic>
#include <cstddef>
#include <cstdlib>
#include <new>

namespace lapwright_test {
inline std::atomic<std::size_t> allocations{0};
}

[[gnu::noinline]] void* operator new(std::size_t size) {
  lapwright_test::allocations.fetch_add(1, std::memory_order_relaxed);
  if (void* p = std::malloc(size)) return p;
  throw std::bad_alloc();
}
[[gnu::noinline]] void operator delete(void* p) noexcept {
  std::free(p);
}
[[gnu::noinline]] void operator delete(void* p, std::size_t) noexcept {
  std::free(p);
}
