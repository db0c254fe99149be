#pragma once
// The letters of pictures: DejaVu Sans Condensed, built into the library from the Debian package
// fonts-dejavu-extra, so that a picture does not depend on the fonts of a machine. Its licence asks
// for its notice in every copy: it stands in the font itself and is installed with the package.
// Internal.

#include <span>

namespace gaugeloom {

enum class Weight { regular, bold };

// A TrueType file.
std::span<const unsigned char> embedded_font(Weight weight);

}  // namespace gaugeloom
