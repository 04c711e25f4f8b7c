// SPDX-License-Identifier: MIT
#include "solver/sheet_value.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <optional>

#include "solver/locate.h"

namespace stillbox {
namespace {

constexpr double bare_enough = 0.995;  // of the square's area: edges are known to about 1 mm

using RowMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Plane-stress law for (11, 22, 12): stress 33 vanishes, Q_ij = C_ij - C_i3 C_3j / C_33.
Eigen::Matrix3d plane_stress(const StressLaw &law) {
  constexpr std::array<int, 3> in_plane{0, 1, 5};
  Eigen::Matrix3d Q;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      Q(i, j) = law(in_plane[i], in_plane[j]) - law(in_plane[i], 2) * law(2, in_plane[j]) / law(2, 2);
  return Q;
}

/// In-plane strains of all modes at points of one board: rows 11, 22, 12 (engineering), one column a mode.
struct StrainReader {
  const Discretisation &d;
  Locator locator;
  Eigen::Vector3d u, v;
  RowMatrix along_u, along_v;  ///< displacement of the nodes: nodes x modes

  StrainReader(const Model &m, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes, int board)
      : d(m.discretisation),
        locator(m.mesh, m.discretisation, board),
        u(m.structure->boards[board].u),
        v(m.structure->boards[board].v),
        along_u(d.points.rows(), shapes.size()),
        along_v(d.points.rows(), shapes.size()) {
    for (std::size_t k = 0; k < shapes.size(); ++k) {
      along_u.col(k) = shapes[k] * u;
      along_v.col(k) = shapes[k] * v;
    }
  }

  std::optional<Eigen::Matrix3Xd> at(const Eigen::Vector3d &x) const {
    const auto found = locator.find(x, 1e-3);
    if (!found) return std::nullopt;
    const std::vector<int> &nodes = d.cells[found->cell];
    const int n = d.degree + 1;
    std::array<Eigen::VectorXd, 3> value, slope;
    for (int a = 0; a < 3; ++a) {
      value[a] = lagrange_values(d.knots, found->xi[a]);
      slope[a] = lagrange_slopes(d.knots, found->xi[a]);
    }
    Eigen::Matrix<double, Eigen::Dynamic, 3> reference(nodes.size(), 3);
    Eigen::Matrix3d jacobian = Eigen::Matrix3d::Zero();
    for (int k = 0; k < n; ++k)
      for (int j = 0; j < n; ++j)
        for (int i = 0; i < n; ++i) {
          const int a = i + n * (j + n * k);
          reference.row(a) << slope[0][i] * value[1][j] * value[2][k], value[0][i] * slope[1][j] * value[2][k],
              value[0][i] * value[1][j] * slope[2][k];
          jacobian += d.points.row(nodes[a]).transpose() * reference.row(a);
        }
    const Eigen::Matrix<double, Eigen::Dynamic, 3> gradient = reference * jacobian.inverse();
    Eigen::Matrix3Xd strain = Eigen::Matrix3Xd::Zero(3, along_u.cols());
    for (std::size_t a = 0; a < nodes.size(); ++a) {
      const double by_u = gradient.row(a).dot(u), by_v = gradient.row(a).dot(v);
      const auto du = along_u.row(nodes[a]), dv = along_v.row(nodes[a]);
      strain.row(0) += by_u * du;
      strain.row(1) += by_v * dv;
      strain.row(2) += by_v * du + by_u * dv;
    }
    return strain;
  }
};

/// Twice the strain energy of the sheet per area and mode at a point of a face (k2 per m2), with the moduli of
/// `law`; nothing where the mesh has no wood.
std::optional<Eigen::VectorXd> stiffness_at(const StrainReader &strains, const Board &board, bool is_high,
                                            const Eigen::Vector2d &p, const Eigen::Matrix3d &law, double h) {
  const double H = board.thickness();
  const auto here = strains.at(board.at(p.x(), p.y(), is_high ? H : 0));
  if (!here) return std::nullopt;
  const auto there = strains.at(board.at(p.x(), p.y(), is_high ? 0 : H));
  // No wood opposite: as in bending about the middle.
  const Eigen::Matrix3Xd slope = there ? Eigen::Matrix3Xd((*here - *there) / H) : Eigen::Matrix3Xd(*here * (2 / H));
  const Eigen::Matrix3Xd middle = *here + h / 2 * slope;
  return (h * middle.cwiseProduct(law * middle).colwise().sum() +
          h * h * h / 12 * slope.cwiseProduct(law * slope).colwise().sum())
      .transpose();
}

/// Sums over rectangles whose edges need not lie on the raster: each rectangle of the raster counts by the share of it
/// that lies inside.
struct RasterSums {
  int nu, nv;
  Eigen::Vector2d pitch;
  Eigen::MatrixXd sums;  // (nu + 1) x (nv + 1): of all below and left of a corner

