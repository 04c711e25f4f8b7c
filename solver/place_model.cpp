// SPDX-License-Identifier: MIT
#include "solver/place_model.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <future>

#include "solver/blas_threads.h"
#include "solver/lapack.h"
#include "solver/place_alike.h"
#include "solver/place_poles.h"
#include "solver/place_ritz.h"

namespace stillbox {
namespace {

constexpr double above_top = 1.08;  // modes of full solutions reach so far beyond the top frequency
constexpr double dependent = 1e-9;  // squared share of a base vector that counts as new
constexpr double window = 1.15;     // modes up to so far beyond the top frequency are corrected: some will come down
constexpr double good_interpolation = 5e-4;   // relative error of a frequency at a place held out
constexpr double worst_interpolation = 5e-3;  // the same with all nodes but the one held out
constexpr double small_correction = 1e-5;     // the same for corrections: what is less changes frequencies by less yet

Eigen::MatrixXd symmetric(const Eigen::MatrixXd &a) { return (a + a.transpose()) / 2; }

// The one loss factor that everything has, or nothing.
bool has_one_loss(const Structure &s, double &loss) {
  if (!s.feet.empty() || !s.bonds.empty()) return false;
  bool is_first = true;
  for (const Board &board : s.boards)
    for (const Layer &layer : board.layers) {
      const double own = s.materials[layer.material].loss_factor;
      if (!is_first && own != loss) return false;
      loss = own;
      is_first = false;
    }
  return true;
}

void grow(Eigen::MatrixXd &a, const Eigen::MatrixXd &more) {
  a.conservativeResize(more.rows(), a.cols() + more.cols());
  a.rightCols(more.cols()) = more;
}

// Basis, M-orthonormal at the middle structure; columns are only ever appended.
struct Basis {
  Eigen::MatrixXd V, MV;  // of the middle structure's M
  // Adds what is new in `columns`; the squared share of a unit column below `least` does not count as new.
  int append(const Eigen::MatrixXd &columns, const SparseMatrix &mass, double least, bool normalise) {
    if (columns.cols() == 0) return 0;
    Eigen::MatrixXd w = columns;
    Eigen::MatrixXd Mw = multiply(mass, w);
    if (normalise)
      for (int i = 0; i < w.cols(); ++i) {
        const double norm = std::sqrt(w.col(i).dot(Mw.col(i)));
        w.col(i) /= norm;
        Mw.col(i) /= norm;
      }
    if (V.cols() > 0)
      for (int pass = 0; pass < 2; ++pass) {
        const Eigen::MatrixXd h = MV.transpose() * w;
        w -= V * h;
        Mw -= MV * h;
      }
    const SymmetricPairs gram = symmetric_eigenpairs(symmetric(w.transpose() * Mw));
    int first = 0;
    const int count = int(w.cols());
    while (first < count && gram.values[first] < least) ++first;
    const int added = count - first;
    if (added == 0) return 0;
    const Eigen::MatrixXd T =
        gram.vectors.rightCols(added) * gram.values.tail(added).cwiseSqrt().cwiseInverse().asDiagonal();
    grow(V, w * T);
    grow(MV, Mw * T);
    return added;
  }
};

struct Builder {
  const AlikeModels &alike;
  const std::vector<double> &all;  // places of the structures
  PlaceModel &out;
  Basis basis;
  SparseMatrix mass;                                   // of the middle structure
  std::vector<std::unique_ptr<SparseFactor>> factors;  // by node, null where there was no full solution

  void say(const std::string &what) const {
    if (alike.options.progress) alike.options.progress(what);
  }

  void solve_at(int k) {
    say("full solution " + std::to_string(out.solutions + 1) + " of the row");
    Model m = alike.model(k);
    SolveOptions options = alike.options;
    options.up_to *= above_top;
    SolveReport report;
    Spectrum spectrum = solve_spectrum(m, options, report, {true, 0});
    out.rigid = spectrum.rigid;
    if (mass.rows() == 0) mass.swap(m.system.mass);  // the middle is the first
    if (spectrum.rigid_motions.cols() > 0) basis.append(spectrum.rigid_motions, mass, dependent, true);
    if (spectrum.elastic.vectors.cols() > 0) basis.append(spectrum.elastic.vectors, mass, dependent, true);
    factors[k] = std::move(spectrum.factor);
    ++out.solutions;
  }

