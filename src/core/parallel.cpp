#include "gaugeloom/core/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace gaugeloom {

int thread_count(int threads) noexcept {
  if (threads > 0) return threads;
  return std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
}

void parallel_for(std::size_t pieces, int threads, const std::function<void(std::size_t)>& piece) {
  const auto workers =
      std::min<std::size_t>(static_cast<std::size_t>(thread_count(threads)), pieces);
  std::atomic<std::size_t> next{0};
  std::atomic<bool> failed{false};
  std::mutex mutex;
  std::exception_ptr first_error;
  std::size_t first_piece = pieces;
  const auto work = [&] {
    while (!failed.load(std::memory_order_relaxed)) {
      const std::size_t i = next.fetch_add(1);
      if (i >= pieces) return;
      try {
        piece(i);
      } catch (...) {
        const std::scoped_lock lock(mutex);
        if (i < first_piece) {
          first_piece = i;
          first_error = std::current_exception();
        }
        failed = true;
      }
    }
  };
  if (workers <= 1) {
    work();
  } else {
    std::vector<std::jthread> team;
    for (std::size_t t = 1; t < workers; ++t) team.emplace_back(work);
    work();
  }
  if (first_error) std::rethrow_exception(first_error);
}

}  // namespace gaugeloom
