#pragma once
// The parts of a record in turn: each is scored with what was learned from the others.

#include <vector>

#include "gaugeloom/rain/rain_record.hpp"

namespace gaugeloom {

// How many parts of about `days` the record has, at least 2, at most 12.
int part_count(const StepAxis& axis, double days);

// `parts` ranges of steps that follow each other without a gap, as equal as whole UTC days allow.
// A record of less than 2 days per part gives fewer parts, at least 1. Requires parts >= 1.
std::vector<StepAxis::Range> record_parts(const StepAxis& axis, int parts);

// What may be learned from when `scored` is scored: the record with those steps, and a day before
// and after them (so that no storm is in both), made missing.
// Law: no step of `scored` is measured in it.
RainRecord without_part(const RainRecord& record, StepAxis::Range scored);

// The steps of `part` alone, temperatures and visits of all. Accumulated totals are left out: the
// checks do not read them.
RainRecord part_of(const RainRecord& record, StepAxis::Range part);

}  // namespace gaugeloom
