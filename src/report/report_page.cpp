#include "gaugeloom/report/report_page.hpp"

#include <array>

#include "report/content_policy_internal.hpp"
#include "report/html_internal.hpp"
#include "report/page_data_internal.hpp"
#include "report/page_files_internal.hpp"
#include "report/page_parts_internal.hpp"

namespace gaugeloom {
namespace {

struct Part {
  std::string_view id, heading;
  void (*add)(Html&, const PageView&);
};

std::vector<Part> parts_of(const PageView& view) {
  std::vector<Part> parts = {{"act", "What to act on today", add_act_part}};
  if (view.in.has_last_run || !view.in.decisions.empty())
    parts.push_back({"new", "What is new", add_new_part});
  parts.push_back({"map", "The network and its rain", add_map_part});
  parts.push_back({"findings", "Findings", add_findings_part});
  parts.push_back({"storms", "Storms", add_storms_part});
  if (!view.in.areas.empty()) parts.push_back({"areas", "Areas", add_areas_part});
  parts.push_back({"gauges", "Gauges", add_gauges_part});
  parts.push_back({"trust", "How far to trust this", add_trust_part});
  parts.push_back({"provenance", "Where this comes from", add_provenance_part});
  return parts;
}

std::string numbered(std::size_t i, std::string_view heading) {
  return std::to_string(i + 1) + " " + std::string(heading);
}

void add_style(Html& html, std::string_view style) {
  html.open("style").raw(without_source_map(style)).close();
}

void add_html_head(Html& html, const std::string& title, std::string_view version,
                   std::span<const std::string> scripts) {
  html.open("head").empty("meta", {{"charset", "utf-8"}});
  html.empty("meta",
             {{"http-equiv", "Content-Security-Policy"}, {"content", content_policy(scripts)}});
  html.empty("meta", {{"name", "viewport"}, {"content", "width=device-width, initial-scale=1"}});
  html.empty("meta", {{"name", "generator"}, {"content", "gaugeloom " + std::string(version)}});
  html.empty("meta", {{"name", "referrer"}, {"content", "no-referrer"}});
  html.element("title", title);
  add_style(html, page_file(PageFile::leaflet_style));
  add_style(html, page_file(PageFile::dygraphs_style));
  add_style(html, page_file(PageFile::page_style));
  html.close();
}

void add_contents(Html& html, std::span<const Part> parts) {
  html.open("nav", {{"id", "contents"}, {"aria-label", "Contents"}});
  html.element("h2", "Contents").open("ol");
  for (const Part& part : parts)
    html.open("li").element("a", part.heading, {{"href", "#" + std::string(part.id)}}).close();
  html.close().close();
}

void add_parts(Html& html, const PageView& view, std::span<const Part> parts) {
  html.open("main");
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::string heading_id = std::string(parts[i].id) + "-heading";
    html.open("section", {{"id", parts[i].id}, {"aria-labelledby", heading_id}});
    html.element("h2", numbered(i, parts[i].heading), {{"id", heading_id}});
    parts[i].add(html, view);
    html.close();
  }
  html.close();
}

}  // namespace

std::string report_page(const ReportInput& input) {
  const PageView view = page_view(input);
  const std::array<std::string, 3> scripts = {
      without_source_map(page_file(PageFile::leaflet_script)),
      without_source_map(page_file(PageFile::dygraphs_script)),
      std::string(page_file(PageFile::page_script))};
  const std::vector<Part> parts = parts_of(view);
  Html html;
  html.raw("<!DOCTYPE html>\n").open("html", {{"lang", "en"}});
  add_html_head(html, input.title, input.run.version, scripts);
  html.open("body");
  html.element("a", "Skip to what to act on today", {{"class", "skip"}, {"href", "#act"}});
  add_head(html, view);
  add_contents(html, parts);
  add_parts(html, view, parts);
  html.element("footer", "gaugeloom " + input.run.version);
  html.open("script", {{"type", "application/json"}, {"id", "gaugeloom-data"}});
  html.raw(page_data(view)).close();
  for (const std::string& script : scripts) html.open("script").raw(script).close();
  html.close().close();
  return html.take();
}

}  // namespace gaugeloom
