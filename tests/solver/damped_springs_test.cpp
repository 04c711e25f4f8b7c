// SPDX-License-Identifier: MIT
// Damped modes of masses and springs: the complex eigenproblem against closed forms and dense algebra (Eigen's complex
// eigensolver).
#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>

#include "solver/damped_modes.h"
#include "solver/lapack.h"
#include "solver/sparse_factor.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

SparseMatrix sparse_lower(const Eigen::MatrixXd &a) {
  SparseMatrix lower(a.rows(), a.cols());
  for (int i = 0; i < a.rows(); ++i)
    for (int j = 0; j <= i; ++j)
      if (a(i, j) != 0 || i == j) lower.insert(i, j) = a(i, j);
  lower.makeCompressed();
  return lower;
}

// The damped modes with the factor of K - (2 pi up_to)^2 M that the real modes' solution would leave, and until nothing
// but rounding is left of the residuals.
std::vector<DampedMode> exact(const DampedProblem &p, double up_to, const EigenPairs &real) {
  SparseMatrix shifted = *p.stiffness - std::pow(2 * M_PI * up_to, 2) * *p.mass;
  std::vector<int> order(std::size_t(shifted.rows()));
  std::iota(order.begin(), order.end(), 0);
  const SparseFactor factor(shifted, order);
  DampedOptions options;
  options.tolerance = 5e-7;
  return exact_modes(p, factor, real, energy_modes(p, real), options);
}

// Two equal masses on springs k to the ground, joined by a spring c: in phase and against each other.
EigenPairs undamped_pair(double k, double c, double mass) {
  EigenPairs real;
  real.values.resize(2);
  real.values << k / mass, (k + 2 * c) / mass;
  real.vectors.resize(2, 2);
  real.vectors << 1, 1, 1, -1;
  real.vectors /= std::sqrt(2 * mass);
  return real;
}

// Two equal masses m on springs k to the ground, joined by a spring c (1 + i eta). In phase: k/m, no loss. Against each
// other: (k + 2c + 2 i c eta) / m, so eta_mode = 2 c eta / (k + 2c). Closed form.
TEST(DampedModes, TwoMassesAndALossySpring) {
  const double k = 1000, c = 300, mass = 2, eta = 1.3;
  Eigen::MatrixXd spring(2, 2), total(2, 2);
  spring << c, -c, -c, c;
  total = spring + k * Eigen::MatrixXd::Identity(2, 2);
  const SparseMatrix K = sparse_lower(total), M = sparse_lower(mass * Eigen::MatrixXd::Identity(2, 2));
  const EigenPairs real = undamped_pair(k, c, mass);
  DampedProblem p{&K, &M, [](double) { return Complex(1, 0); }};
  p.parts.push_back({"spring", sparse_lower(spring), [=](double) { return Complex(1, eta); }});
  for (const auto &modes : {exact(p, 10, real), energy_modes(p, real)}) {
    EXPECT_NEAR(modes[0].frequency, std::sqrt(k / mass) / (2 * M_PI), 1e-10);
    EXPECT_NEAR(modes[0].loss_factor, 0, 1e-12);
    EXPECT_NEAR(modes[1].frequency, std::sqrt((k + 2 * c) / mass) / (2 * M_PI), 1e-10);
    EXPECT_NEAR(modes[1].loss_factor, 2 * c * eta / (k + 2 * c), 1e-10);
  }
}

// Two equal masses m on springs k (1 + i eta_1), k (1 + i eta_2), joined by a weak lossless spring c. The undamped
// modes share the loss; the damped ones do not: lambda m = k (1 + i (eta_1 + eta_2) / 2) + c +- sqrt(c^2 - k^2 (eta_1 -
// eta_2)^2 / 4). Closed form. Small losses, and yet the energy method fails: energy_method_error must say so.
TEST(DampedModes, NeighboursWithDifferentLosses) {
  const double k = 1000, c = 10, mass = 2, eta[] = {0.01, 0.07};
  Eigen::MatrixXd first = Eigen::MatrixXd::Zero(2, 2), second = first, joint(2, 2);
  first(0, 0) = second(1, 1) = k;
  joint << c, -c, -c, c;
  const SparseMatrix K = sparse_lower(first + second + joint), M = sparse_lower(mass * Eigen::MatrixXd::Identity(2, 2));
  const EigenPairs real = undamped_pair(k, c, mass);
  DampedProblem p{&K, &M, [](double) { return Complex(1, 0); }};
  p.parts.push_back({"first", sparse_lower(first), [&](double) { return Complex(1, eta[0]); }});
  p.parts.push_back({"second", sparse_lower(second), [&](double) { return Complex(1, eta[1]); }});
  const std::vector<DampedMode> energy = energy_modes(p, real), found = exact(p, 5, real);
  const Complex middle = k * Complex(1, (eta[0] + eta[1]) / 2) + c;
  const Complex root = std::sqrt(Complex(c * c - std::pow(k * (eta[0] - eta[1]) / 2, 2)));
  double worst = 0;
  for (int sign : {-1, 1}) {
    const Complex lambda = (middle + double(sign) * root) / mass;
    const double loss = lambda.imag() / lambda.real();
    const auto is_it = [&](const DampedMode &mode) { return std::abs(mode.loss_factor - loss) < 1e-9; };
    EXPECT_EQ(std::count_if(found.begin(), found.end(), is_it), 1) << loss;
  }
  for (int i = 0; i < 2; ++i) worst = std::max(worst, std::abs(energy[i].loss_factor / found[i].loss_factor - 1));
  EXPECT_GT(worst, 1);
  EXPECT_NEAR(energy_method_error(p, real, energy), worst, 1e-6);
}

