// Included once per vector level by surface_kernel.cpp, inside a namespace and with the level's
// instructions switched on. Expects kLanes, V (kLanes doubles), I (kLanes 64-bit integers),
// square_root(V) and any(I).

typedef V LooseV __attribute__((aligned(8), may_alias));

inline V load(const double* from) { return *reinterpret_cast<const LooseV*>(from); }
inline void store(double* to, V v) { *reinterpret_cast<LooseV*>(to) = v; }
inline V all(double x) { return x - V{}; }
inline V smaller(V a, V b) { return a < b ? a : b; }

// exp of x <= 0, to 2 units in the last place; 0 below -700. The series of portable_exp.
inline V exp_of_negative(V x) {
  constexpr double kRound = 6755399441055744.0;  // 1.5 * 2^52: what is added rounds to an integer
  const V inside = x < -700.0 ? all(-700.0) : x;
  const V shifted = inside * 1.44269504088896338700 + kRound;
  const V power = shifted - kRound;
  const V r = (inside - power * 6.93147180369123816490e-01) - power * 1.90821492927058770002e-10;
  V series = all(1.0 / 6227020800.0);
  for (const double c :
       {1.0 / 479001600.0, 1.0 / 39916800.0, 1.0 / 3628800.0, 1.0 / 362880.0, 1.0 / 40320.0,
        1.0 / 5040.0, 1.0 / 720.0, 1.0 / 120.0, 1.0 / 24.0, 1.0 / 6.0, 0.5, 1.0, 1.0})
    series = series * r + c;
  const I scale = (reinterpret_cast<I>(shifted) + 1023) << 52;
  return x < -700.0 ? V{} : series * reinterpret_cast<V>(scale);
}

// structured_covariance of squared distances.
template <VariogramShape kShape>
inline V covariance_of(V square_m2, const Variogram& variogram) {
  const double inverse_range = 1.0 / variogram.range_m;
  if constexpr (kShape == VariogramShape::spherical) {
    const V ratio = square_root(square_m2) * inverse_range;
    const V inside = variogram.partial_sill * (1.0 - ratio * (1.5 - 0.5 * ratio * ratio));
    return ratio < 1.0 ? inside : V{};
  } else if constexpr (kShape == VariogramShape::exponential) {
    const V ratio = square_root(square_m2) * inverse_range;
    return variogram.partial_sill * exp_of_negative(-ratio);
  } else if constexpr (kShape == VariogramShape::gaussian) {
    return variogram.partial_sill * exp_of_negative(-(square_m2 * (inverse_range * inverse_range)));
  } else {
    double distance_m[kLanes];
    double covariance[kLanes];
    store(distance_m, square_root(square_m2));
    structured_covariances(variogram, distance_m, covariance);
    return load(covariance);
  }
}

inline void choose_nearest(const double* column_x_m, std::size_t width, const double* row_y_m,
                           std::size_t height, const double* x_m, const double* y_m,
                           std::size_t count, std::size_t chosen, std::uint64_t* masks) {
  const V limit = all(static_cast<double>(chosen));
  for (std::size_t row = 0; row < height; ++row) {
    V square_m2[64];
    V rank[64];  // how many gauges come before
    for (std::size_t column = 0; column < width; column += kLanes) {
      const V x = load(column_x_m + column);
      for (std::size_t j = 0; j < count; ++j) {
        const V dx = x_m[j] - x;
        const double dy = y_m[j] - row_y_m[row];
        square_m2[j] = dx * dx + dy * dy;
        V before{};
        const V mine = square_m2[j];
        for (std::size_t i = 0; i < j; ++i) {
          const I first = square_m2[i] <= mine;
          before += first ? all(1.0) : V{};
          rank[i] += first ? V{} : all(1.0);
        }
        rank[j] = before;
      }
      I mask{};
      for (std::size_t j = 0; j < count; ++j)
        mask |= (rank[j] < limit) & static_cast<long long>(std::uint64_t{1} << j);
      for (std::size_t lane = 0; lane < kLanes; ++lane)
        masks[row * 16 + column + lane] = static_cast<std::uint64_t>(mask[lane]);
    }
  }
}

