#pragma once
// The folder a command writes to: its files appear together at the end, or not at all.

#include <list>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/io/atomic_file.hpp"

namespace gaugeloom {

class OutputFolder {
 public:
  // Creates nothing yet. `inputs` are the files the command reads; none of them is overwritten.
  OutputFolder(std::string folder, std::vector<std::string> inputs);
  // What was not committed is removed, and so is the folder when it was created here and is empty.
  ~OutputFolder();
  OutputFolder(const OutputFolder&) = delete;
  OutputFolder& operator=(const OutputFolder&) = delete;

  const std::vector<std::string>& inputs() const { return inputs_; }
  // Refuses early, before any work: throws Error{invalid_option} when `name` in the folder is an
  // input.
  void refuse_input(const std::string& name) const;
  // The same for every file in the folder whose name has this begin and end, where the names of the
  // outputs are not known yet.
  void refuse_inputs(std::string_view begin, std::string_view end) const;
  // The full path of an output that something else writes and commits. Creates the folder.
  // Throws Error{invalid_option} as above; Error{io_failure} when the folder cannot be created.
  std::string path(const std::string& name);
  // A file that appears with commit(). Throws as path().
  AtomicFile& file(const std::string& name);
  // The same for what something else writes, complete before commit().
  const StagedPath& staged(const std::string& name);
  // The names of all outputs asked for so far, in that order.
  const std::vector<std::string>& names() const { return names_; }
  // Completes every file, then renames them all. Throws Error{io_failure}.
  void commit();

 private:
  std::string folder_;
  std::vector<std::string> inputs_;
  std::vector<std::string> names_;
  std::list<AtomicFile> files_;
  std::list<StagedPath> staged_;
  std::vector<std::string> created_;  // folders made here, outermost first
};

}  // namespace gaugeloom
