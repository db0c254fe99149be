#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "commands.hpp"
#include "gaugeloom/interp/depth_variogram.hpp"
#include "gaugeloom/interp/leave_one_out_score.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "gaugeloom/io/crossval_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "loading.hpp"
#include "output_folder.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kBlockBytes = std::size_t{192} << 20;  // of estimates held at once

std::string_view origin_words(VariogramOrigin origin) {
  switch (origin) {
    case VariogramOrigin::given:
      return "as given";
    case VariogramOrigin::learned:
      return "learned from the record";
    case VariogramOrigin::defaults:
      break;
  }
  return "the default range, since the record has too few wet steps";
}

class CrossvalCommand : public Command {
 public:
  CrossvalCommand() {
    network_.declare(options_);
    rain_.declare(options_);
    method_.neighbours = 16;
    method_.declare(options_);
    declare_window();
    variogram_.declare(options_);
  }

  Manual manual() const override {
    return {"--gauges SOURCE --rain PATH ... [options]",
            "Estimates every measured depth from the other gauges alone, by one method of "
            "interpolation, and sets the two side by side: how well the method works on this "
            "network, and which gauges do not fit their neighbours.\n\n"
            "A gauge that is missing at a step is replaced by the next nearest. Kriging also gives "
            "the standard error of each estimate, in which the gauge's own nugget is included.",
            {{"crossval.csv",
              "One row per measured value: the estimate, its standard error, the "
              "standardised error, the number of neighbours."}},
            {"gaugeloom crossval --gauges gauges.csv --rain rain.csv --window 1d",
             "gaugeloom crossval --gauges gauges.csv --rain rain.csv --method ok --variogram "
             "spherical --nugget 0.1 --partial-sill 0.9 --range-km 60"}};
  }

  Exit run(Streams io) override {
    OutputFolder folder(out_, input_files(options_, network_, rain_));
    folder.refuse_input("crossval.csv");
    LoadedRecord loaded = load_record(network_, rain_, threads_, io);
    const RainTable depths = windows(std::move(loaded.rain.depths));
    const std::vector<MetricPoint> points = loaded.network.positions();
    const FieldRecord record{depths.values(), depths.gauge_count(), depths.step_count()};
    const DepthVariogram variogram = find_variogram(points, record, depths.axis());
    LeaveOneOutSums sums;
    LeaveOneOutSums nearest_sums;
    {
      const Progress progress("estimating");
      RecordLeaveOneOut engine(points, variogram.variogram, leave_one_out_options());
      RecordLeaveOneOut nearest(points, variogram.variogram, nearest_options());
      CrossvalWriter writer(folder.file("crossval.csv"), loaded.network, {kriging(), threads_});
      LeaveOneOutBlock block;
      const std::size_t block_steps = steps_per_block(record);
      for (std::size_t first = 0; first < record.steps; first += block_steps) {
        const std::size_t steps = std::min(block_steps, record.steps - first);
        nearest.run(record, {}, first, steps, block);
        nearest_sums.add(record, first, block, threads_);
        engine.run(record, {}, first, steps, block);
        sums.add(record, first, block, threads_);
        writer.write(depths, first, block);
      }
    }
    folder.commit();
    print(depths, variogram, sums.score(), nearest_sums.score(), io);
    return Exit::ok;
  }

 private:
  void declare_window() {
    OptionSpec& window = options_.add(
        "window", "step|DURATION|all",
        "What is estimated: the depth of each step, the total of each hour, day or the like (1h, "
        "1d), or the total of the whole record. A total is missing when any of its steps is. "
        "Windows follow each other from --day-start on.",
        "step");
    window.set = [this](const std::string& text) {
      window_.reset();
      whole_record_ = text == "all";
      if (text == "step" || whole_record_) return;
      window_ = parse_duration(text);
      if (!window_)
        throw Error(ErrorCode::invalid_option,
                    fmt::format("--window {} is not a window; use step, all, or a duration like "
                                "1h or 1d",
                                text));
    };
  }

  bool kriging() const { return method_.method == InterpolationMethod::ordinary_kriging; }

