// SPDX-License-Identifier: MIT
#include "solver/mass_product.h"

namespace stillbox {
namespace {

// Whether rows r, r + 1, r + 2 hold the same numbers, each one column further.
bool is_alike(const SparseMatrix &m, int r) {
  const int *start = m.outerIndexPtr(), count = start[r + 1] - start[r];
  for (int i = 1; i < 3; ++i)
    if (start[r + i + 1] - start[r + i] != count) return false;
  for (int k = 0; k < count; ++k) {
    const int first = start[r] + k, column = m.innerIndexPtr()[first];
    if (column % 3 != 0) return false;
    for (int i = 1; i < 3; ++i) {
      const int other = start[r + i] + k;
      if (m.innerIndexPtr()[other] != column + i || m.valuePtr()[other] != m.valuePtr()[first]) return false;
    }
  }
  return true;
}

}  // namespace

MassProduct make_mass_product(const SparseMatrix &mass) {
  const int n = int(mass.rows());
  MassProduct product;
  if (n % 3 != 0) {
    product.rest = mass;
    return product;
  }
  std::vector<char> alike(std::size_t(n / 3));
  Eigen::Index of_nodes = 0, of_rest = 0;
  const int *start = mass.outerIndexPtr();
  for (int r = 0; r < n; r += 3) {
    alike[std::size_t(r / 3)] = is_alike(mass, r);
    if (alike[std::size_t(r / 3)])
      of_nodes += start[r + 1] - start[r];
    else
      of_rest += start[r + 3] - start[r];
  }
  product.nodes.resize(n / 3, n / 3);
  product.nodes.reserve(of_nodes);
  product.rest.resize(n, n);
  product.rest.reserve(of_rest);
  for (int r = 0; r < n; ++r) {
    const bool by_node = alike[std::size_t(r / 3)];
    product.rest.startVec(r);
    if (r % 3 == 0) product.nodes.startVec(r / 3);
    for (SparseMatrix::InnerIterator it(mass, r); it; ++it)
      if (!by_node)
        product.rest.insertBack(r, it.col()) = it.value();
      else if (r % 3 == 0)
        product.nodes.insertBack(r / 3, it.col() / 3) = it.value();
  }
  product.nodes.finalize();
  product.rest.finalize();
  return product;
}

Eigen::MatrixXd multiply(const MassProduct &mass, const Eigen::MatrixXd &x) {
  if (mass.nodes.nonZeros() == 0) return multiply(mass.rest, x);
  Eigen::MatrixXd y = multiply_nodes(mass.nodes, x);
  if (mass.rest.nonZeros() > 0) y += multiply(mass.rest, x);
  return y;
}

}  // namespace stillbox
