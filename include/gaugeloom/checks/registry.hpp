#pragma once
// The one list of checks, in the order in which they run. Adding a check = header, source, test,
// page (src/checks/<stem>.md) and a row here; a test fails when one is missing.

#include <span>
#include <string_view>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

struct CheckInfo {
  FindingKind kind;
  std::string_view stem;     // of its files
  std::string_view summary;  // half a sentence
  CheckOutcome (*find)(const CheckContext& context);
  // What of it is left out of the neighbours' estimates; nullptr = nothing.
  CheckOutcome (*suspects)(const CheckContext& context);
};

std::span<const CheckInfo> checks();

}  // namespace gaugeloom
