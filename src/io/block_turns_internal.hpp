#pragma once
// Takes the blocks of a file through parsing, by several threads at once, to placing, one after
// another in the order of the file. Internal.

#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <string>

#include "gaugeloom/core/error.hpp"
#include "io/line_blocks_internal.hpp"

namespace gaugeloom {

// What one thread does with its blocks.
class BlockWorker {
 public:
  virtual ~BlockWorker() = default;
  virtual void parse(const LineBlock& block) = 0;  // beside the other workers
  virtual void place(const LineBlock& block) = 0;  // the last one parsed, when its turn has come
};

class BlockTurns {
 public:
  // `file` stands in messages, `kind` is what it should be ("a rain file").
  BlockTurns(ByteSource& source, const std::string& file, std::string kind)
      : blocks_(source), file_(file), kind_(std::move(kind)) {}

  // The first line of the file, without a byte order mark; once, before run().
  // Throws Error{malformed_input} for an empty file or a line beyond 16 MiB.
  std::string_view header();

  // Reads the rest, on `threads` threads (0 = all cores) with a worker each. `lines` counts the
  // lines before the block whose turn it is; place() adds to it. The first failure by the order of
  // the file is thrown, with the name of the file where it had none.
  void run(int threads, const long& lines,
           const std::function<std::unique_ptr<BlockWorker>()>& make_worker);

 private:
  void work(BlockWorker& worker, LineBlock block, bool filled);
  bool take_turn(const LineBlock& block, std::exception_ptr failure, BlockWorker& worker);
  std::exception_ptr with_file(const Error& error) const;
  [[noreturn]] void malformed(const std::string& sentence, long line) const;

  LineBlocks blocks_;
  const std::string& file_;
  std::string kind_;
  LineBlock first_;
  const long* lines_ = nullptr;
  std::mutex mutex_;
  std::condition_variable turn_;
  std::size_t next_ = 0;
  std::exception_ptr failure_;
};

}  // namespace gaugeloom
