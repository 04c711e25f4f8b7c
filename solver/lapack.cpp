// SPDX-License-Identifier: MIT
#include "solver/lapack.h"

#include <vector>

#include "solver/discretisation.h"

extern "C" {
void zgesv_(const int *n, const int *nrhs, std::complex<double> *a, const int *lda, int *pivots,
            std::complex<double> *b, const int *ldb, int *info);
void zgeev_(const char *jobvl, const char *jobvr, const int *n, std::complex<double> *a, const int *lda,
            std::complex<double> *w, std::complex<double> *vl, const int *ldvl, std::complex<double> *vr,
            const int *ldvr, std::complex<double> *work, const int *lwork, double *rwork, int *info);
void zheev_(const char *jobz, const char *uplo, const int *n, std::complex<double> *a, const int *lda, double *w,
            std::complex<double> *work, const int *lwork, double *rwork, int *info);
}

namespace stillbox {

Eigen::MatrixXcd solve_dense(Eigen::MatrixXcd A, Eigen::MatrixXcd b) {
  const int n = int(A.rows()), columns = int(b.cols());
  int info = 0;
  std::vector<int> pivots(n);
  zgesv_(&n, &columns, A.data(), &n, pivots.data(), b.data(), &n, &info);
  if (info != 0) throw SolveError("a dense system of equations is singular");
  return b;
}

void dense_eigenpairs(Eigen::MatrixXcd A, Eigen::VectorXcd &values, Eigen::MatrixXcd &vectors) {
  const int n = int(A.rows()), one = 1, space = 64 * n;
  int info = 0;
  values.resize(n);
  vectors.resize(n, n);
  std::complex<double> left;
  std::vector<std::complex<double>> work(space);
  std::vector<double> more(2 * n);
  zgeev_("N", "V", &n, A.data(), &n, values.data(), &left, &one, vectors.data(), &n, work.data(), &space, more.data(),
         &info);
  if (info != 0) throw SolveError("the eigenvalues of a dense matrix cannot be found");
}

void hermitian_eigenpairs(const Eigen::MatrixXcd &A, Eigen::VectorXd &values, Eigen::MatrixXcd &vectors) {
  const int n = int(A.rows()), space = 64 * n;
  int info = 0;
  values.resize(n);
  vectors = A;
  std::vector<std::complex<double>> work(space);
  std::vector<double> more(3 * n);
  zheev_("V", "L", &n, vectors.data(), &n, values.data(), work.data(), &space, more.data(), &info);
  if (info != 0) throw SolveError("the eigenvalues of a dense matrix cannot be found");
}

}  // namespace stillbox
