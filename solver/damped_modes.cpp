// SPDX-License-Identifier: MIT
#include "solver/damped_modes.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

using Complex = std::complex<double>;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;

double frequency_of(Complex lambda) { return std::sqrt(std::max(0.0, lambda.real())) / (2 * M_PI); }

MatrixXcd product_of(const SparseMatrix &lower, const MatrixXcd &x) {
  MatrixXd both(x.rows(), 2 * x.cols());
  both << x.real(), x.imag();
  both = multiply(lower, both);
  MatrixXcd y(x.rows(), x.cols());
  y.real() = both.leftCols(x.cols());
  y.imag() = both.rightCols(x.cols());
  return y;
}

// y = A' x for real A, without making A complex.
MatrixXcd transpose_times(const MatrixXd &a, const MatrixXcd &x) {
  MatrixXcd y(a.cols(), x.cols());
  y.real() = a.transpose() * x.real();
  y.imag() = a.transpose() * x.imag();
  return y;
}

MatrixXcd times(const MatrixXd &a, const MatrixXcd &x) {
  MatrixXcd y(a.rows(), x.cols());
  y.real() = a * x.real();
  y.imag() = a * x.imag();
  return y;
}

// The weight of each matrix, K first and then the parts, at a frequency.
VectorXcd weights_at(const DampedProblem &p, double frequency) {
  VectorXcd w(p.parts.size() + 1);
  w[0] = p.base(frequency);
  for (std::size_t i = 0; i < p.parts.size(); ++i) w[i + 1] = p.parts[i].scale(frequency) - w[0];
  return w;
}

// What all modes share: products of the real modes with the matrices.
struct Shared {
  const DampedProblem &problem;
  const EigenPairs &real;
  MatrixXd mass_product;                // M X
  std::vector<MatrixXd> part_products;  // K_p X
  std::vector<MatrixXd> projected;      // X' K X, X' K_p X
};

Shared make_shared_products(const DampedProblem &p, const EigenPairs &real) {
  Shared s{p, real, multiply(*p.mass, real.vectors), {}, {}};
  s.projected.push_back(real.values.asDiagonal());
  for (const LossyPart &part : p.parts) {
    s.part_products.push_back(multiply(part.stiffness, real.vectors));
    s.projected.push_back(real.vectors.transpose() * s.part_products.back());
  }
  return s;
}

// Corrections of one mode and their products. Galerkin basis: the real modes, then the corrections.
struct Work {
  std::vector<VectorXcd> w, Mw, Kw;
  std::vector<std::vector<VectorXcd>> parts;  // K_p w, by correction
  std::vector<MatrixXcd> A;                   // U' K U and U' K_p U
  MatrixXcd G;                                // U' M U
  VectorXcd y;                                // the mode in the basis
  Complex lambda = 0;
  double residual = 1;
  Complex last = 0;  // lambda one correction earlier
  int steps = 0;
  bool done = false;
  double best_residual = 1e300;
  VectorXcd best_y;
  Complex best_lambda = 0;
  int idle = 0;  // corrections since the residual last halved
};

// Converged; or the eigenvalue stands and corrections no longer bring the residual down, because rounding of the stiff
// terms is what is left of it.
bool is_done(Work &work, double tolerance) {
  constexpr double standing = 1e-7;
  constexpr int patience = 4;
  // Corrections that are nothing but rounding make the residual rise again.
  if (work.best_residual < 1e-3 && work.residual > 10 * work.best_residual) return true;
  if (work.residual < 0.5 * work.best_residual) {
    work.idle = 0;
  } else {
    ++work.idle;
  }
  if (work.residual < work.best_residual) {
    work.best_residual = work.residual;
    work.best_y = work.y;
    work.best_lambda = work.lambda;
  }
  return work.residual <= tolerance || (work.idle >= patience && work.best_residual < 1e-2 &&
                                        std::abs(work.lambda - work.last) < standing * std::abs(work.lambda));
}

void bilinear_normalise(const MatrixXcd &G, VectorXcd &y) {
  const Complex norm = (y.transpose() * G * y)(0);
  y /= std::sqrt(norm);
}

