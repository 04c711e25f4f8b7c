// SPDX-License-Identifier: MIT
#include "solver/direct_response.h"

#include <zmumps_c.h>

#include <cmath>
#include <complex>
#include <string>
#include <vector>

#include "solver/lossy_parts.h"
#include "solver/mumps_setup.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// A lower triangle as MUMPS takes it; entries that are listed twice are added up by MUMPS.
struct Entries {
  std::vector<int> rows, columns;
  std::vector<Complex> values;

  void add(const SparseMatrix &lower, Complex factor) {
    for (int r = 0; r < lower.rows(); ++r)
      for (SparseMatrix::InnerIterator it(lower, r); it; ++it) {
        rows.push_back(r + 1);
        columns.push_back(int(it.col()) + 1);
        values.push_back(factor * it.value());
      }
  }
};

// MUMPS's data with its memory given back at the end.
struct ComplexMumps {
  ZMUMPS_STRUC_C id{};
  ComplexMumps() {
    set_up_symmetric(id);
    call(-1);
  }
  ~ComplexMumps() {
    id.job = -2;
    zmumps_c(&id);
  }
  ComplexMumps(const ComplexMumps &) = delete;
  ComplexMumps &operator=(const ComplexMumps &) = delete;
  void call(int job) {
    id.job = job;
    zmumps_c(&id);
    const int code = id.infog[0];
    if (code == -10) throw SolveError("the direct solution fails: nothing resists at this frequency");
    if (code < 0)
      throw SolveError("the direct solution fails, most often for want of memory (MUMPS code " + std::to_string(code) +
                       ")");
  }
};

}  // namespace

Eigen::MatrixXcd direct_receptance(const Model &m, const SampleColumns &loads, const SampleColumns &responses,
                                   double frequency) {
  const DampedProblem problem = make_damped_problem(m);
  const Complex base = problem.base(frequency);
  const double omega = 2 * M_PI * frequency;
  Entries entries;
  entries.add(*problem.stiffness, base);
  entries.add(*problem.mass, -omega * omega);
  for (const LossyPart &part : problem.parts) entries.add(part.stiffness, part.scale(frequency) - base);
  Eigen::MatrixXcd x = Eigen::MatrixXd(loads).cast<Complex>();
  ComplexMumps mumps;
  ZMUMPS_STRUC_C &id = mumps.id;
  take_matrix_as_it_is(id);
  id.icntl[6] = 5;    // order by METIS
  id.icntl[13] = 40;  // per cent of spare work space
  id.n = int(m.system.stiffness.rows());
  id.nnz = int64_t(entries.values.size());
  id.irn = entries.rows.data();
  id.jcn = entries.columns.data();
  id.a = reinterpret_cast<ZMUMPS_COMPLEX *>(entries.values.data());
  mumps.call(1);
  mumps.call(2);
  id.rhs = reinterpret_cast<ZMUMPS_COMPLEX *>(x.data());
  id.nrhs = int(x.cols());
  id.lrhs = int(x.rows());
  id.icntl[26] = int(x.cols());
  mumps.call(3);
  return responses.transpose().cast<Complex>() * x;
}

}  // namespace stillbox
