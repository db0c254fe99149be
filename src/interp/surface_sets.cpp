#include "interp/surface_sets_internal.hpp"

#include <algorithm>
#include <cstring>
#include <deque>
#include <numeric>
#include <vector>

#include "gaugeloom/core/hash.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLeafSide = 16;
constexpr std::size_t kMaxUncertain = 20;  // more, and a leaf is halved: ranks cost their square

struct Rectangle {  // of cells, within a block
  std::size_t first_column = 0;
  std::size_t first_row = 0;
  std::size_t columns = 0;
  std::size_t rows = 0;
};

using Gauges = std::vector<std::uint32_t>;  // rising

class SetFinder {
 public:
  SetFinder(const SurfaceField& field, const SurfaceKernels& kernels, const Grid& grid,
            const GridBlock& block, const std::function<void(const ChunkSets&)>& visit)
      : field_(field), kernels_(kernels), block_(block), visit_(visit) {
    // Leaves read up to 16 columns, also where fewer are left.
    for (std::size_t c = 0; c < block.columns + kLeafSide; ++c)
      x_m_.push_back(grid.centre_x_m(block.first_column + std::min(c, block.columns - 1)));
    for (std::size_t r = 0; r < block.rows; ++r)
      y_m_.push_back(grid.centre_y_m(block.first_row + r));
    k_ = static_cast<std::size_t>(field.neighbours);
  }

  void split_into_chunks(const Rectangle& cells, const Gauges& candidates, std::size_t depth) {
    const Gauges& kept = keep_possible(cells, candidates, depth);
    if (cells.columns <= kChunkSide && cells.rows <= kChunkSide)
      return find_chunk(cells, kept, depth);
    halve(cells, kChunkSide,
          [&](const Rectangle& part) { split_into_chunks(part, kept, depth + 1); });
  }

 private:
  template <typename Visit>
  static void halve(const Rectangle& cells, std::size_t multiple, const Visit& visit) {
    Rectangle first = cells, second = cells;
    const auto half = [&](std::size_t count) {
      const std::size_t middle = (count / 2 + multiple - 1) / multiple * multiple;
      return middle < count ? middle : count / 2;
    };
    if (cells.columns >= cells.rows) {
      first.columns = half(cells.columns);
      second.columns -= first.columns;
      second.first_column += first.columns;
    } else {
      first.rows = half(cells.rows);
      second.rows -= first.rows;
      second.first_row += first.rows;
    }
    visit(first);
    visit(second);
  }

