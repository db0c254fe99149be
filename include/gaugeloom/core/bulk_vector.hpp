#pragma once
// Vectors of tens of megabytes that are written before they are read: resizing leaves new numbers
// undefined instead of zeroing them, and large blocks ask for large pages, since first touching
// memory page by page costs more than the work on it. Beyond the budget of core/bulk_budget.hpp
// they lie in temporary files; what they hold does not depend on where they lie.

#include <cstddef>
#include <memory>
#include <type_traits>
#include <utility>
#include <vector>

namespace gaugeloom {

// Aligned to a cache line, from 4 MiB on to a large page; in a file, to a page. Throws
// std::bad_alloc; Error{io_failure} when a file is needed and there is no room for it.
void* allocate_bulk(std::size_t bytes);
void free_bulk(void* block, std::size_t bytes) noexcept;  // as many bytes as were asked for

template <class T>
class BulkAllocator {
 public:
  static_assert(std::is_trivially_copyable_v<T>);
  using value_type = T;

  BulkAllocator() = default;
  template <class U>
  explicit BulkAllocator(const BulkAllocator<U>&) noexcept {}

  T* allocate(std::size_t count) { return static_cast<T*>(allocate_bulk(count * sizeof(T))); }
  void deallocate(T* block, std::size_t count) noexcept { free_bulk(block, count * sizeof(T)); }
  // resize(n) leaves what is new undefined; resize(n, value) sets it.
  template <class U>
  void construct(U* at) noexcept {
    ::new (static_cast<void*>(at)) U;
  }
  template <class U, class... Args>
  void construct(U* at, Args&&... args) {
    std::construct_at(at, std::forward<Args>(args)...);
  }
  bool operator==(const BulkAllocator&) const = default;
};

template <class T>
using BulkVector = std::vector<T, BulkAllocator<T>>;

}  // namespace gaugeloom
