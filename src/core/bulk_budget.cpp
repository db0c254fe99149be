#include "gaugeloom/core/bulk_budget.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstdlib>
#include <mutex>
#include <new>
#include <system_error>
#include <unordered_map>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

struct Store {
  BulkBudget budget;
  std::atomic<std::size_t> in_memory{0};
  std::mutex mutex;
  std::unordered_map<void*, std::size_t> mapped;  // block and its bytes; under the mutex
  int across = 0;                                 // how many BulkAcross live; under the mutex
};

// Never destroyed: vectors of static life may be freed after any other static.
Store& store() {
  static auto* const kept = new Store;
  return *kept;
}

[[noreturn]] void refuse(const std::string& folder, std::size_t bytes, int code) {
  throw Error(ErrorCode::io_failure,
              "a temporary file of " + std::to_string((bytes >> 20) + 1) +
                  " MiB for what exceeds --memory-mib cannot be made (" +
                  std::generic_category().message(code) +
                  "); free the disk, set TMPDIR to a folder with more room or give more memory",
              {folder});
}

// Closed at the end: a mapping keeps its file.
class UnnamedFile {
 public:
  explicit UnnamedFile(const std::string& folder)
      : descriptor_(::open(folder.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600)) {
    if (descriptor_ < 0) open_named(folder);  // not every file system has files without a name
  }
  ~UnnamedFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  UnnamedFile(const UnnamedFile&) = delete;
  UnnamedFile& operator=(const UnnamedFile&) = delete;

  int descriptor() const { return descriptor_; }

 private:
  void open_named(const std::string& folder) {
    std::string path = folder + "/gaugeloom-XXXXXX";
    descriptor_ = ::mkostemp(path.data(), O_CLOEXEC);
    if (descriptor_ >= 0) ::unlink(path.c_str());
  }

  int descriptor_;
};

double memory_bytes() {
  return static_cast<double>(::sysconf(_SC_PHYS_PAGES)) *
         static_cast<double>(::sysconf(_SC_PAGESIZE));
}

// Only a wish: what madvise answers does not matter.
void count_across(int more) {
  Store& all = store();
  const std::scoped_lock lock(all.mutex);
  all.across += more;
  for (const auto& [block, bytes] : all.mapped)
    ::madvise(block, bytes, all.across > 0 ? MADV_RANDOM : MADV_NORMAL);
}

}  // namespace

void set_bulk_budget(const BulkBudget& budget) { store().budget = budget; }

double bulk_room() {
  const BulkBudget& budget = store().budget;
  double room = memory_bytes();
  struct statvfs disk {};
  if (budget.bytes != BulkBudget().bytes && ::statvfs(budget.folder.c_str(), &disk) == 0)
    room += static_cast<double>(disk.f_bavail) * static_cast<double>(disk.f_frsize);
  rlimit limit{};
  if (::getrlimit(RLIMIT_AS, &limit) != 0 || limit.rlim_cur == RLIM_INFINITY) return room;
  return std::min(room, static_cast<double>(limit.rlim_cur));
}

bool take_bulk_memory(std::size_t bytes) noexcept {
  Store& all = store();
  std::size_t taken = all.in_memory.load();
  do {
    if (bytes > all.budget.bytes || taken > all.budget.bytes - bytes) return false;
  } while (!all.in_memory.compare_exchange_weak(taken, taken + bytes));
  return true;
}

void return_bulk_memory(std::size_t bytes) noexcept { store().in_memory.fetch_sub(bytes); }

void* map_bulk_file(std::size_t bytes) {
  Store& all = store();
  const UnnamedFile file(all.budget.folder);
  if (file.descriptor() < 0) refuse(all.budget.folder, bytes, errno);
  const int code = ::posix_fallocate(file.descriptor(), 0, static_cast<off_t>(bytes));
  if (code != 0) refuse(all.budget.folder, bytes, code);
  void* const block =
      ::mmap(nullptr, bytes, PROT_READ | PROT_WRITE, MAP_SHARED, file.descriptor(), 0);
  if (block == MAP_FAILED) throw std::bad_alloc();
  const std::scoped_lock lock(all.mutex);
  all.mapped.emplace(block, bytes);
  if (all.across > 0) ::madvise(block, bytes, MADV_RANDOM);
  return block;
}

BulkAcross::BulkAcross() { count_across(1); }
BulkAcross::~BulkAcross() { count_across(-1); }

bool unmap_bulk_file(void* block) noexcept {
  Store& all = store();
  const std::scoped_lock lock(all.mutex);
  const auto found = all.mapped.find(block);
  if (found == all.mapped.end()) return false;
  ::munmap(block, found->second);
  all.mapped.erase(found);
  return true;
}

}  // namespace gaugeloom