// kLanes kriging systems side by side: value p of the system in lane l stands at p * kLanes + l.
struct Systems {
  Systems(double* memory, int k)
      : lower(memory),
        inverse_diagonal(lower + k * (k + 1) / 2 * kLanes),
        ones(inverse_diagonal + k * kLanes),
        dual(ones + k * kLanes),
        x(dual + k * kLanes),
        y(x + k * kLanes),
        value(y + k * kLanes),
        noise(value + k * kLanes),
        single(noise + k * kLanes) {}
  static std::size_t size(int k) {
    return static_cast<std::size_t>((k * (k + 1) / 2 + 7 * k + 3) * kLanes);
  }

  double* lower;             // L of the covariances between gauges, by rows
  double* inverse_diagonal;  // 1 / L_ii
  double* ones;              // L^-1 1
  double* dual;              // the estimate is mean + dual' c
  double* x;
  double* y;
  double* value;
  double* noise;
  double* single;  // 3 values: 1' C^-1 1, the generalised mean, and whether it is singular

  int lanes() const { return kLanes; }
};

inline void place_gauges(const SurfaceField& field, std::span<const SetCells> sets, int k,
                         const Systems& s) {
  for (int lane = 0; lane < kLanes; ++lane) {
    const auto& set = sets[std::min(static_cast<std::size_t>(lane), sets.size() - 1)];
    for (int i = 0; i < k; ++i) {
      const std::uint32_t gauge = set.gauges[i];
      const int at = i * kLanes + lane;
      s.x[at] = field.x_m[gauge];
      s.y[at] = field.y_m[gauge];
      s.value[at] = field.value[gauge];
      s.noise[at] = field.noise[gauge];
    }
  }
}

// Cholesky of the covariances between the gauges, row by row, then the vectors that go with it.
template <VariogramShape kShape>
inline void factorise(const SurfaceField& field, int k, const Systems& s) {
  const Variogram& variogram = field.options.variogram;
  const double sill = variogram.sill();
  I singular{};
  for (int i = 0; i < k; ++i) {
    double* const row = s.lower + i * (i + 1) / 2 * kLanes;
    const V x = load(s.x + i * kLanes);
    const V y = load(s.y + i * kLanes);
    V pivot = sill + load(s.noise + i * kLanes);
    for (int j = 0; j < i; ++j) {
      const V dx = load(s.x + j * kLanes) - x;
      const V dy = load(s.y + j * kLanes) - y;
      V sum = covariance_of<kShape>(dx * dx + dy * dy, variogram);
      const double* const other = s.lower + j * (j + 1) / 2 * kLanes;
      for (int p = 0; p < j; ++p) sum -= load(row + p * kLanes) * load(other + p * kLanes);
      sum *= load(s.inverse_diagonal + j * kLanes);
      store(row + j * kLanes, sum);
      pivot -= sum * sum;
    }
    const I bad = pivot <= kSingularPivot * sill;
    singular |= bad;
    const V root = square_root(bad ? all(1.0) : pivot);
    store(row + i * kLanes, root);
    store(s.inverse_diagonal + i * kLanes, 1.0 / root);
  }
  V total{};
  V weighted{};
  for (int i = 0; i < k; ++i) {  // L^-1 1 and L^-1 value
    const double* const row = s.lower + i * (i + 1) / 2 * kLanes;
    V one = all(1.0);
    V value = load(s.value + i * kLanes);
    for (int j = 0; j < i; ++j) {
      one -= load(row + j * kLanes) * load(s.ones + j * kLanes);
      value -= load(row + j * kLanes) * load(s.dual + j * kLanes);
    }
    const V inverse = load(s.inverse_diagonal + i * kLanes);
    one *= inverse;
    value *= inverse;
    store(s.ones + i * kLanes, one);
    store(s.dual + i * kLanes, value);
    total += one * one;
    weighted += one * value;
  }
  const V mean = weighted / total;
  for (int i = k - 1; i >= 0; --i) {  // L^-T (L^-1 value - mean L^-1 1)
    V sum = load(s.dual + i * kLanes) - mean * load(s.ones + i * kLanes);
    for (int j = i + 1; j < k; ++j)
      sum -= load(s.lower + (j * (j + 1) / 2 + i) * kLanes) * load(s.dual + j * kLanes);
    store(s.dual + i * kLanes, sum * load(s.inverse_diagonal + i * kLanes));
  }
  store(s.single, total);
  store(s.single + kLanes, mean);
  store(s.single + 2 * kLanes, singular ? all(1.0) : V{});
}

