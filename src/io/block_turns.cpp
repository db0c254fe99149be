#include <thread>
#include <utility>
#include <vector>

#include "gaugeloom/core/parallel.hpp"
#include "io/block_turns_internal.hpp"

namespace gaugeloom {

std::string_view BlockTurns::header() {
  constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
  if (!blocks_.next(first_)) malformed("is empty; " + kind_ + " begins with a header", 0);
  if (first_.failure) std::rethrow_exception(first_.failure);
  if (first_.too_long) malformed("this line is longer than 16 MiB; use the long layout", 1);
  std::string_view line = first_.text.substr(0, first_.text.find('\n'));
  first_.text.remove_prefix(line.size() + 1);
  if (line.starts_with(kByteOrderMark)) line.remove_prefix(kByteOrderMark.size());
  return line;
}

void BlockTurns::run(int threads, const long& lines,
                     const std::function<std::unique_ptr<BlockWorker>()>& make_worker) {
  lines_ = &lines;
  std::vector<std::jthread> team;
  if (!blocks_.ended())
    for (int i = 1; i < thread_count(threads); ++i)
      team.emplace_back([&] { work(*make_worker(), LineBlock{}, false); });
  work(*make_worker(), std::move(first_), true);
  team.clear();
  if (failure_) std::rethrow_exception(failure_);
}

// What one thread does: `block` first, if it holds one.
void BlockTurns::work(BlockWorker& worker, LineBlock block, bool filled) {
  while (filled || blocks_.next(block)) {
    filled = false;
    std::exception_ptr failure = block.failure;
    try {
      if (!failure) worker.parse(block);
    } catch (...) {
      failure = std::current_exception();
    }
    if (!take_turn(block, failure, worker)) return;
  }
}

// Waits for the blocks before, then places this one. False when one of them or this failed.
bool BlockTurns::take_turn(const LineBlock& block, std::exception_ptr failure,
                           BlockWorker& worker) {
  std::unique_lock lock(mutex_);
  turn_.wait(lock, [&] { return next_ == block.index || failure_; });
  if (failure_) return false;
  lock.unlock();  // nobody else's turn now
  try {
    if (failure) std::rethrow_exception(failure);
    if (block.too_long) malformed("this line is longer than 16 MiB; split it", *lines_ + 1);
    worker.place(block);
  } catch (const Error& error) {
    failure = error.pos().file.empty() ? with_file(error) : std::current_exception();
  } catch (...) {
    failure = std::current_exception();
  }
  lock.lock();
  failure_ = failure;
  ++next_;
  turn_.notify_all();
  return !failure_;
}

std::exception_ptr BlockTurns::with_file(const Error& error) const {
  return std::make_exception_ptr(
      Error(error.code(), error.what(), {file_, error.pos().line, error.pos().column}));
}

void BlockTurns::malformed(const std::string& sentence, long line) const {
  throw Error(ErrorCode::malformed_input, sentence, {file_, line, 0});
}

}  // namespace gaugeloom
