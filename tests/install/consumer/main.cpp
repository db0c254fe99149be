#include <gaugeloom/interp/variogram.hpp>
#include <gaugeloom/time/iso8601.hpp>

int main() {
  const auto t = gaugeloom::parse_iso8601("2024-02-29T12:00:00+01:00");
  const gaugeloom::Variogram variogram;
  return t && gaugeloom::format_utc(t->utc()) == "2024-02-29T11:00:00Z" && variogram.gamma(0) == 0
             ? 0
             : 1;
}