  // Squared distances from each candidate to the nearest and farthest cell centre.
  void measure(const Rectangle& cells, const Gauges& candidates) {
    const double west = x_m_[cells.first_column];
    const double east = x_m_[cells.first_column + cells.columns - 1];
    const double north = y_m_[cells.first_row];
    const double south = y_m_[cells.first_row + cells.rows - 1];
    const std::size_t count = candidates.size();
    low_.resize(count);
    high_.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
      const double to_west = west - field_.x_m[candidates[i]];
      const double to_east = field_.x_m[candidates[i]] - east;
      const double to_south = south - field_.y_m[candidates[i]];
      const double to_north = field_.y_m[candidates[i]] - north;
      const double near_x = std::max(0.0, std::max(to_west, to_east));
      const double near_y = std::max(0.0, std::max(to_south, to_north));
      const double far_x = std::max(-to_west, -to_east);
      const double far_y = std::max(-to_south, -to_north);
      low_[i] = near_x * near_x + near_y * near_y;
      high_[i] = far_x * far_x + far_y * far_y;
    }
  }

  // The k-th smallest of `values`, k from 1.
  double smallest(const std::vector<double>& values, std::size_t k) {
    sorted_ = values;
    const auto at = sorted_.begin() + static_cast<std::ptrdiff_t>(k - 1);
    std::nth_element(sorted_.begin(), at, sorted_.end());
    return *at;
  }

  // The candidates that may be among the k nearest of a cell; kept per depth of the recursion.
  const Gauges& keep_possible(const Rectangle& cells, const Gauges& candidates, std::size_t depth) {
    if (kept_.size() <= depth) kept_.resize(depth + 8);
    Gauges& kept = kept_[depth];
    kept.clear();
    measure(cells, candidates);
    if (candidates.size() <= k_) {
      kept = candidates;
      return kept;
    }
    const double limit = smallest(high_, k_);
    std::size_t count = 0;
    for (std::size_t i = 0; i < candidates.size(); ++i) {
      if (low_[i] > limit) continue;
      kept.push_back(candidates[i]);
      low_[count] = low_[i];
      high_[count++] = high_[i];
    }
    low_.resize(count);
    high_.resize(count);
    return kept;
  }

  void find_chunk(const Rectangle& cells, const Gauges& candidates, std::size_t depth) {
    chunk_ = cells;
    members_.clear();
    set_of_cell_.resize(kChunkSide * kChunkSide);
    table_.assign(table_.empty() ? 1024 : table_.size(), 0);
    set_count_ = 0;
    divide(cells, candidates, depth + 1);
    gather();
    visit_({{block_.first_column + cells.first_column, block_.first_row + cells.first_row,
             cells.columns, cells.rows},
            x_m_.data() + cells.first_column,
            y_m_.data() + cells.first_row,
            sets_});
  }

  void divide(const Rectangle& cells, const Gauges& candidates, std::size_t depth) {
    const Gauges& kept = keep_possible(cells, candidates, depth);
    if (kept.size() <= k_) return fill(cells, set_of(kept));
    const bool leaf = cells.columns <= kLeafSide && cells.rows <= kLeafSide;
    if (leaf) {
      const double next = smallest(low_, k_ + 1);
      uncertain_.clear();
      for (std::size_t i = 0; i < kept.size(); ++i)
        if (high_[i] >= next) uncertain_.push_back(i);
      if (uncertain_.size() <= kMaxUncertain) return choose(cells, kept);
      if (cells.columns * cells.rows == 1) return choose_one(cells, kept);
    }
    halve(cells, leaf ? 1 : kLeafSide,
          [&](const Rectangle& part) { divide(part, kept, depth + 1); });
  }

  void choose_one(const Rectangle& cells, const Gauges& kept) {
    order_.resize(kept.size());
    std::iota(order_.begin(), order_.end(), std::size_t{0});
    std::nth_element(order_.begin(), order_.begin() + static_cast<std::ptrdiff_t>(k_ - 1),
                     order_.end(), [&](std::size_t a, std::size_t b) {
                       return low_[a] != low_[b] ? low_[a] < low_[b] : a < b;
                     });
    set_.clear();
    for (std::size_t i = 0; i < k_; ++i) set_.push_back(kept[order_[i]]);
    std::sort(set_.begin(), set_.end());
    fill(cells, set_of(set_));
  }

  // Ranks the uncertain candidates for every cell of a leaf.
  void choose(const Rectangle& cells, const Gauges& kept) {
    double x_m[kMaxUncertain];
    double y_m[kMaxUncertain];
    for (std::size_t i = 0; i < uncertain_.size(); ++i) {
      x_m[i] = field_.x_m[kept[uncertain_[i]]];
      y_m[i] = field_.y_m[kept[uncertain_[i]]];
    }
    const std::size_t certain = kept.size() - uncertain_.size();
    std::uint64_t masks[kLeafSide * kLeafSide];
    kernels_.choose_nearest(x_m_.data() + cells.first_column, cells.columns,
                            y_m_.data() + cells.first_row, cells.rows, x_m, y_m, uncertain_.size(),
                            k_ - certain, masks);
    seen_.clear();
    for (std::size_t row = 0; row < cells.rows; ++row) {
      std::uint32_t* const to = cell_row(cells, row);
      for (std::size_t column = 0; column < cells.columns; ++column)
        to[column] = set_of_mask(kept, masks[row * kLeafSide + column]);
    }
  }

  std::uint32_t set_of_mask(const Gauges& kept, std::uint64_t mask) {
    for (std::size_t i = seen_.size(); i-- > 0;)
      if (seen_[i].mask == mask) {
        if (i + 1 != seen_.size()) std::swap(seen_[i], seen_.back());
        return seen_.back().set;
      }
    set_.clear();
    std::size_t next = 0;
    for (std::size_t i = 0; i < kept.size(); ++i) {
      if (next < uncertain_.size() && uncertain_[next] == i) {
        if (((mask >> next) & 1U) != 0) set_.push_back(kept[i]);
        ++next;
      } else {
        set_.push_back(kept[i]);
      }
    }
    seen_.push_back({mask, set_of(set_)});
    return seen_.back().set;
  }

  std::uint32_t* cell_row(const Rectangle& cells, std::size_t row) {
    return set_of_cell_.data() + (cells.first_row - chunk_.first_row + row) * kChunkSide +
           (cells.first_column - chunk_.first_column);
  }

  void fill(const Rectangle& cells, std::uint32_t set) {
    for (std::size_t row = 0; row < cells.rows; ++row)
      std::fill_n(cell_row(cells, row), cells.columns, set);
  }

  std::uint64_t hash_of(const std::uint32_t* gauges) const {
    std::uint64_t hash = 0;
    for (std::size_t i = 0; i < k_; ++i) hash = (hash ^ gauges[i]) * 0x9E3779B97F4A7C15ULL;
    return mix_bits(hash);
  }

  // The number of a set of k gauges within the chunk, new or known.
  std::uint32_t set_of(const Gauges& gauges) {
    if (2 * (set_count_ + 1) > table_.size()) grow();
    for (std::size_t at = hash_of(gauges.data());; ++at) {
      std::uint32_t& entry = table_[at & (table_.size() - 1)];
      if (entry == 0) {
        members_.insert(members_.end(), gauges.begin(), gauges.end());
        entry = static_cast<std::uint32_t>(++set_count_);
        return entry - 1;
      }
      if (std::memcmp(&members_[(entry - 1) * k_], gauges.data(), k_ * sizeof(std::uint32_t)) == 0)
        return entry - 1;
    }
  }

  void grow() {
    std::vector<std::uint32_t> bigger(2 * table_.size(), 0);
    for (std::size_t set = 0; set < set_count_; ++set) {
      std::size_t at = hash_of(&members_[set * k_]);
      while (bigger[at & (bigger.size() - 1)] != 0) ++at;
      bigger[at & (bigger.size() - 1)] = static_cast<std::uint32_t>(set + 1);
    }
    table_ = std::move(bigger);
  }

  // Sorts the cells by their sets.
  void gather() {
    first_.assign(set_count_ + 1, 0);
    const auto each_cell = [&](const auto& visit) {
      for (std::size_t row = 0; row < chunk_.rows; ++row) {
        const std::uint32_t* const from = set_of_cell_.data() + row * kChunkSide;
        for (std::size_t column = 0; column < chunk_.columns; ++column)
          visit(from[column], static_cast<std::uint32_t>(row << kChunkBits | column));
      }
    };
    each_cell([&](std::uint32_t set, std::uint32_t) { ++first_[set + 1]; });
    std::partial_sum(first_.begin(), first_.end(), first_.begin());
    cells_.resize(chunk_.columns * chunk_.rows);
    sets_.clear();
    for (std::size_t set = 0; set < set_count_; ++set)
      sets_.push_back({&members_[set * k_], std::span<const std::uint32_t>(cells_).subspan(
                                                first_[set], first_[set + 1] - first_[set])});
    each_cell([&](std::uint32_t set, std::uint32_t cell) { cells_[first_[set]++] = cell; });
  }

  struct Seen {
    std::uint64_t mask;
    std::uint32_t set;
  };

  const SurfaceField& field_;
  const SurfaceKernels& kernels_;
  const GridBlock& block_;
  const std::function<void(const ChunkSets&)>& visit_;
  std::size_t k_ = 0;
  std::vector<double> x_m_, y_m_;               // centres of the block's columns and rows
  std::deque<Gauges> kept_;                     // by depth
  std::vector<double> low_, high_, sorted_;     // of the rectangle measured last
  std::vector<std::size_t> uncertain_, order_;  // places in `kept`
  Gauges set_;
  std::vector<Seen> seen_;  // masks of this leaf, the last one used at the end
  Rectangle chunk_;
  std::vector<std::uint32_t> set_of_cell_;  // kChunkSide per row
  std::vector<std::uint32_t> members_;      // k per set
  std::vector<std::uint32_t> table_;        // open addressing: set + 1, or 0
  std::size_t set_count_ = 0;
  std::vector<std::uint32_t> cells_;
  std::vector<std::size_t> first_;
  std::vector<SetCells> sets_;
};

}  // namespace

void for_each_chunk(const SurfaceField& field, std::size_t gauges, const SurfaceKernels& kernels,
                    const Grid& grid, const GridBlock& block,
                    const std::function<void(const ChunkSets&)>& visit) {
  if (block.cell_count() == 0) return;
  SetFinder finder(field, kernels, grid, block, visit);
  Gauges all(gauges);
  std::iota(all.begin(), all.end(), std::uint32_t{0});
  finder.split_into_chunks({0, 0, block.columns, block.rows}, all, 0);
}

}  // namespace gaugeloom
