#include "gaugeloom/io/outage_reader.hpp"

#include "gaugeloom/io/small_table_reader.hpp"
#include "io/listed_gauges_internal.hpp"

namespace gaugeloom {
namespace {

Interval over_of(const SmallTable& table, std::size_t row, std::size_t from, std::size_t to) {
  const Interval over{table.time(row, from), table.optional_time(row, to).value_or(Instant::max())};
  if (over.to <= over.from)
    throw Error(ErrorCode::inconsistent_input,
                "the outage ends before it begins; put the later time in 'to', or leave it empty "
                "while the outage lasts",
                table.position(row, to));
  return over;
}

}  // namespace

std::vector<Outage> read_outages(const std::string& path, const Network& network, bool strict,
                                 Notices& notices) {
  const SmallTable table = read_small_table(path);
  const std::size_t gauge = table.required_column("gauge");
  const std::size_t from = table.required_column("from");
  const std::size_t to = table.required_column("to");
  const auto cause = table.column("cause");
  ListedGauges listed(network, strict);
  std::vector<Outage> outages;
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    const Interval over = over_of(table, row, from, to);
    if (const auto found = listed.find(table, row, gauge))
      outages.push_back({*found, over, cause ? table.at(row, *cause) : std::string()});
  }
  listed.tell(path, notices);
  return outages;
}

}  // namespace gaugeloom
