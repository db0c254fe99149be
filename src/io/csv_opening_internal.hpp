#pragma once
// Whether a file that is named like a CSV begins like one. Internal.
// GDAL reads anything as a CSV that is called so: a web page, a spreadsheet or noise would then be
// blamed for a missing column.

#include <string>

namespace gaugeloom {

// Looks at the first 64 KiB of a regular file; says nothing of a file that cannot be opened, of a
// pipe, or of a source that is not named *.csv or *.tsv.
// Throws: Error{malformed_input}, saying what the file seems to be: another format, bytes that are
//         not text (with line and column), a first line that names no columns.
void require_csv_opening(const std::string& source);

// Whether a source is named *.csv or *.tsv.
bool is_named_csv(const std::string& source);

}  // namespace gaugeloom