// A chain in which every other spring is 10^7 times as stiff, against the same chain with rigid links for the stiff
// springs (the lowest modes bend only the soft ones; independently recomputed).
TEST(DampedModes, StiffLinks) {
  const int pairs = 200, modes = 3;
  const double soft = 1e6, stiff = 1e13, eta = 0.8;
  Eigen::MatrixXd lossy = Eigen::MatrixXd::Zero(2 * pairs, 2 * pairs), rest = lossy,
                  rigid_lossy = Eigen::MatrixXd::Zero(pairs, pairs), rigid_rest = rigid_lossy;
  const auto add = [](Eigen::MatrixXd &k, int a, int b, double c) {
    k(a, a) += c;
    if (b < 0) return;
    k(b, b) += c;
    k(a, b) -= c;
    k(b, a) -= c;
  };
  for (int i = 0; i < pairs; ++i) {
    add(rest, 2 * i, 2 * i + 1, stiff);
    add(i % 3 == 0 ? lossy : rest, 2 * i, 2 * i - 1, soft);
    add(i % 3 == 0 ? rigid_lossy : rigid_rest, i, i - 1, soft);
  }
  const SymmetricPairs dense = symmetric_eigenpairs(lossy + rest, Eigen::MatrixXd::Identity(2 * pairs, 2 * pairs));
  EigenPairs real;
  real.values = dense.values.head(modes);
  real.vectors = dense.vectors.leftCols(modes);
  const SparseMatrix k = sparse_lower(lossy + rest), m = sparse_lower(Eigen::MatrixXd::Identity(2 * pairs, 2 * pairs));
  DampedProblem p{&k, &m, [](double) { return Complex(1, 0.01); }};
  p.parts.push_back({"lossy", sparse_lower(lossy), [=](double) { return Complex(1, eta); }});
  const double up_to = 1.1 * std::sqrt(real.values[modes - 1]) / (2 * M_PI);
  const auto found = exact(p, up_to, real);
  Eigen::VectorXcd values;
  Eigen::MatrixXcd vectors;
  dense_eigenpairs((Complex(1, eta) * rigid_lossy.cast<Complex>() + Complex(1, 0.01) * rigid_rest.cast<Complex>()) / 2,
                   values, vectors);
  for (int i = 0; i < modes; ++i) {
    const Complex lambda = std::pow(2 * M_PI * found[i].frequency, 2) * Complex(1, found[i].loss_factor);
    EXPECT_LT((values.array() - lambda).abs().minCoeff() / std::abs(lambda), 1e-5);
  }
}

// A chain of 80 masses with springs of three kinds, one of them with a modulus that rises with frequency, against
// Eigen's dense complex eigensolver at each mode's own frequency. Only the lowest 12 real modes are given.
TEST(DampedModes, ChainAgainstDenseAlgebra) {
  const int n = 80, modes = 12;
  std::mt19937 random(7);
  std::uniform_real_distribution<double> uniform(0.5, 1.5);
  Eigen::MatrixXd M = Eigen::MatrixXd::Zero(n, n), K[3];
  for (auto &k : K) k = Eigen::MatrixXd::Zero(n, n);
  for (int i = 0; i < n; ++i) {
    M(i, i) = uniform(random);
    const double c = 1e6 * uniform(random);
    Eigen::MatrixXd &k = K[(i / 5) % 3];
    k(i, i) += c;
    if (i + 1 < n) {
      k(i + 1, i + 1) += c;
      k(i, i + 1) -= c;
      k(i + 1, i) -= c;
    }
  }
  const auto base = [](double) { return Complex(1, 0.02); };
  const auto strong = [](double) { return Complex(1, 1.2); };
  const auto rising = [](double f) { return std::pow(f / 20, 0.4) * Complex(1, 0.6); };
  const Eigen::MatrixXd total = K[0] + K[1] + K[2];
  const SymmetricPairs dense = symmetric_eigenpairs(total, M);
  EigenPairs real;
  real.values = dense.values.head(modes);
  real.vectors = dense.vectors.leftCols(modes);
  const double up_to = std::sqrt((dense.values[modes - 1] + dense.values[modes]) / 2) / (2 * M_PI);
  const SparseMatrix k = sparse_lower(total), m = sparse_lower(M);
  DampedProblem p{&k, &m, base};
  p.parts.push_back({"strong", sparse_lower(K[1]), strong});
  p.parts.push_back({"rising", sparse_lower(K[2]), rising});
  const auto found = exact(p, up_to, real);
  ASSERT_EQ(int(found.size()), modes);
  std::vector<double> frequencies;
  for (const DampedMode &mode : found) {
    frequencies.push_back(mode.frequency);
    EXPECT_LT(mode.residual, 5e-7);
    const double f = mode.frequency;
    const Eigen::MatrixXcd A = M.inverse() * (base(f) * K[0].cast<Complex>() + strong(f) * K[1].cast<Complex>() +
                                              rising(f) * K[2].cast<Complex>());
    Eigen::VectorXcd values;
    Eigen::MatrixXcd vectors;
    dense_eigenpairs(A, values, vectors);
    const Complex lambda = std::pow(2 * M_PI * f, 2) * Complex(1, mode.loss_factor);
    EXPECT_LT((values.array() - lambda).abs().minCoeff() / std::abs(lambda), 1e-8);
  }
  std::sort(frequencies.begin(), frequencies.end());
  for (int i = 1; i < modes; ++i) EXPECT_GT(frequencies[i] / frequencies[i - 1], 1 + 1e-6);  // none found twice
}

}  // namespace
}  // namespace stillbox
