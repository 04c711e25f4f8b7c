// SPDX-License-Identifier: MIT
#include "solver/complex_factor.h"

#include <zmumps_c.h>

#include <cassert>

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
  MumpsFactor<ZMUMPS_STRUC_C, zmumps_c> mumps{true, available_memory() / 3};
};

ComplexFactor::ComplexFactor(const DampedProblem &p, double frequency, Complex shift) {
  const SparseMatrix &K = *p.stiffness;
  std::vector<Complex> values(std::size_t(K.nonZeros()));
  const Complex base = p.base(frequency);
  add_on_pattern(K, K, base, values);
  add_on_pattern(K, *p.mass, -shift, values);
  for (const LossyPart &part : p.parts) add_on_pattern(K, part.stiffness, part.scale(frequency) - base, values);
  std::vector<int> rows, columns;
  rows.reserve(values.size());
  columns.reserve(values.size());
  for (int r = 0; r < K.rows(); ++r)
    for (SparseMatrix::InnerIterator it(K, r); it; ++it) {
      rows.push_back(r + 1);
      columns.push_back(int(it.col()) + 1);
    }
  instance_ = std::make_unique<Instance>();
  instance_->mumps.factorise(int(K.rows()), std::int64_t(values.size()), rows.data(), columns.data(),
                             reinterpret_cast<ZMUMPS_COMPLEX *>(values.data()), nullptr);
}

ComplexFactor::~ComplexFactor() = default;

void ComplexFactor::solve(Eigen::MatrixXcd &x) const {
  instance_->mumps.solve(reinterpret_cast<ZMUMPS_COMPLEX *>(x.data()), int(x.rows()), int(x.cols()));
}

}  // namespace stillbox
