// Included once per vector level by surface_lanes.inl: kriging from the nearest gauges of more,
// which leave their set softly (soft_edge_variance in interp/surface.hpp). Every cell then has a
// system of its own.

// soft_edge_variance of squared distances.
inline V soft_variance(V square_m2, V farthest_m2, double sill) {
  const V share = square_root(square_m2 / farthest_m2);
  const V past = (share - kSoftEdgeFrom) / (1.0 - share);
  const V variance = smaller(kSoftEdgeSill * past * past, all(kSoftEdgeMost)) * sill;
  return share > kSoftEdgeFrom ? variance : V{};  // also where all stand on the cell's centre
}

// The covariances between the gauges of a set, in place of their factor.
template <VariogramShape kShape>
inline void covary(const SurfaceField& field, int k, const Systems& s) {
  for (int i = 0; i < k; ++i)
    for (int j = 0; j < i; ++j) {
      const V dx = load(s.x + j * kLanes) - load(s.x + i * kLanes);
      const V dy = load(s.y + j * kLanes) - load(s.y + i * kLanes);
      store(s.lower + (i * (i + 1) / 2 + j) * kLanes,
            covariance_of<kShape>(dx * dx + dy * dy, field.options.variogram));
    }
}

// The factor L of the systems of the cells in the lanes, and what was solved with it.
template <int kMax>
struct CellSystems {
  V lower[kMax * (kMax + 1) / 2];
  V inverse_diagonal[kMax];
  V covariance[kMax];  // L^-1 of it
  V ones[kMax];        // the same
  V weight[kMax];
};

// Weights below 0 to 0, the rest to sum 1; gives their variance, soft edge and all.
template <int kMax>
inline V drop_softly(int k, const V* covariance, double sill, CellSystems<kMax>& cell,
                     V kept_variance) {
  V lowest{}, sum{}, linear{}, square{};
  for (int i = 0; i < k; ++i) lowest = smaller(cell.weight[i], lowest);
  const I some = lowest < 0.0;
  if (!any(some)) return kept_variance;
  for (int i = 0; i < k; ++i) {
    cell.weight[i] = cell.weight[i] < 0.0 ? V{} : cell.weight[i];
    sum += cell.weight[i];
  }
  for (int i = 0; i < k; ++i) cell.weight[i] = some ? cell.weight[i] / sum : cell.weight[i];
  for (int i = 0; i < k; ++i) {  // |L' w|^2
    V t{};
    for (int j = i; j < k; ++j) t += cell.lower[j * (j + 1) / 2 + i] * cell.weight[j];
    square += t * t;
    linear += cell.weight[i] * covariance[i];
  }
  return some ? sill - 2.0 * linear + square : kept_variance;
}

template <int kFixed>
__attribute__((noinline)) Estimated krige_softly(const Systems& s, int lane, int count,
                                                 const V* covariance, const V* soft, double sill,
                                                 bool drop) {
  constexpr int kMax = kFixed > 0 ? kFixed : kMaxSurfaceNeighbours;
  const int k = kFixed > 0 ? kFixed : count;
  CellSystems<kMax> cell;
  V explained{}, ones{}, total{};
  I singular{};
GAUGELOOM_UNROLL(16)
  for (int i = 0; i < k; ++i) {
    V* const row = cell.lower + i * (i + 1) / 2;
    const double* const between = s.lower + i * (i + 1) / 2 * kLanes + lane;
    V pivot = sill + s.noise[i * kLanes + lane] + soft[i];
    V c = covariance[i];
    V one = all(1.0);
GAUGELOOM_UNROLL(16)
    for (int j = 0; j < i; ++j) {
      const V* const other = cell.lower + j * (j + 1) / 2;
      V sum = all(between[j * kLanes]);
GAUGELOOM_UNROLL(16)
      for (int p = 0; p < j; ++p) sum -= row[p] * other[p];
      sum *= cell.inverse_diagonal[j];
      row[j] = sum;
      pivot -= sum * sum;
      c -= sum * cell.covariance[j];
      one -= sum * cell.ones[j];
    }
    const I bad = pivot <= kSingularPivot * sill;
    singular |= bad;
    row[i] = square_root(bad ? all(1.0) : pivot);
    cell.inverse_diagonal[i] = 1.0 / row[i];
    cell.covariance[i] = c * cell.inverse_diagonal[i];
    cell.ones[i] = one * cell.inverse_diagonal[i];
    explained += cell.covariance[i] * cell.covariance[i];
    ones += cell.ones[i] * cell.covariance[i];
    total += cell.ones[i] * cell.ones[i];
  }
  const V mu = (1.0 - ones) / total;
  V variance = sill - explained + (1.0 - ones) * mu;
GAUGELOOM_UNROLL(16)
  for (int i = k - 1; i >= 0; --i) {  // L^-T (L^-1 c + mu L^-1 1)
    V w = cell.covariance[i] + mu * cell.ones[i];
GAUGELOOM_UNROLL(16)
    for (int j = i + 1; j < k; ++j) w -= cell.lower[j * (j + 1) / 2 + i] * cell.weight[j];
    cell.weight[i] = w * cell.inverse_diagonal[i];
  }
  if (drop) variance = drop_softly(k, covariance, sill, cell, variance);
  V value{};
  for (int i = 0; i < k; ++i) {
    value += cell.weight[i] * s.value[i * kLanes + lane];
    variance -= cell.weight[i] * cell.weight[i] * soft[i];
  }
  const V nothing = all(std::numeric_limits<double>::quiet_NaN());
  return {singular ? nothing : value, singular ? nothing : variance};
}