// Up to kLanes cells of one set.
struct CellLanes {
  V x;
  V y;
  std::size_t at[kLanes];  // of the result
  int count;
};

inline CellLanes cells_at(const SurfaceChunk& chunk, std::span<const std::uint32_t> cells,
                          std::size_t first) {
  CellLanes lanes{};
  lanes.count = static_cast<int>(std::min<std::size_t>(kLanes, cells.size() - first));
  for (int lane = 0; lane < kLanes; ++lane) {
    const std::uint32_t cell =
        cells[first + static_cast<std::size_t>(std::min(lane, lanes.count - 1))];
    const std::size_t column = cell & (kChunkSide - 1);
    const std::size_t row = cell >> kChunkBits;
    lanes.x[lane] = chunk.column_x_m[column];
    lanes.y[lane] = chunk.row_y_m[row];
    lanes.at[lane] = row * chunk.stride + column;
  }
  return lanes;
}

inline void scatter(double* out, const CellLanes& lanes, V v) {
  if (out == nullptr) return;
  for (int lane = 0; lane < lanes.count; ++lane) out[lanes.at[lane]] = v[lane];
}

struct Estimated {
  V value;
  V variance;
};

// With y = L^-1 c and mu = (1 - ones' y) / total, the weights are w = L^-T (y + mu ones), and where
// one is negative: w set to 0 there and rescaled, and the variance C0 - 2 w'c + w'Cw.
template <int kFixed>
inline Estimated drop_negative(const Systems& s, int lane, int count, const V* covariance,
                               const V* y, V mu, V kept_variance, double sill) {
  constexpr int kMax = kFixed > 0 ? kFixed : kMaxSurfaceNeighbours;
  const int k = kFixed > 0 ? kFixed : count;
  V weight[kMax];
  V lowest{};
  V sum{};
  V value{};
GAUGELOOM_UNROLL(16)
  for (int i = k - 1; i >= 0; --i) {
    V w = y[i] + mu * s.ones[i * kLanes + lane];
GAUGELOOM_UNROLL(16)
    for (int j = i + 1; j < k; ++j) w -= s.lower[(j * (j + 1) / 2 + i) * kLanes + lane] * weight[j];
    weight[i] = w * s.inverse_diagonal[i * kLanes + lane];
  }
  for (int i = 0; i < k; ++i) {
    lowest = smaller(weight[i], lowest);
    value += weight[i] * s.value[i * kLanes + lane];
  }
  const I some = lowest < 0.0;
  if (!any(some)) return {value, kept_variance};
  V linear{};
  V dropped{};
  for (int i = 0; i < k; ++i) {
    weight[i] = weight[i] < 0.0 ? V{} : weight[i];
    sum += weight[i];
    linear += weight[i] * covariance[i];
    dropped += weight[i] * s.value[i * kLanes + lane];
  }
  V square{};
GAUGELOOM_UNROLL(16)
  for (int i = 0; i < k; ++i) {  // |L' w|^2
    V t{};
GAUGELOOM_UNROLL(16)
    for (int j = i; j < k; ++j) t += s.lower[(j * (j + 1) / 2 + i) * kLanes + lane] * weight[j];
    square += t * t;
  }
  // Noise stands on the diagonal of L L' already.
  const V variance = sill - 2.0 * (linear / sum) + square / (sum * sum);
  return {some ? dropped / sum : value, some ? variance : kept_variance};
}

// A cell centre on one gauge shares that gauge's nugget; on several it is a new observation there.
inline void share_nugget(const Systems& s, int lane, int k, const CellLanes& cells, double sill,
                         V* covariance) {
  V hits{};
  V hit[kMaxSurfaceNeighbours];
  for (int i = 0; i < k; ++i) {
    const V dx = s.x[i * kLanes + lane] - cells.x;
    const V dy = s.y[i * kLanes + lane] - cells.y;
    hit[i] = dx * dx + dy * dy == 0.0 ? all(1.0) : V{};
    hits += hit[i];
  }
  for (int i = 0; i < k; ++i)
    covariance[i] = ((hit[i] == 1.0) & (hits == 1.0)) ? all(sill) : covariance[i];
}

