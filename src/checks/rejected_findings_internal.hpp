#pragma once
// Findings that a reviewer rejected: which others go with them, and whose rain is right then.

#include <span>
#include <vector>

#include "gaugeloom/checks/check_options.hpp"
#include "gaugeloom/rain/finding.hpp"

namespace gaugeloom {

// Whether both have one finding_id: of one gauge, kind and beginning.
bool is_same(const Finding& a, const Finding& b);

class RejectedFindings {
 public:
  // `finding` is one of `all`, as one check found them.
  void add(const Finding& finding, std::span<const Finding> all);

  // Where the rain is right: under every rejected finding, except where another one that was found
  // beside it, and is not rejected, makes the rain of the gauge doubtful (not_testable and what
  // keeps its depths do not). In the order of adding, then time.
  std::vector<GaugeSpan> right_rain() const;

  // Takes out what shares time with a rejected finding of its gauge, unless a finding of its kind
  // was found beside that one: it is the same episode by another beginning or name (not_testable
  // is none and stays).
  void take_out_of(std::vector<Finding>& findings) const;

 private:
  struct Rejected {
    Finding finding;
    std::vector<Finding> beside;  // of its gauge, sharing time
  };
  bool is_rejected(const Finding& finding) const;
  static bool takes(const Rejected& rejected, const Finding& finding);

  std::vector<Rejected> rejected_;
};

}  // namespace gaugeloom