  int nearest_factor(int k) const {
    int best = -1;
    for (int i = 0; i < int(factors.size()); ++i)
      if (factors[i] && (best < 0 || std::abs(i - k) < std::abs(best - k))) best = i;
    return best;
  }

  struct Refinement {
    double doubt = 0;             // how far frequencies fall when the corrections join the basis
    int below = 0;                // Ritz values below the shift of full solutions, rigid ones included
    Eigen::MatrixXd corrections;  // unknowns x modes
  };

  struct Products {
    Eigen::MatrixXd KV, MV;  // of the first columns of the basis with a place's matrices
  };

  // One correction of each mode that the basis gives at a place. `known` grows to all of the basis.
  Refinement refine(const Model &m, const SparseFactor &factor, Products &known) const {
    const OneBlasThread one_thread;
    auto &[KV, MV] = known;
    const Eigen::MatrixXd fresh = basis.V.rightCols(basis.V.cols() - KV.cols());
    if (fresh.cols() > 0) {
      grow(KV, multiply(m.system.stiffness, fresh));
      grow(MV, multiply(m.system.mass, fresh));
    }
    const Eigen::MatrixXd K = symmetric(basis.V.transpose() * KV), M = symmetric(basis.V.transpose() * MV);
    const SymmetricPairs before = symmetric_eigenpairs(K, M);
    Refinement found;
    found.below = modes_below(before, 0, alike.options.up_to * above_top);
    const int end = modes_below(before, out.rigid, alike.options.up_to * window);
    if (end == out.rigid) return found;
    const Eigen::MatrixXd y = before.vectors.middleCols(out.rigid, end - out.rigid);
    const Eigen::VectorXd lambda = before.values.segment(out.rigid, end - out.rigid);
    Eigen::MatrixXd r = KV * y - MV * (y * lambda.asDiagonal());
    factor.solve(r);
    const Eigen::MatrixXd &w = r;
    const Eigen::MatrixXd Kw = multiply(m.system.stiffness, w), Mw = multiply(m.system.mass, w);
    const int n = int(basis.V.cols()), c = int(w.cols());
    Eigen::MatrixXd K2(n + c, n + c), M2(n + c, n + c);
    const Eigen::VectorXd scale =
        (w.cwiseProduct(Mw)).colwise().sum().transpose().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
    const auto join = [&](const Eigen::MatrixXd &own, const Eigen::MatrixXd &AV, const Eigen::MatrixXd &Aw,
                          Eigen::MatrixXd &all_) {
      all_.topLeftCorner(n, n) = own;
      all_.topRightCorner(n, c) = (AV.transpose() * w) * scale.asDiagonal();
      all_.bottomLeftCorner(c, n) = all_.topRightCorner(n, c).transpose();
      all_.bottomRightCorner(c, c) = scale.asDiagonal() * (w.transpose() * Aw) * scale.asDiagonal();
    };
    join(K, KV, Kw, K2);
    join(M, MV, Mw, M2);
    const SymmetricPairs sound = symmetric_eigenpairs(symmetric(M2));
    int first = 0;
    while (first < n + c && sound.values[first] < 1e-9 * sound.values[n + c - 1]) ++first;
    const Eigen::MatrixXd T = sound.vectors.rightCols(n + c - first) *
                              sound.values.tail(n + c - first).cwiseSqrt().cwiseInverse().asDiagonal();
    const Eigen::VectorXd after = symmetric_eigenvalues(symmetric(T.transpose() * K2 * T));
    const int inside = modes_below(before, out.rigid, alike.options.up_to);
    for (int i = out.rigid; i < inside; ++i)
      found.doubt = std::max(found.doubt, std::sqrt(before.values[i] / after[i]) - 1);
    found.corrections.swap(r);
    return found;
  }

  // As solve_at, but from what the basis knows already: a factorisation and two or three corrections. The inertia of
  // the factor tells whether all modes were found; if not, or they do not settle, there is a full solution.
  void complete_at(int k, double tolerance) {
    {
      say("completing the row");
      Model m = alike.model(k);
      factors[k] = factor_shifted(m, std::pow(2 * M_PI * alike.options.up_to * above_top, 2));
      ++out.factorisations;
      // Rotations of the whole depend on where the nodes are, linearly in p: those of two places are enough.
      basis.append(whole_motions(m.unknowns, m.discretisation), mass, dependent, true);
      Products known;
      for (int pass = 0; pass < 3; ++pass) {
        const Refinement found = refine(m, *factors[k], known);
        say("doubt " + std::to_string(100 * found.doubt) + " %, " + std::to_string(found.below) + " of " +
            std::to_string(factors[k]->negatives()) + " modes");
        if (pass > 0 && found.below == factors[k]->negatives() && found.doubt <= tolerance) return;
        basis.append(found.corrections, mass, small_correction, false);
      }
    }
    factors[k].reset();
    solve_at(k);
  }

