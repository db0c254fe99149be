#include "gaugeloom/core/bulk_vector.hpp"

#include <sys/mman.h>

#include <cstdlib>
#include <new>

namespace gaugeloom {
namespace {

constexpr std::size_t kCacheLine = 64;
constexpr std::size_t kLargePage = std::size_t{2} << 20;
constexpr std::size_t kLargeBlock = 2 * kLargePage;

}  // namespace

void* allocate_bulk(std::size_t bytes) {
  const bool large = bytes >= kLargeBlock;
  const std::size_t alignment = large ? kLargePage : kCacheLine;
  const std::size_t padded = (bytes + alignment - 1) / alignment * alignment;
  if (padded < bytes) throw std::bad_alloc();
  void* block = std::aligned_alloc(alignment, padded == 0 ? alignment : padded);
  if (block == nullptr) throw std::bad_alloc();
  if (large) ::madvise(block, padded, MADV_HUGEPAGE);  // a wish only: its outcome does not matter
  return block;
}

void free_bulk(void* block) noexcept { std::free(block); }

}  // namespace gaugeloom