// Value and variance of one set at the cells in the lanes.
template <int kFixed>
inline Estimated estimate_lanes(const Systems& s, int lane, int k, const V* covariance, double sill,
                                bool drop) {
  V y[(kFixed > 0 ? kFixed : kMaxSurfaceNeighbours)];
  V explained{};
  V ones{};
GAUGELOOM_UNROLL(16)
  for (int i = 0; i < k; ++i) {
    V sum = covariance[i];
    const double* const row = s.lower + i * (i + 1) / 2 * kLanes + lane;
GAUGELOOM_UNROLL(16)
    for (int j = 0; j < i; ++j) sum -= row[j * kLanes] * y[j];
    y[i] = sum * s.inverse_diagonal[i * kLanes + lane];
    explained += y[i] * y[i];
    ones += s.ones[i * kLanes + lane] * y[i];
  }
  const V mu = (1.0 - ones) / s.single[lane];
  const V variance = sill - explained + (1.0 - ones) * mu;
  if (drop) return drop_negative<kFixed>(s, lane, k, covariance, y, mu, variance, sill);
  V value = all(s.single[kLanes + lane]);
  for (int i = 0; i < k; ++i) value += s.dual[i * kLanes + lane] * covariance[i];
  return {value, variance};
}

#include "interp/surface_soft_edge.inl"

template <VariogramShape kShape, int kFixed>
inline void krige_set(const SurfaceField& field, const SetCells& set, const Systems& s, int lane,
                      const SurfaceChunk& chunk) {
  constexpr int kMax = kFixed > 0 ? kFixed : kMaxSurfaceNeighbours;
  const int k = kFixed > 0 ? kFixed : field.neighbours;
  const Variogram& variogram = field.options.variogram;
  const double sill = variogram.sill();
  const bool drop = field.options.negative_weights == NegativeWeights::drop;
  const double mean = s.single[kLanes + lane];
  const bool singular = s.single[2 * kLanes + lane] != 0;
  const V nothing = all(std::numeric_limits<double>::quiet_NaN());
  for (std::size_t first = 0; first < set.cells.size(); first += kLanes) {
    const CellLanes cells = cells_at(chunk, set.cells, first);
    V covariance[kMax];
    V square[kMax];
    V nearest = all(std::numeric_limits<double>::infinity());
    V farthest{};
GAUGELOOM_UNROLL(4)
    for (int i = 0; i < k; ++i) {
      const V dx = s.x[i * kLanes + lane] - cells.x;
      const V dy = s.y[i * kLanes + lane] - cells.y;
      square[i] = dx * dx + dy * dy;
      covariance[i] = covariance_of<kShape>(square[i], variogram);
      nearest = smaller(nearest, square[i]);
      farthest = farthest < square[i] ? square[i] : farthest;
    }
    if (any(nearest == 0.0)) share_nugget(s, lane, k, cells, sill, covariance);
    scatter(chunk.nearest_m, cells, square_root(nearest));
    if (chunk.value == nullptr && chunk.variance == nullptr) continue;
    if (field.soft_edge) {
      for (int i = 0; i < k; ++i) square[i] = soft_variance(square[i], farthest, sill);
      const Estimated estimated =
          krige_softly<kFixed>(s, lane, k, covariance, square, sill, drop);
      scatter(chunk.value, cells, estimated.value);
      scatter(chunk.variance, cells, estimated.variance < 0.0 ? V{} : estimated.variance);
      continue;
    }
    if (singular) {
      scatter(chunk.value, cells, nothing);
      scatter(chunk.variance, cells, nothing);
      continue;
    }
    if (!drop && chunk.variance == nullptr) {
      V value = all(mean);
      for (int i = 0; i < k; ++i) value += s.dual[i * kLanes + lane] * covariance[i];
      scatter(chunk.value, cells, value);
      continue;
    }
    const Estimated estimated = estimate_lanes<kFixed>(s, lane, k, covariance, sill, drop);
    scatter(chunk.value, cells, estimated.value);
    scatter(chunk.variance, cells, estimated.variance < 0.0 ? V{} : estimated.variance);
  }
}