  // Calls `work` for the models at some places; the next one is made meanwhile.
  void for_each_model(const std::vector<int> &places, const std::function<void(int, const Model &)> &work) const {
    std::future<Model> next;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const Model m = next.valid() ? next.get() : alike.model(places[i]);
      if (i + 1 < places.size())
        next = std::async(std::launch::async, [&alike = alike, k = places[i + 1]] { return alike.model(k); });
      work(places[i], m);
    }
  }

  // Corrections of the modes at every even node without a factor; the doubt at each.
  std::vector<double> correct() {
    std::vector<double> doubt(all.size(), 0);
    std::vector<Eigen::MatrixXd> corrections;
    std::vector<int> places;
    for (int k = 0; k < int(all.size()); k += 2)
      if (!factors[k]) places.push_back(k);
    for_each_model(places, [&](int k, const Model &m) {
      say("corrections of the row");
      Products known;
      Refinement found = refine(m, *factors[nearest_factor(k)], known);
      doubt[k] = found.doubt;
      corrections.push_back(std::move(found.corrections));
    });
    // In units of the modes they correct: what is small does little.
    for (const Eigen::MatrixXd &r : corrections) basis.append(r, mass, small_correction, false);
    return doubt;
  }

  // The reduced matrices at a place.
  void project(int k) {
    say("reduced model of the row, place " + std::to_string(k + 1));
    const auto at = std::lower_bound(out.nodes.begin(), out.nodes.end(), all[k]) - out.nodes.begin();
    out.nodes.insert(out.nodes.begin() + at, all[k]);
    out.weight.insert(out.weight.begin() + at, out.stretch.rows() > 0 ? weight_at(out, all[k]) : 1);
    const Model m = alike.without_matrices(k);
    const ReducedModel r = reduced_model(m, basis.V, !has_one_loss(*m.structure, out.loss_factor));
    out.stiffness.insert(out.stiffness.begin() + at, symmetric(r.stiffness));
    out.mass.insert(out.mass.begin() + at, symmetric(r.mass));
    if (r.loss.size() > 0) out.loss.insert(out.loss.begin() + at, symmetric(r.loss));
    if (k == int(all.size()) / 2) out.samples = wall_samples(m).transpose() * basis.V;
  }
};

}  // namespace

PlaceModel make_place_model(const std::vector<Structure> &structures, const std::vector<double> &nodes,
                            const SolveOptions &options, double tolerance) {
  PlaceModel out;
  out.up_to = options.up_to;
  find_stretches(structures, nodes, out);
  const Eigen::MatrixXd stretch = out.stretch;
  if (options.progress) options.progress("meshing the row");
  const AlikeModels alike(structures, options);
  const int count = int(nodes.size()), last = count - 1, middle = count / 2;
  Builder builder{alike, nodes, out, {}, {}, std::vector<std::unique_ptr<SparseFactor>>(nodes.size())};
  builder.solve_at(middle);
  builder.complete_at(0, tolerance);
  builder.complete_at(last, tolerance);
  for (;;) {
    const std::vector<double> doubt = builder.correct();
    const auto worst = std::max_element(doubt.begin(), doubt.end());
    out.doubt = *worst;
    builder.say("doubt " + std::to_string(100 * out.doubt) + " %");
    if (out.doubt <= tolerance) break;
    builder.complete_at(int(worst - doubt.begin()), tolerance);
  }
  builder.factors.clear();
  std::vector<int> places{1, last - 1}, others;
  for (int k = 0; k < count; k += 2) places.push_back(k);
  for (int k = 3; k < last - 1; k += 2) others.push_back(k);
  for (int k : places) builder.project(k);
  // The rational functions against places they do not know; when they are off, the others join.
  out.interpolation = choose_poles(stretch, out);
  builder.say("interpolation off by " + std::to_string(100 * out.interpolation) + " %");
  if (out.interpolation <= good_interpolation) return out;
  for (int k : others) builder.project(k);
  out.interpolation = choose_poles(stretch, out);
  if (out.interpolation > worst_interpolation)
    throw MeshError("the row is too long: rings around cut-outs change too much along it");
  return out;
}

}  // namespace stillbox
