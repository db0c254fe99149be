#include "gaugeloom/io/run_record.hpp"

#include <gdal.h>
#include <libdeflate.h>
#include <netcdf.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <unistd.h>
#include <zlib.h>

#include <array>
#include <chrono>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "gaugeloom/io/sha256.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/null_json_internal.hpp"

namespace gaugeloom {
namespace {

using Json = nlohmann::json;  // its objects keep their keys sorted

std::string version_text(int major, int minor, int patch) {
  return fmt::format("{}.{}.{}", major, minor, patch);
}

}  // namespace

std::map<std::string, std::string> library_versions() {
  std::map<std::string, std::string> all;
  all["GDAL"] = GDALVersionInfo("RELEASE_NAME");
  int major = 0;
  int minor = 0;
  int patch = 0;
  OSRGetPROJVersion(&major, &minor, &patch);
  all["PROJ"] = version_text(major, minor, patch);
  if (OGRGetGEOSVersion(&major, &minor, &patch)) all["GEOS"] = version_text(major, minor, patch);
  all["libdeflate"] = LIBDEFLATE_VERSION_STRING;
  all["netCDF"] = std::string(nc_inq_libvers()).substr(0, std::string(nc_inq_libvers()).find(' '));
  all["zlib"] = zlibVersion();
  return all;
}

std::string without_password(const std::string& name) {
  const std::size_t key = name.find("password=");
  if (key == std::string::npos) return name;
  const std::size_t begin = key + std::string_view("password=").size();
  std::size_t end = name.find_first_of(" &", begin);
  if (begin < name.size() && name[begin] == '\'') end = name.find('\'', begin + 1);
  if (end == std::string::npos) end = name.size();
  return name.substr(0, begin) + "***" + name.substr(end);
}

std::vector<InputDigest> input_digests(const std::vector<std::string>& inputs) {
  std::vector<InputDigest> digests;
  for (const std::string& name : inputs) {
    InputDigest& one = digests.emplace_back();
    one.name = without_password(name);
    if (!std::filesystem::is_regular_file(name)) continue;
    one.sha256 = sha256_of_file(name);
    one.bytes = std::filesystem::file_size(name);
  }
  return digests;
}

namespace {

Json input(const InputDigest& digest) {
  Json one;
  one["name"] = digest.name;
  if (digest.sha256.empty()) return one;
  one["sha256"] = digest.sha256;
  one["bytes"] = digest.bytes;
  return one;
}

// "checks.reads_low.share" becomes learned["checks"]["reads_low"]["share"].
template <typename T>
void learn(Json& learned, const std::string& key, const T& value) {
  Json* place = &learned;
  std::size_t begin = 0;
  for (std::size_t dot = key.find('.'); dot != std::string::npos; dot = key.find('.', begin)) {
    place = &(*place)[key.substr(begin, dot - begin)];
    begin = dot + 1;
  }
  (*place)[key.substr(begin)] = value;
}

// Six significant digits: enough to judge, few enough to read.
double readable(double value) { return std::stod(fmt::format("{:.6g}", value)); }

Json table(const std::vector<std::map<std::string, double>>& rows) {
  Json all = Json::array();
  for (const auto& row : rows) {
    Json one = Json::object();
    for (const auto& [name, value] : row)
      if (std::isfinite(value)) one[name] = readable(value);
    all.push_back(std::move(one));
  }
  return all;
}

void write_json(AtomicFile& file, const Json& json) { file.write(laid_out(json) + "\n"); }

}  // namespace

void write_run_record(AtomicFile& file, const RunRecord& record) {
  Json json;
  json["command"] = record.command;
  json["version"] = record.version;
  json["configuration"] = Json::object();
  for (const auto& [name, values] : record.configuration) {
    if (values.size() == 1)
      json["configuration"][name] = without_password(values[0]);
    else
      json["configuration"][name] = values;
  }
  json["inputs"] = Json::array();
  const bool hashed = !record.digests.empty();
  for (const InputDigest& one : hashed ? record.digests : input_digests(record.inputs))
    json["inputs"].push_back(input(one));
  json["libraries"] = library_versions();
  json["learned"] = Json::object();
  for (const auto& [key, value] : record.learned_numbers)
    if (std::isfinite(value)) learn(json["learned"], key, readable(value));
  for (const auto& [key, value] : record.learned_words) learn(json["learned"], key, value);
  for (const auto& [key, rows] : record.learned_tables) learn(json["learned"], key, table(rows));
  if (record.nulls) json["learned"]["nulls"] = null_json(*record.nulls);
  write_json(file, json);
}

void write_run_log(AtomicFile& file, const RunLog& log) {
  Json json;
  std::array<char, 256> host{};
  if (gethostname(host.data(), host.size() - 1) == 0) json["host"] = host.data();
  json["ended"] =
      format_utc(std::chrono::time_point_cast<Duration>(std::chrono::system_clock::now()));
  json["seconds"] = std::round(log.seconds * 1000) / 1000;
  json["threads"] = log.threads;
  write_json(file, json);
}

}  // namespace gaugeloom
