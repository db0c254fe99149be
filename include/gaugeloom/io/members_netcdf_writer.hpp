#pragma once
// members.nc: the members of an ensemble as netCDF, for models that read it as it is.
// Source: NetCDF Climate and Forecast (CF) Metadata Conventions 1.8, section 9.3.1 (time series in
// one orthogonal array), 7.1 and 7.3 (bounds, cell methods), appendix standard names.

#include "gaugeloom/fill/ensemble.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

struct MembersNetcdfOptions {
  int threads = 0;  // 0 = all cores; same bytes for any number
};

// Every step of every gauge in every member, netCDF-4, compressed:
//
//   rain(realization, gauge, time)  float, mm over the step: measured depths bit for bit, drawn
//   ones
//                                   where something was estimated, _FillValue where missing
//   origin(gauge, time)             byte: 0 measured, 1 estimated, 2 missing; the same in all
//   members time, time_bnds                 seconds since 1970 UTC; time marks the end of the step
//   gauge_id, lat, lon              per gauge; x, y in metres where the network has no place on
//   Earth realization                     1, 2, ...
//
// Laws (each one is a test): a reader of netCDF finds what Ensemble::draw gives; the same bytes for
// any number of threads, and again.
// Requires:  ensemble and record are of this network.
// Throws:    Error{io_failure} naming the file. The caller commits `file`.
// Memory:    a block of some 4 million depths, whatever the length of the record.
void write_members_netcdf(const StagedPath& file, const Ensemble& ensemble,
                          const SeriesRecord& record, const Network& network,
                          const MembersNetcdfOptions& options = {});

}  // namespace gaugeloom
