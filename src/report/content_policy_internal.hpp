#pragma once
// What a browser lets the page do. Source: W3C Content Security Policy Level 3. Internal.

#include <span>
#include <string>

namespace gaugeloom {

// Runs the given inline scripts, named by their SHA-256, and no other; applies inline styles; shows
// pictures that lie in the page; fetches and sends nothing.
//   scripts  the exact texts between the tags
std::string content_policy(std::span<const std::string> scripts);

}  // namespace gaugeloom
