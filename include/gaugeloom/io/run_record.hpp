#pragma once
// run.json: what was run, on which bytes, with which settings and libraries, and what was learned
// from the record. run_log.json: when, where, for how long; the only output that differs between
// two runs on the same input.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "gaugeloom/checks/null_values.hpp"
#include "gaugeloom/io/atomic_file.hpp"

namespace gaugeloom {

// Of an input as given, without a password that its name may hold ("PG:... password=...").
struct InputDigest {
  std::string name;
  std::string sha256;        // empty for what is no file
  std::uintmax_t bytes = 0;  // of a file
};

struct RunRecord {
  std::string command;
  std::string version;
  // Every option in force, by name. Leave out what must not change the results: threads, folders.
  std::map<std::string, std::vector<std::string>> configuration;
  std::vector<std::string> inputs;                   // as given; what is a file is hashed
  std::vector<InputDigest> digests;                  // of these; empty: not hashed yet
  std::map<std::string, double> learned_numbers;     // "fill.range_km"; not finite = left out
  std::map<std::string, std::string> learned_words;  // "fill.method": "ok"
  // "checks.miss_rates": one row of named numbers each.
  std::map<std::string, std::vector<std::map<std::string, double>>> learned_tables;
  std::optional<NullValues> nulls;  // of the checks, with all their digits: learned.nulls
};

// Throws: Error{io_failure} naming an input that cannot be read. Cost: reads them.
std::vector<InputDigest> input_digests(const std::vector<std::string>& inputs);

// The name with any password replaced by ***.
std::string without_password(const std::string& name);

// Name and version of each library that results may depend on.
std::map<std::string, std::string> library_versions();

// Writes `record` as JSON with sorted keys: command, configuration, inputs (name, sha256, bytes),
// learned (numbers to six digits, but all of those of `nulls`, so that io/learned_reader.hpp reads
// them back exactly), libraries (GDAL, GEOS, PROJ, libdeflate, zlib), version. A password in the
// name of an input ("PG:... password=...") is not written. Inputs are hashed where record.digests
// is empty. Same record and files, same bytes. Throws: Error{io_failure} naming the file or an
// input that cannot be read.
void write_run_record(AtomicFile& file, const RunRecord& record);

struct RunLog {
  double seconds = 0;  // wall clock
  int threads = 0;
};

// Writes wall clock, UTC time of the end, name of the host and number of threads as JSON.
// Throws: Error{io_failure} naming the file.
void write_run_log(AtomicFile& file, const RunLog& log);

}  // namespace gaugeloom
