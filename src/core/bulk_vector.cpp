#include "gaugeloom/core/bulk_vector.hpp"

#include <sys/mman.h>

#include <cstdlib>
#include <new>

#include "gaugeloom/core/bulk_budget.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kCacheLine = 64;
constexpr std::size_t kLargePage = std::size_t{2} << 20;
constexpr std::size_t kLargeBlock = 2 * kLargePage;

void* allocate_in_memory(std::size_t bytes) {
  const bool large = bytes >= kLargeBlock;
  const std::size_t alignment = large ? kLargePage : kCacheLine;
  const std::size_t padded = (bytes + alignment - 1) / alignment * alignment;
  if (padded < bytes) throw std::bad_alloc();
  void* block = std::aligned_alloc(alignment, padded == 0 ? alignment : padded);
  if (block == nullptr) throw std::bad_alloc();
  if (large) ::madvise(block, padded, MADV_HUGEPAGE);  // a wish only: its outcome does not matter
  return block;
}

}  // namespace

void* allocate_bulk(std::size_t bytes) {
  if (bytes < kLeastCountedBytes) return allocate_in_memory(bytes);
  if (!take_bulk_memory(bytes)) return map_bulk_file(bytes);
  try {
    return allocate_in_memory(bytes);
  } catch (const std::bad_alloc&) {
    return_bulk_memory(bytes);
    throw;
  }
}

void free_bulk(void* block, std::size_t bytes) noexcept {
  if (bytes >= kLeastCountedBytes) {
    if (unmap_bulk_file(block)) return;
    return_bulk_memory(bytes);
  }
  std::free(block);
}

}  // namespace gaugeloom
