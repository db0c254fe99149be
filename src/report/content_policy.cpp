#include "report/content_policy_internal.hpp"

#include <string_view>

#include "gaugeloom/io/sha256.hpp"
#include "report/base64_internal.hpp"

namespace gaugeloom {
namespace {

std::string bytes_of_hex(std::string_view digits) {
  std::string bytes;
  for (std::size_t i = 0; i + 1 < digits.size(); i += 2)
    bytes += static_cast<char>(std::stoi(std::string(digits.substr(i, 2)), nullptr, 16));
  return bytes;
}

}  // namespace

std::string content_policy(std::span<const std::string> scripts) {
  std::string policy = "default-src 'none'; script-src";
  for (const std::string& script : scripts)
    policy += " 'sha256-" + base64(bytes_of_hex(sha256_of_text(script))) + "'";
  return policy +
         "; style-src 'unsafe-inline'; img-src data:; connect-src 'none'; base-uri 'none'; "
         "form-action 'none'";
}

}  // namespace gaugeloom