// The eigenpair of the projected problem nearest the present one, with the moduli at its own frequency.
void solve_projected(const DampedProblem &p, Work &work) {
  const int n = int(work.G.rows()), old = int(work.y.size());
  VectorXcd y = VectorXcd::Zero(n);
  y.head(old) = work.y;
  Complex lambda = work.lambda;
  for (int step = 0; step < 30; ++step) {
    const VectorXcd c = weights_at(p, frequency_of(lambda));
    MatrixXcd A = MatrixXcd::Zero(n, n);
    for (int i = 0; i < c.size(); ++i) A += c[i] * work.A[i];
    // Inverse iteration with a fixed shift first, so as not to slip to a neighbour; then Rayleigh quotients.
    const Complex rayleigh = (y.transpose() * A * y)(0) / (y.transpose() * work.G * y)(0);
    const Complex shift = step < 2 ? lambda * (1 + 1e-7) : rayleigh * (1.0 + 1e-14);
    VectorXcd next = (A - shift * work.G).partialPivLu().solve(work.G * y);
    next /= next.norm();
    bilinear_normalise(work.G, next);
    const Complex value = (next.transpose() * A * next)(0);
    y = next;
    const double change = std::abs(value - lambda) / std::abs(value);
    lambda = value;
    if (step >= 2 && change < 1e-13) break;
  }
  work.y = y;
  work.lambda = lambda;
}

// First choice of eigenpairs within the real modes alone: for each the one it has the largest part in.
void start_modes(const Shared &s, const std::vector<DampedMode> &guess, std::vector<Work> &works) {
  const int m = int(s.real.values.size());
  for (int i = 0; i < m; ++i) {
    Work &work = works[i];
    const VectorXcd c = weights_at(s.problem, guess[i].frequency);
    MatrixXcd A = MatrixXcd::Zero(m, m);
    for (int k = 0; k < c.size(); ++k) A += c[k] * s.projected[k];
    const Eigen::ComplexEigenSolver<MatrixXcd> solver(A);
    int best = 0;
    double most = -1;
    for (int k = 0; k < m; ++k) {
      const VectorXcd v = solver.eigenvectors().col(k);
      const double part = std::abs(v[i]) / v.norm();
      if (part > most) {
        most = part;
        best = k;
      }
    }
    work.y = solver.eigenvectors().col(best);
    work.lambda = solver.eigenvalues()[best];
    for (const MatrixXd &a : s.projected) work.A.push_back(a.cast<Complex>());
    work.G = MatrixXcd::Identity(m, m);
    bilinear_normalise(work.G, work.y);
  }
}

// r = K*(f) x - lambda M x of several modes from the stored products, with K X = M X Lambda for the real modes. The
// large matrices are read once for all modes together: this is what the time goes into.
MatrixXcd residuals_of(const Shared &s, const std::vector<Work *> &works) {
  const int m = int(s.real.values.size()), count = int(works.size());
  const VectorXcd values = s.real.values.cast<Complex>();
  MatrixXcd mass_heads(m, 2 * count);  // of M x, then of the base part of K* x
  std::vector<MatrixXcd> part_heads(s.part_products.size(), MatrixXcd(m, count));
  std::vector<VectorXcd> weights;
  for (int i = 0; i < count; ++i) {
    weights.push_back(weights_at(s.problem, frequency_of(works[i]->lambda)));
    const VectorXcd head = works[i]->y.head(m);
    mass_heads.col(i) = head;
    mass_heads.col(count + i) = weights[i][0] * values.cwiseProduct(head);
    for (std::size_t p = 0; p < part_heads.size(); ++p) part_heads[p].col(i) = weights[i][p + 1] * head;
  }
  const MatrixXcd both = times(s.mass_product, mass_heads);
  MatrixXcd Mx = both.leftCols(count), r = both.rightCols(count);
  for (std::size_t p = 0; p < part_heads.size(); ++p) r += times(s.part_products[p], part_heads[p]);
  for (int i = 0; i < count; ++i) {
    Work &work = *works[i];
    for (std::size_t k = 0; k < work.w.size(); ++k) {
      const Complex y = work.y[m + int(k)];
      Mx.col(i) += y * work.Mw[k];
      r.col(i) += weights[i][0] * y * work.Kw[k];
      for (std::size_t p = 0; p < part_heads.size(); ++p) r.col(i) += weights[i][p + 1] * y * work.parts[k][p];
    }
    r.col(i) -= work.lambda * Mx.col(i);
    work.residual = r.col(i).norm() / (std::abs(work.lambda) * Mx.col(i).norm());
  }
  return r;
}

