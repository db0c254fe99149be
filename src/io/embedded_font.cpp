#include "embedded_font_internal.hpp"

// GAUGELOOM_FONT_REGULAR and GAUGELOOM_FONT_BOLD are the paths of the files, from the build.
asm(".section .rodata\n"
    ".balign 16\n"
    "gaugeloom_font_regular_begin:\n"
    ".incbin \"" GAUGELOOM_FONT_REGULAR
    "\"\n"
    "gaugeloom_font_regular_end:\n"
    ".balign 16\n"
    "gaugeloom_font_bold_begin:\n"
    ".incbin \"" GAUGELOOM_FONT_BOLD
    "\"\n"
    "gaugeloom_font_bold_end:\n"
    ".global gaugeloom_font_regular_begin, gaugeloom_font_regular_end\n"
    ".global gaugeloom_font_bold_begin, gaugeloom_font_bold_end\n"
    ".previous\n");

extern "C" {
extern const unsigned char gaugeloom_font_regular_begin[], gaugeloom_font_regular_end[];
extern const unsigned char gaugeloom_font_bold_begin[], gaugeloom_font_bold_end[];
}

namespace gaugeloom {

std::span<const unsigned char> embedded_font(Weight weight) {
  if (weight == Weight::bold) return {gaugeloom_font_bold_begin, gaugeloom_font_bold_end};
  return {gaugeloom_font_regular_begin, gaugeloom_font_regular_end};
}

}  // namespace gaugeloom
