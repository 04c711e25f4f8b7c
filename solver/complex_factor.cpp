// SPDX-License-Identifier: MIT
#include "solver/complex_factor.h"

#include <cmumps_c.h>
#include <zmumps_c.h>

#include <cassert>
#include <optional>

#include "solver/freed_memory.h"
#include "solver/mumps_factor.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// values += factor b, b on a part of the pattern of a.
void add_on_pattern(const SparseMatrix &a, const SparseMatrix &b, Complex factor, std::vector<Complex> &values) {
  for (int r = 0; r < a.rows(); ++r) {
    int at = a.outerIndexPtr()[r];
    for (SparseMatrix::InnerIterator it(b, r); it; ++it) {
      while (a.innerIndexPtr()[at] != it.col()) ++at;
      assert(at < a.outerIndexPtr()[r + 1]);
      values[std::size_t(at)] += factor * it.value();
    }
  }
}

}  // namespace

struct ComplexFactor::Instance {
  std::optional<MumpsFactor<CMUMPS_STRUC_C, cmumps_c>> single;
  std::optional<MumpsFactor<ZMUMPS_STRUC_C, zmumps_c>> whole;
};

ComplexFactor::ComplexFactor(const DampedProblem &p, double frequency, Complex shift, Digits digits)
    : instance_(std::make_unique<Instance>()) {
  const SparseMatrix &K = *p.stiffness;
  std::vector<Complex> values(std::size_t(K.nonZeros()));
  const Complex base = p.base(frequency);
  add_on_pattern(K, K, base, values);
  add_on_pattern(K, *p.mass, -shift, values);
  for (const LossyPart &part : p.parts) add_on_pattern(K, part.stiffness, part.scale(frequency) - base, values);
  std::vector<int> rows, columns, order(p.order);
  rows.reserve(values.size());
  columns.reserve(values.size());
  for (int r = 0; r < K.rows(); ++r)
    for (SparseMatrix::InnerIterator it(K, r); it; ++it) {
      rows.push_back(r + 1);
      columns.push_back(int(it.col()) + 1);
    }
  for (int &place : order) ++place;
  const auto factorise = [&](auto &mumps, auto &entries) {
    using Value = typename std::remove_reference_t<decltype(*mumps)>::Value;
    mumps.emplace(true, available_memory() / 3);
    mumps->factorise(int(K.rows()), std::int64_t(entries.size()), rows.data(), columns.data(),
                     reinterpret_cast<Value *>(entries.data()), order.empty() ? nullptr : order.data());
  };
  if (digits == Digits::all) {
    factorise(instance_->whole, values);
    return;
  }
  std::vector<std::complex<float>> rounded(values.begin(), values.end());
  std::vector<Complex>().swap(values);
  factorise(instance_->single, rounded);
}

ComplexFactor::~ComplexFactor() = default;

void ComplexFactor::solve(Eigen::MatrixXcd &x) const {
  const auto solve = [](auto &mumps, auto &columns) {
    using Value = typename std::remove_reference_t<decltype(*mumps)>::Value;
    mumps->solve(reinterpret_cast<Value *>(columns.data()), int(columns.rows()), int(columns.cols()));
  };
  if (instance_->whole) return solve(instance_->whole, x);
  Eigen::MatrixXcf rounded = x.cast<std::complex<float>>();
  solve(instance_->single, rounded);
  x = rounded.cast<Complex>();
}

}  // namespace stillbox