  RainTable windows(RainTable table) const {
    if (whole_record_) return sums(table, std::max<std::size_t>(1, table.step_count()));
    if (!window_) return table;
    const StepAxis& axis = table.axis();
    const auto steps = axis.steps_in(*window_);
    if (!steps)
      throw Error(ErrorCode::invalid_option,
                  fmt::format("--window {} is no whole number of steps of {}",
                              format_duration(*window_), format_duration(axis.step())));
    std::size_t first = 0;
    while (first < axis.count() &&
           (axis.begin(first).time_since_epoch() - rain_.day_start) % *window_ != Duration{0})
      ++first;
    if (first + *steps > axis.count())
      throw Error(ErrorCode::invalid_option,
                  fmt::format("the record holds no whole window of {}", format_duration(*window_)));
    if (first == 0) return sums(table, *steps);
    return sums(slice(table, first, axis.count()), *steps);
  }

  DepthVariogram find_variogram(const std::vector<MetricPoint>& points, const FieldRecord& record,
                                const StepAxis& axis) const {
    if (!kriging()) return {};
    return depth_variogram(points, record, axis.step_hours(), variogram_.parts(), threads_);
  }

  RecordLeaveOneOutOptions leave_one_out_options() const {
    RecordLeaveOneOutOptions options;
    options.method = method_.method;
    options.power = method_.power;
    options.neighbours = *method_.neighbours;
    options.negative_weights = method_.negative_weights;
    options.threads = threads_;
    return options;
  }

  RecordLeaveOneOutOptions nearest_options() const {
    RecordLeaveOneOutOptions options;
    options.method = InterpolationMethod::inverse_distance;
    options.neighbours = 1;
    options.threads = threads_;
    return options;
  }

  // Blocks of equal length, whole words of 64 steps each.
  static std::size_t steps_per_block(const FieldRecord& record) {
    const std::size_t bytes_per_step = 18 * std::max<std::size_t>(record.points, 1);
    const std::size_t most = std::max<std::size_t>(1, kBlockBytes / bytes_per_step / 64) * 64;
    const std::size_t blocks = std::max<std::size_t>(1, (record.steps + most - 1) / most);
    return std::max<std::size_t>(1, ((record.steps + blocks - 1) / blocks + 63) / 64) * 64;
  }

  void print(const RainTable& depths, const DepthVariogram& variogram,
             const LeaveOneOutScore& score, const LeaveOneOutScore& nearest, Streams io) const {
    io.out << fmt::format("values {}, gauges {}, windows {} of {}\n", score.values,
                          depths.gauge_count(), depths.step_count(),
                          format_duration(depths.axis().step()));
    const std::string neighbours = neighbour_words(*method_.neighbours, "all other gauges");
    if (kriging()) {
      io.out << fmt::format("ordinary kriging from {}, negative weights {}\nvariogram: {} ({})\n",
                            neighbours,
                            method_.negative_weights == NegativeWeights::keep ? "kept" : "dropped",
                            describe(variogram.variogram), origin_words(variogram.origin));
    } else {
      io.out << fmt::format("inverse distance, power {}, from {}\n", method_.power, neighbours);
    }
    io.out << fmt::format("{:15} {:>11} {:>11} {:>11}\n", "", "RMSE mm", "MAE mm", "bias mm");
    print_score(kriging() ? "ok" : "idw", score, io);
    print_score("nearest gauge", nearest, io);
  }

  static void print_score(std::string_view name, const LeaveOneOutScore& score, Streams io) {
    io.out << fmt::format("{:15} {:11.4f} {:11.4f} {:11.4f}\n", name, score.root_mean_square_error,
                          score.mean_absolute_error, score.mean_error);
  }

  NetworkInput network_;
  RainInput rain_;
  MethodInput method_;
  VariogramInput variogram_;
  std::optional<std::chrono::seconds> window_;
  bool whole_record_ = false;
};

}  // namespace

std::unique_ptr<Command> make_crossval() { return std::make_unique<CrossvalCommand>(); }

}  // namespace gaugeloom
