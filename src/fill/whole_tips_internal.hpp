#pragma once
// Estimated depths as a tipping bucket would have read them.

#include <span>

namespace gaugeloom::fill_internal {

// Turns depths in thousandths of a mm, in order of time, into whole buckets: a bucket tips when
// what has fallen so far passes half of one, so that no sum is ever off by more than half a bucket.
// With `keep_total` the last step that has rain also gets what is left, and the sum stays.
// Laws (each one is a test): (1) every depth but, with keep_total, one is a multiple of the bucket;
// (2) none is negative; (3) any leading sum is within half a bucket of what it was, with keep_total
// all are within one bucket and the whole sum is the same.
// Requires: bucket > 0, depths >= 0.
void to_whole_tips(std::span<long> thousandths, long bucket, bool keep_total);

}  // namespace gaugeloom::fill_internal
