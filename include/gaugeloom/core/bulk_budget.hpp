#pragma once
// How much memory the arrays that grow with the record (core/bulk_vector.hpp) may take together.
// What no longer fits lies in temporary files that are mapped into memory: the system writes their
// pages back and drops them when memory is short, and reads them again when they are asked for.

#include <cstddef>
#include <limits>
#include <string>

namespace gaugeloom {

struct BulkBudget {
  std::size_t bytes = std::numeric_limits<std::size_t>::max();  // without a limit: no files
  std::string folder = ".";  // of the files; they have no name and vanish with the process
};

// Smaller blocks stay in memory and are not counted.
inline constexpr std::size_t kLeastCountedBytes = std::size_t{64} << 10;

// For the whole process, from the next block on; blocks already handed out stay where they are. Not
// while other threads use bulk vectors.
void set_bulk_budget(const BulkBudget& budget);

// Memory and, with a limited budget, free disk for more blocks, in bytes.
double bulk_room();

// Counts a block of `bytes` in memory; false when it does not fit the budget.
bool take_bulk_memory(std::size_t bytes) noexcept;
void return_bulk_memory(std::size_t bytes) noexcept;

// A block of zeros in a file of its own, aligned to a page. Its room on the disk is taken here, so
// that writing to it later cannot fail for want of it.
// Throws Error{io_failure} when the folder or its disk has no room for it.
void* map_bulk_file(std::size_t bytes);
// False when `block` is none of them, and nothing was done.
bool unmap_bulk_file(void* block) noexcept;

// While one lives, arrays in files are walked across their rows, a little of each at a time. The
// system then reads single pages; else it reads megabytes around each, of which one row needs all
// and a walk across needs little: measured under a tight limit, 40 times what was asked for.
class BulkAcross {
 public:
  BulkAcross();
  ~BulkAcross();
  BulkAcross(const BulkAcross&) = delete;
  BulkAcross& operator=(const BulkAcross&) = delete;
};

}  // namespace gaugeloom