// Makes a correction M-orthogonal to the earlier ones of its mode, so that the basis stays well conditioned, and
// scales it.
void orthogonalise(const Work &work, VectorXcd &w, VectorXcd &Mw, VectorXcd &Kw, std::vector<VectorXcd> &parts) {
  for (std::size_t k = 0; k < work.w.size(); ++k) {
    const Complex part = work.Mw[k].dot(w);
    w -= part * work.w[k];
    Mw -= part * work.Mw[k];
    Kw -= part * work.Kw[k];
    for (std::size_t p = 0; p < parts.size(); ++p) parts[p] -= part * work.parts[k][p];
  }
  const double size = 1 / std::sqrt(std::abs(w.dot(Mw)));
  w *= size;
  Mw *= size;
  Kw *= size;
  for (VectorXcd &part : parts) part *= size;
}

// One row and column more: products of the new correction with the real modes (`head`), the earlier ones and itself.
void extend(const Work &work, const VectorXcd &head, const VectorXcd &w, const VectorXcd &product, MatrixXcd &A) {
  const int m = int(head.size()), n = m + int(work.w.size());
  VectorXcd column(n + 1);
  column.head(m) = head;
  for (int k = m; k < n; ++k) column[k] = (work.w[k - m].transpose() * product)(0);
  column[n] = (w.transpose() * product)(0);
  A.conservativeResize(n + 1, n + 1);
  A.col(n) = column;
  A.row(n) = column.transpose();
}

// One correction for each of the listed modes: w = (K - shift M)^-1 r, so that K w = r + shift M w, made M-orthogonal
// to the real modes.
void correct(const Shared &s, const SparseFactor &factor, double shift, const std::vector<Work *> &open,
             const MatrixXcd &residuals) {
  const int count = int(open.size());
  const std::size_t parts = s.part_products.size();
  MatrixXd rhs(residuals.rows(), 2 * count);
  rhs << residuals.real(), residuals.imag();
  factor.solve(rhs);
  MatrixXcd w(residuals.rows(), count);
  w.real() = rhs.leftCols(count);
  w.imag() = rhs.rightCols(count);
  const MatrixXcd h = transpose_times(s.mass_product, w);
  std::vector<MatrixXcd> products;  // M w, K w, K_p w
  products.push_back(product_of(*s.problem.mass, w));
  products.push_back(residuals + shift * products[0] -
                     times(s.mass_product, s.real.values.cast<Complex>().asDiagonal() * h));
  for (const LossyPart &part : s.problem.parts) products.push_back(product_of(part.stiffness, w));
  products[0] -= times(s.mass_product, h);
  for (std::size_t p = 0; p < parts; ++p) products[p + 2] -= times(s.part_products[p], h);
  w -= times(s.real.vectors, h);
  for (int i = 0; i < count; ++i) {
    VectorXcd x = w.col(i), Mx = products[0].col(i), Kx = products[1].col(i);
    std::vector<VectorXcd> px;
    for (std::size_t p = 0; p < parts; ++p) px.push_back(products[p + 2].col(i));
    orthogonalise(*open[i], x, Mx, Kx, px);
    w.col(i) = x;
    products[0].col(i) = Mx;
    products[1].col(i) = Kx;
    for (std::size_t p = 0; p < parts; ++p) products[p + 2].col(i) = px[p];
  }
  std::vector<MatrixXcd> heads;
  for (const MatrixXcd &product : products) heads.push_back(transpose_times(s.real.vectors, product));
  for (int i = 0; i < count; ++i) {
    Work &work = *open[i];
    const VectorXcd x = w.col(i);
    extend(work, heads[0].col(i), x, products[0].col(i), work.G);
    for (std::size_t k = 1; k < products.size(); ++k)
      extend(work, heads[k].col(i), x, products[k].col(i), work.A[k - 1]);
    work.w.push_back(x);
    work.Mw.push_back(products[0].col(i));
    work.Kw.push_back(products[1].col(i));
    work.parts.emplace_back();
    for (std::size_t p = 0; p < parts; ++p) work.parts.back().push_back(products[p + 2].col(i));
    work.last = work.lambda;
    solve_projected(s.problem, work);
    ++work.steps;
  }
}