  RasterSums(const OpenFace &face, const Eigen::VectorXd &per_area)
      : nu(face.nu), nv(face.nv), pitch(face.pitch()), sums(Eigen::MatrixXd::Zero(face.nu + 1, face.nv + 1)) {
    for (int j = 0; j < nv; ++j)
      for (int i = 0; i < nu; ++i)
        sums(i + 1, j + 1) = sums(i, j + 1) + sums(i + 1, j) - sums(i, j) +
                             per_area[i + j * nu] * face.open[i + j * nu] * pitch.x() * pitch.y();
  }

  /// Up to (x, y), m from the raster's corner.
  double up_to(double x, double y) const {
    const double a = std::clamp(x / pitch.x(), 0.0, double(nu)), b = std::clamp(y / pitch.y(), 0.0, double(nv));
    const int i = std::min(int(a), nu - 1), j = std::min(int(b), nv - 1);
    const double s = a - i, t = b - j;
    return (1 - s) * ((1 - t) * sums(i, j) + t * sums(i, j + 1)) +
           s * ((1 - t) * sums(i + 1, j) + t * sums(i + 1, j + 1));
  }
  double within(const Eigen::Vector2d &low, const Eigen::Vector2d &high) const {
    return up_to(high.x(), high.y()) - up_to(low.x(), high.y()) - up_to(high.x(), low.y()) + up_to(low.x(), low.y());
  }
};

struct Square {
  Eigen::Vector2d low{0, 0}, high{0, 0};  // m from the raster's corner
  bool is_bare = true;
};

/// The square with the largest added loss, on an even grid of places no further apart than the raster's pitch and with
/// one in the middle. Squares of bare wood come before all others. Of equal ones (to one part in a million, so that
/// rounding does not choose) the one nearest to the face's middle, then the first.
Square best_square(const OpenFace &face, const Eigen::VectorXd &value) {
  const Eigen::Vector2d side = face.size.cwiseMin(square_side), room = face.size - side, pitch = face.pitch();
  const RasterSums added(face, value), area(face, Eigen::VectorXd::Ones(value.size()));
  const auto places_along = [&](int axis) { return 2 * int(std::ceil(room[axis] / pitch[axis] / 2 - 1e-9)) + 1; };
  const int across = places_along(0), up = places_along(1);
  Square best;
  double most = -std::numeric_limits<double>::infinity(), off_middle = 0;
  bool found_bare = false;
  for (int j = 0; j < up; ++j)
    for (int i = 0; i < across; ++i) {
      Square place;
      place.low = {across > 1 ? room.x() * i / (across - 1) : 0, up > 1 ? room.y() * j / (up - 1) : 0};
      place.high = place.low + side;
      place.is_bare = area.within(place.low, place.high) >= bare_enough * side.x() * side.y();
      if (found_bare && !place.is_bare) continue;
      const double here = added.within(place.low, place.high);
      const double off = (place.low - room / 2).norm();
      const double slack = 1e-6 * std::abs(most);
      const bool is_first_bare = place.is_bare && !found_bare;
      const bool is_better = !std::isfinite(most) || here > most + slack;
      const bool is_nearer = std::isfinite(most) && here >= most - slack && off < off_middle - 1e-9;
      if (!is_first_bare && !is_better && !is_nearer) continue;
      best = place;
      most = here;
      off_middle = off;
      found_bare = found_bare || place.is_bare;
    }
  return best;
}

SheetGain gain_of(const SheetValue &result, bool is_inside, double area, const Eigen::VectorXd &per_mode) {
  SheetGain gain;
  gain.area = area;
  gain.mass = area * result.mass_per_area();
  gain.volume = is_inside ? area * result.thickness : 0;
  gain.per_mode = per_mode;
  gain.added = per_mode.mean();
  for (std::size_t k = 0; k < result.modes.size(); ++k)
    gain.relative += result.modes[k].loss_factor > 0 ? per_mode[k] / result.modes[k].loss_factor / result.modes.size()
                                                     : std::numeric_limits<double>::quiet_NaN();
  return gain;
}

const char *role_word(BoardRole role) {
  return role == BoardRole::wall ? "wall" : role == BoardRole::brace ? "brace" : "free";
}

}  // namespace

SheetValue sheet_value(const Model &m, const EigenPairs &elastic, const std::vector<DampedMode> &damped,
                       const SheetRequest &request) {
  assert(request.thickness > 0 && !request.modes.empty());
  const Structure &s = *m.structure;
  SheetValue result;
  result.case_name = s.case_name;
  result.variant_name = s.variant_name;
  result.material = request.material.name;
  result.thickness = request.thickness;
  result.density = request.material.density;
  result.has_cabinet = s.cabinet || s.solids;
  std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> shapes;
  const int modes = int(request.modes.size());
  Eigen::VectorXd stored(modes), lost(modes);  // what a mode's k2 counts as, over lambda
  for (int k = 0; k < modes; ++k) {
    const int mode = request.modes[k];
    shapes.push_back(expand(m.unknowns, m.discretisation, elastic.vectors.col(mode)));
    result.modes.push_back({mode + 1, damped[mode].frequency, damped[mode].loss_factor});
    const double omega = 2 * M_PI * damped[mode].frequency;
    const std::complex<double> scale = law_scale(request.material, damped[mode].frequency, s.temperature);
    stored[k] = scale.real() / (omega * omega);
    lost[k] = (scale.imag() - damped[mode].loss_factor * scale.real()) / (omega * omega);
  }
  int board = -1;
  std::optional<StrainReader> strains;
  for (OpenFace &face : open_faces(s)) {
    if (face.board != board) {
      board = face.board;
      strains.emplace(m, shapes, board);
    }
    SheetFace out;
    out.board = s.boards[board].name;
    out.role = role_word(s.boards[board].role);
    const bool is_grain_along_v = face.size.y() > face.size.x();
    const Eigen::Matrix3d law =
        plane_stress(is_grain_along_v ? rotate_about_normal(request.material.law, M_PI / 2) : request.material.law);
    Eigen::MatrixXd k2 = Eigen::MatrixXd::Zero(face.open.size(), modes);
    for (std::size_t p = 0; p < face.open.size(); ++p) {
      if (face.open[p] == 0) continue;
      const auto here = stiffness_at(*strains, s.boards[board], face.is_high, face.places[p], law, request.thickness);
      if (here)
        k2.row(p) = here->transpose();
      else
        face.open[p] = 0;
    }
    const double area = face.area();
    if (area <= 0) continue;
    out.value = k2 * lost / modes;
    const Eigen::Map<const Eigen::VectorXd> open(face.open.data(), Eigen::Index(face.open.size()));
    const double cell = face.pitch().x() * face.pitch().y();
    const Eigen::VectorXd whole = cell * k2.transpose() * open;
    const bool is_inside = result.has_cabinet && s.boards[board].role != BoardRole::free;
    out.whole = gain_of(result, is_inside, area, whole.cwiseProduct(lost));
    result.stiffening = std::max(result.stiffening, whole.cwiseProduct(stored).maxCoeff());

    const Square best = best_square(face, out.value);
    Eigen::VectorXd of_best(modes);
    for (int k = 0; k < modes; ++k) of_best[k] = lost[k] * RasterSums(face, k2.col(k)).within(best.low, best.high);
    const double best_area = RasterSums(face, Eigen::VectorXd::Ones(out.value.size())).within(best.low, best.high);
    out.best = gain_of(result, is_inside, best_area, of_best);
    out.best_is_bare = best.is_bare;
    out.low = face.low + best.low;
    out.high = face.low + best.high;
    out.centre = case_place(s, board, (out.low + out.high) / 2);
    out.size = case_extent(s, board, out.high - out.low);
    out.face = face;
    result.faces.push_back(out);
  }
  // Equal to one part in a million counts as equal, so that rounding does not order symmetric walls.
  double most = 0;
  for (const SheetFace &face : result.faces) most = std::max(most, std::abs(face.whole.per_kg()));
  const auto rank = [&](const SheetFace &face) {
    return most > 0 ? std::llround(1e6 * face.whole.per_kg() / most) : 0LL;
  };
  std::stable_sort(result.faces.begin(), result.faces.end(),
                   [&](const SheetFace &a, const SheetFace &b) { return rank(a) > rank(b); });
  return result;
}

}  // namespace stillbox
