// SPDX-License-Identifier: MIT
#include "solver/free_plate.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "solver/lapack.h"
#include "solver/legendre.h"

namespace stillbox {
namespace {

/// One unknown field of a symmetry class: a product p_i(x) p_j(y).
struct Term {
  int i = 0, j = 0;
};

std::vector<Term> terms_of(int parity_x, int parity_y, int degree) {
  std::vector<Term> terms;
  for (int i = parity_x; i <= degree; i += 2)
    for (int j = parity_y; j <= degree; j += 2) terms.push_back({i, j});
  return terms;
}

/// How often the field is differentiated along x and y.
struct Slope {
  int x = 0, y = 0;
};

/// integral p_a^(da) p_b^(db) over -1 .. 1.
double product(const LegendreProducts &p, int a, int da, int b, int db) {
  if (da == 0 && db == 0) return p.values(a, b);
  if (da == 1 && db == 1) return p.slopes(a, b);
  return da == 1 ? p.mixed(a, b) : p.mixed(b, a);
}

/// integral over the plate of (slope of one field) (slope of another), the plate being 2 hx by 2 hy.
Eigen::MatrixXd coupling(const LegendreProducts &p, const std::vector<Term> &rows, Slope of_row,
                         const std::vector<Term> &columns, Slope of_column, double hx, double hy) {
  Eigen::MatrixXd m(Eigen::Index(rows.size()), Eigen::Index(columns.size()));
  const double scale = std::pow(hx, 1 - of_row.x - of_column.x) * std::pow(hy, 1 - of_row.y - of_column.y);
  for (std::size_t r = 0; r < rows.size(); ++r)
    for (std::size_t c = 0; c < columns.size(); ++c)
      m(Eigen::Index(r), Eigen::Index(c)) = scale * product(p, rows[r].i, of_row.x, columns[c].i, of_column.x) *
                                            product(p, rows[r].j, of_row.y, columns[c].j, of_column.y);
  return m;
}

void check(const FreePlate &plate, const PlateModuli &m) {
  for (const double v : {plate.length, plate.width, plate.thickness, plate.mass, m.ex, m.ey, m.gxy, m.gxz, m.gyz})
    if (!(v > 0) || !std::isfinite(v)) throw std::domain_error("a plate needs sizes, mass and moduli above 0");
  if (!(m.nu_xy * m.nu_xy * m.ey / m.ex < 1))
    throw std::domain_error("Poisson's ratio is too large for the ratio of the moduli");
}

struct Class {
  std::vector<Term> w, px, py;
  std::array<Eigen::MatrixXd, 6> stiffness;  ///< of D11, D12, D22, D66, shear xz, shear yz, each 1
  Eigen::VectorXd mass;
};

Class class_of(const LegendreProducts &p, int parity_x, int parity_y, const FreePlate &plate, int degree) {
  Class c;
  c.w = terms_of(parity_x, parity_y, degree);
  c.px = terms_of(1 - parity_x, parity_y, degree);
  c.py = terms_of(parity_x, 1 - parity_y, degree);
  const auto nw = Eigen::Index(c.w.size()), nx = Eigen::Index(c.px.size()), ny = Eigen::Index(c.py.size());
  const Eigen::Index n = nw + nx + ny;
  const double hx = plate.length / 2, hy = plate.width / 2;
  for (Eigen::MatrixXd &m : c.stiffness) m = Eigen::MatrixXd::Zero(n, n);
  const auto join = [&](const std::vector<Term> &a, Slope da, const std::vector<Term> &b, Slope db) {
    return coupling(p, a, da, b, db, hx, hy);
  };
  c.stiffness[0].block(nw, nw, nx, nx) = join(c.px, {1, 0}, c.px, {1, 0});
  c.stiffness[1].block(nw, nw + nx, nx, ny) = join(c.px, {1, 0}, c.py, {0, 1});
  c.stiffness[1].block(nw + nx, nw, ny, nx) = c.stiffness[1].block(nw, nw + nx, nx, ny).transpose();
  c.stiffness[2].block(nw + nx, nw + nx, ny, ny) = join(c.py, {0, 1}, c.py, {0, 1});
  c.stiffness[3].block(nw, nw, nx, nx) = join(c.px, {0, 1}, c.px, {0, 1});
  c.stiffness[3].block(nw + nx, nw + nx, ny, ny) = join(c.py, {1, 0}, c.py, {1, 0});
  c.stiffness[3].block(nw, nw + nx, nx, ny) = join(c.px, {0, 1}, c.py, {1, 0});
  c.stiffness[3].block(nw + nx, nw, ny, nx) = c.stiffness[3].block(nw, nw + nx, nx, ny).transpose();
  c.stiffness[4].block(0, 0, nw, nw) = join(c.w, {1, 0}, c.w, {1, 0});
  c.stiffness[4].block(0, nw, nw, nx) = -join(c.w, {1, 0}, c.px, {0, 0});
  c.stiffness[4].block(nw, 0, nx, nw) = c.stiffness[4].block(0, nw, nw, nx).transpose();
  c.stiffness[4].block(nw, nw, nx, nx) = join(c.px, {0, 0}, c.px, {0, 0});
  c.stiffness[5].block(0, 0, nw, nw) = join(c.w, {0, 1}, c.w, {0, 1});
  c.stiffness[5].block(0, nw + nx, nw, ny) = -join(c.w, {0, 1}, c.py, {0, 0});
  c.stiffness[5].block(nw + nx, 0, ny, nw) = c.stiffness[5].block(0, nw + nx, nw, ny).transpose();
  c.stiffness[5].block(nw + nx, nw + nx, ny, ny) = join(c.py, {0, 0}, c.py, {0, 0});
  // The polynomials have unit norm on -1 .. 1.
  const double area_mass = plate.mass / (plate.length * plate.width) * hx * hy;
  c.mass = Eigen::VectorXd::Constant(n, area_mass * plate.thickness * plate.thickness / 12);
  c.mass.head(nw).setConstant(area_mass);
  return c;
}

}  // namespace

std::vector<PlateMode> plate_modes(const FreePlate &plate, const PlateModuli &m, int count, int degree) {
  check(plate, m);
  const LegendreProducts p = legendre_products(degree);
  const double h = plate.thickness, cube = h * h * h / 12, s = m.nu_xy * m.nu_xy * m.ey / m.ex, rest = 1 - s;
  const double shear = 5.0 / 6 * h;
  const std::array<double, 6> d{
      m.ex / rest * cube, m.nu_xy * m.ey / rest * cube, m.ey / rest * cube, m.gxy * cube, shear * m.gxz, shear * m.gyz};
  // d ln D / d ln ex and d ln ey at constant nu_xy: rest = 1 - nu_xy^2 ey / ex.
  const Eigen::Vector3d by_ex(1 - s / rest, -s / rest, -s / rest), by_ey(s / rest, 1 + s / rest, 1 + s / rest);
  std::vector<PlateMode> modes;
  for (int parity_x = 0; parity_x < 2; ++parity_x)
    for (int parity_y = 0; parity_y < 2; ++parity_y) {
      const Class c = class_of(p, parity_x, parity_y, plate, degree);
      Eigen::MatrixXd stiffness = Eigen::MatrixXd::Zero(c.mass.size(), c.mass.size());
      for (std::size_t k = 0; k < 6; ++k) stiffness += d[k] * c.stiffness[k];
      // The mass is diagonal: an ordinary problem in scaled unknowns.
      const Eigen::VectorXd scale = c.mass.cwiseSqrt().cwiseInverse();
      const SymmetricPairs eigen = symmetric_eigenpairs(scale.asDiagonal() * stiffness * scale.asDiagonal());
      // Rigid: the shift and the two tilts, in three of the classes.
      const Eigen::Index rigid = parity_x + parity_y < 2 ? 1 : 0;
      for (Eigen::Index i = rigid; i < std::min<Eigen::Index>(rigid + count, c.mass.size()); ++i) {
        PlateMode mode;
        const double lambda = eigen.values[i];
        const Eigen::VectorXd x = scale.cwiseProduct(eigen.vectors.col(i));
        mode.frequency = std::sqrt(std::max(lambda, 0.0)) / (2 * M_PI);
        Eigen::Matrix<double, 6, 1> share;
        for (std::size_t k = 0; k < 6; ++k) share[Eigen::Index(k)] = d[k] * x.dot(c.stiffness[k] * x) / lambda;
        mode.sensitivity << 0.5 * by_ex.dot(share.head<3>()), 0.5 * by_ey.dot(share.head<3>()), 0.5 * share[3],
            0.5 * share[4], 0.5 * share[5];
        mode.shares = Eigen::MatrixXd::Zero(degree + 1, degree + 1);
        for (std::size_t t = 0; t < c.w.size(); ++t)
          mode.shares(c.w[t].i, c.w[t].j) = x[Eigen::Index(t)] * x[Eigen::Index(t)];
        mode.shares /= std::max(mode.shares.sum(), 1e-300);
        Eigen::Index row = 0, column = 0;
        mode.purity = mode.shares.maxCoeff(&row, &column);
        mode.nodes_x = int(row);
        mode.nodes_y = int(column);
        modes.push_back(std::move(mode));
      }
    }
  std::stable_sort(modes.begin(), modes.end(),
                   [](const PlateMode &a, const PlateMode &b) { return a.frequency < b.frequency; });
  modes.resize(std::min(modes.size(), std::size_t(count)));
  return modes;
}

}  // namespace stillbox