VectorXcd shape_of(const Shared &s, const Work &work) {
  const int m = int(s.real.values.size());
  VectorXcd x = times(s.real.vectors, work.best_y.head(m));
  for (int k = m; k < work.best_y.size(); ++k) x += work.best_y[k] * work.w[k - m];
  return x;
}

}  // namespace

std::vector<DampedMode> energy_modes(const DampedProblem &p, const EigenPairs &real) {
  const int modes = int(real.values.size());
  MatrixXd energy(p.parts.size() + 1, modes);
  energy.row(0) = real.values.transpose();
  for (std::size_t k = 0; k < p.parts.size(); ++k)
    energy.row(k + 1) = real.vectors.cwiseProduct(multiply(p.parts[k].stiffness, real.vectors)).colwise().sum();
  std::vector<DampedMode> result(modes);
  for (int i = 0; i < modes; ++i) {
    Complex lambda = real.values[i];
    for (int step = 0; step < 50; ++step) {
      const Complex next = (weights_at(p, frequency_of(lambda)).transpose() * energy.col(i).cast<Complex>())(0);
      const double change = std::abs(next - lambda) / std::abs(next);
      lambda = next;
      if (change < 1e-12) break;
    }
    result[i].frequency = frequency_of(lambda);
    result[i].loss_factor = lambda.imag() / lambda.real();
  }
  return result;
}

std::vector<DampedMode> exact_modes(const DampedProblem &p, const SparseFactor &factor, double shift,
                                    const EigenPairs &real, const DampedOptions &options) {
  const int modes = int(real.values.size());
  std::vector<DampedMode> result = energy_modes(p, real);
  if (modes == 0) return result;
  const Shared shared = make_shared_products(p, real);
  std::vector<Work> works(modes);
  start_modes(shared, result, works);
  for (int first = 0; first < modes; first += options.batch) {
    const int end = std::min(modes, first + options.batch);
    for (int step = 0;; ++step) {
      std::vector<Work *> asked, open;
      for (int i = first; i < end; ++i) {
        if (step == 0) solve_projected(p, works[i]);
        if (!works[i].done) asked.push_back(&works[i]);
      }
      const MatrixXcd all = residuals_of(shared, asked);
      MatrixXcd residuals(all.rows(), all.cols());
      for (std::size_t i = 0; i < asked.size(); ++i) {
        if ((asked[i]->done = is_done(*asked[i], options.tolerance))) continue;
        residuals.col(Eigen::Index(open.size())) = all.col(Eigen::Index(i));
        open.push_back(asked[i]);
      }
      if (open.empty()) break;
      residuals.conservativeResize(Eigen::NoChange, Eigen::Index(open.size()));
      if (step >= options.most_steps)
        throw SolveError("a damped mode near " + std::to_string(int(frequency_of(open[0]->lambda))) +
                         " Hz did not converge; use the energy method or a lower top frequency");
      correct(shared, factor, shift, open, residuals);
    }
    for (int i = first; i < end; ++i) {
      DampedMode &mode = result[i];
      mode.frequency = frequency_of(works[i].best_lambda);
      mode.loss_factor = works[i].best_lambda.imag() / works[i].best_lambda.real();
      mode.residual = works[i].best_residual;
      mode.steps = works[i].steps;
      mode.shape = shape_of(shared, works[i]);
      works[i] = Work();
    }
    if (options.progress) options.progress(end, modes);
  }
  for (int i = 0; i < modes; ++i)
    for (int j = 0; j < i; ++j) {
      if (std::abs(result[i].frequency / result[j].frequency - 1) > 1e-9) continue;
      const Complex overlap = (result[i].shape.transpose() * product_of(*p.mass, result[j].shape))(0);
      if (std::abs(overlap) > 0.9)
        throw SolveError("two damped modes near " + std::to_string(int(result[i].frequency)) +
                         " Hz cannot be told apart; use the energy method for this case");
    }
  return result;
}

}  // namespace stillbox
