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
void dsyevd_(const char *jobz, const char *uplo, const int *n, double *a, const int *lda, double *w, double *work,
             const int *lwork, int *iwork, const int *liwork, int *info);
void dsygvd_(const int *itype, const char *jobz, const char *uplo, const int *n, double *a, const int *lda, double *b,
             const int *ldb, double *w, double *work, const int *lwork, int *iwork, const int *liwork, int *info);
void dpotrf_(const char *uplo, const int *n, double *a, const int *lda, int *info);
void dpotri_(const char *uplo, const int *n, double *a, const int *lda, int *info);
}

namespace stillbox {
namespace {

// Values of A (M empty) or of A with M; the vectors take A's place where `vectors` is 'V'.
Eigen::VectorXd symmetric_in_place(char vectors, Eigen::MatrixXd &A, Eigen::MatrixXd *M) {
  const int n = int(A.rows()), type = 1, ask = -1;
  Eigen::VectorXd values(n);
  if (n == 0) return values;
  if (!A.allFinite() || (M && !M->allFinite())) throw SolveError("a dense matrix holds a value that is not a number");
  std::vector<double> work(1);
  std::vector<int> more(1);
  int info = 0, space = ask, more_space = ask;
  for (int pass = 0; pass < 2; ++pass) {  // asks for the room needed, then works
    if (M)
      dsygvd_(&type, &vectors, "L", &n, A.data(), &n, M->data(), &n, values.data(), work.data(), &space, more.data(),
              &more_space, &info);
    else
      dsyevd_(&vectors, "L", &n, A.data(), &n, values.data(), work.data(), &space, more.data(), &more_space, &info);
    if (pass > 0 || info != 0) break;
    space = int(work[0]);
    more_space = more[0];
    work.resize(std::size_t(space));
    more.resize(std::size_t(more_space));
  }
  if (info > n) throw SolveError("the mass matrix of a small problem is not positive definite");
  if (info != 0) throw SolveError("the eigenvalues of a dense matrix cannot be found");
  return values;
}

}  // namespace

SymmetricPairs symmetric_eigenpairs(Eigen::MatrixXd A) {
  SymmetricPairs pairs;
  pairs.values = symmetric_in_place('V', A, nullptr);
  pairs.vectors = std::move(A);
  return pairs;
}

Eigen::VectorXd symmetric_eigenvalues(Eigen::MatrixXd A) { return symmetric_in_place('N', A, nullptr); }

SymmetricPairs symmetric_eigenpairs(Eigen::MatrixXd K, Eigen::MatrixXd M) {
  SymmetricPairs pairs;
  pairs.values = symmetric_in_place('V', K, &M);
  pairs.vectors = std::move(K);
  return pairs;
}

bool invert_definite(Eigen::MatrixXd &A) {
  const int n = int(A.rows());
  int info = 0;
  Eigen::MatrixXd inverse = A;
  dpotrf_("L", &n, inverse.data(), &n, &info);
  if (info == 0) dpotri_("L", &n, inverse.data(), &n, &info);
  if (info != 0) return false;
  inverse.triangularView<Eigen::StrictlyUpper>() = inverse.transpose();
  A = std::move(inverse);
  return true;
}

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