template <VariogramShape kShape>
inline void krige_shape(const SurfaceField& field, std::span<const SetCells> sets,
                        const SurfaceChunk& chunk, std::vector<double>& scratch) {
  const int k = field.neighbours;
  scratch.resize(Systems::size(k));
  const Systems systems(scratch.data(), k);
  for (std::size_t first = 0; first < sets.size(); first += kLanes) {
    const auto batch = sets.subspan(first, std::min<std::size_t>(kLanes, sets.size() - first));
    place_gauges(field, batch, k, systems);
    if (field.soft_edge)
      covary<kShape>(field, k, systems);
    else
      factorise<kShape>(field, k, systems);
    for (std::size_t lane = 0; lane < batch.size(); ++lane)
      if (k == 12)
        krige_set<kShape, 12>(field, batch[lane], systems, static_cast<int>(lane), chunk);
      else if (k == 16)
        krige_set<kShape, 16>(field, batch[lane], systems, static_cast<int>(lane), chunk);
      else
        krige_set<kShape, 0>(field, batch[lane], systems, static_cast<int>(lane), chunk);
  }
}

inline void krige(const SurfaceField& field, std::span<const SetCells> sets,
                  const SurfaceChunk& chunk, std::vector<double>& scratch) {
  switch (field.options.variogram.shape) {
    case VariogramShape::spherical:
      return krige_shape<VariogramShape::spherical>(field, sets, chunk, scratch);
    case VariogramShape::exponential:
      return krige_shape<VariogramShape::exponential>(field, sets, chunk, scratch);
    case VariogramShape::gaussian:
      return krige_shape<VariogramShape::gaussian>(field, sets, chunk, scratch);
    case VariogramShape::matern:
      return krige_shape<VariogramShape::matern>(field, sets, chunk, scratch);
  }
}

// ratio^(power / 2) of squared distances: the nearest over this one, 0 to 1.
inline V distance_weight(V ratio, double power) {
  if (power == 2) return ratio;
  if (power == 1) return square_root(ratio);
  if (power == 3) return ratio * square_root(ratio);
  if (power == 4) return ratio * ratio;
  V weight{};
  for (int lane = 0; lane < kLanes; ++lane) weight[lane] = portable_pow(ratio[lane], power / 2);
  return weight;
}

inline void weigh_by_distance(const SurfaceField& field, std::span<const SetCells> sets,
                              const SurfaceChunk& chunk) {
  const int k = field.neighbours;
  const double power = field.options.power;
  for (const SetCells& set : sets) {
    for (std::size_t first = 0; first < set.cells.size(); first += kLanes) {
      const CellLanes cells = cells_at(chunk, set.cells, first);
      V square[kMaxSurfaceNeighbours];
      V nearest = all(std::numeric_limits<double>::infinity());
      for (int i = 0; i < k; ++i) {
        const V dx = field.x_m[set.gauges[i]] - cells.x;
        const V dy = field.y_m[set.gauges[i]] - cells.y;
        square[i] = dx * dx + dy * dy;
        nearest = smaller(nearest, square[i]);
      }
      V sum{};
      V value{};
      const I on_gauge = nearest == 0.0;
      const bool exact = any(on_gauge);
      for (int i = 0; i < k; ++i) {
        V weight = distance_weight(nearest / square[i], power);
        if (exact) weight = on_gauge ? (square[i] == 0.0 ? all(1.0) : V{}) : weight;
        sum += weight;
        value += weight * field.value[set.gauges[i]];
      }
      scatter(chunk.value, cells, value / sum);
      scatter(chunk.variance, cells, all(std::numeric_limits<double>::quiet_NaN()));
      scatter(chunk.nearest_m, cells, square_root(nearest));
    }
  }
}

inline const SurfaceKernels& kernels() {
  static constexpr SurfaceKernels kernels = {choose_nearest, krige, weigh_by_distance};
  return kernels;
}
