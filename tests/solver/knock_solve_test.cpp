// SPDX-License-Identifier: MIT
// What a knock needs of a structure: statics, rigid motion, reciprocity, wall volumes and the mean mobility of plates.
#include "solver/knock_solve.h"

#include "solver/face_samples.h"
#include "solver/knock_points.h"
#include "solver/knock_response.h"
#include "solver/knock_samples.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

Material lossy(double youngs_modulus, double poissons_ratio, double density, double loss_factor) {
  Material m = isotropic(youngs_modulus, poissons_ratio, density);
  m.loss_factor = loss_factor;
  return m;
}

std::vector<KnockPoint> points_on(const Structure &s, const std::vector<std::string> &spots) {
  std::vector<KnockPoint> points;
  for (const std::string &spot : spots) points.push_back(knock_point(s, read_knock_spot(spot)));
  return points;
}

// Modes and residual together give the static deflection, which one solution with K gives at once; and the middle's
// against thin-plate theory: 0.01160 P a^2 / D for a force in the middle of a square simply supported plate (from
// memory: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells).
TEST(KnockSolve, StaticDeflectionOfAHeldPlate) {
  const double a = 0.3, h = 0.003, E = 70e9, nu = 0.3;
  const Structure s = held(free_plate(a, a, h, lossy(E, nu, 2700, 0)), all_sides, EdgeKind::simple_hard);
  const auto points = points_on(s, {"plate,150,150", "plate,60,210", "plate,20,30"});
  const SolveOptions options = to(700, 3, 2.5);
  const KnockSolution knock = solve_knock(s, options, points);
  const KnockModel &m = knock.model;
  EXPECT_EQ(m.rigid.cols(), 0);
  ASSERT_GT(m.poles.size(), 3);
  SolveReport report;
  Model model = build_model(s, options, report);
  const SampleColumns loads = point_columns(model, points);
  Eigen::MatrixXd u(loads);
  factor_shifted(model, 0)->solve(u);
  const Eigen::MatrixXd direct = loads.transpose() * u;
  for (int r = 0; r < 3; ++r)
    for (int c = 0; c < 3; ++c) {
      double modal = 0;
      for (int k = 0; k < m.poles.size(); ++k)
        modal += (m.shapes(r, k) * m.shapes(c, k)).real() / std::norm(m.poles[k]);
      const double scale = std::sqrt(m.residual(r, r) * m.residual(c, c));
      EXPECT_NEAR(modal + m.residual(r, c), direct(r, c), 1.1e-4 * scale) << r << " " << c;
      EXPECT_GT(std::abs(modal / direct(r, c) - 1), 3e-3);  // the residual is needed
    }
  const double D = E * h * h * h / (12 * (1 - nu * nu));
  EXPECT_NEAR(direct(0, 0) / (0.01160 * a * a / D), 1, 0.01);
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    centre over theory %.4f; residual's part %.4f %.4f %.4f\n", direct(0, 0) / (0.01160 * a * a / D),
                m.residual(0, 0) / direct(0, 0), m.residual(1, 1) / direct(1, 1), m.residual(2, 2) / direct(2, 2));
}

// At low frequency a free closed box moves as a rigid body: accelerance 1/m + (arm x n)' I^-1 (arm x n), with mass and
// inertia those of the outer block less the inner one (elementary mechanics).
TEST(KnockSolve, RigidBodyAtLowFrequency) {
  const Eigen::Vector3d outer(0.16, 0.14, 0.22);
  const double t = 0.006, density = 1200;
  const Structure s = cabinet(outer.x(), outer.y(), outer.z(), t, Corner::butt, lossy(3.2e9, 0.35, density, 0.03));
  const auto points = points_on(s, {"left,30,50", "top,100,20", "baffle,20,200"});
  const KnockSolution knock = solve_knock(s, to(450, 3, 0.5), points);
  ASSERT_EQ(knock.model.rigid.cols(), 6);
  ASSERT_GT(knock.model.poles.size(), 0);
  const auto block = [&](const Eigen::Vector3d &size) -> Eigen::Vector4d {
    const double mass = density * size.prod();
    const Eigen::Vector3d squares = size.cwiseProduct(size);
    Eigen::Vector4d r;
    r << mass, mass / 12 * (squares.sum() - squares.array()).matrix();
    return r;
  };
  const Eigen::Vector4d body = block(outer) - block(outer.array() - 2 * t);
  const Eigen::VectorXd f = Eigen::VectorXd::Constant(1, 0.05);
  for (int c = 0; c < 3; ++c) {
    const Eigen::MatrixXcd found = transfer_spectra(knock.model, Motion::acceleration, c, f);
    for (int r = 0; r < 3; ++r) {
      const auto arm = [&](int i) -> Eigen::Vector3d { return (points[i].at - outer / 2).cross(points[i].normal); };
      const double expected =
          points[r].normal.dot(points[c].normal) / body[0] + arm(r).dot(arm(c).cwiseQuotient(body.tail<3>()));
      EXPECT_NEAR(found(r, 0).real(), expected, 1e-5 / body[0]) << r << " " << c;
    }
  }
}

TEST(KnockSolve, ReciprocalVolumesAndSlope) {
  Structure s = cabinet(0.16, 0.14, 0.22, 0.005, Corner::butt, lossy(3.2e9, 0.35, 1190, 0.04));
  s.boards[baffle].cut_outs = {{"hole", CutOutShape::round, {0.08, 0.07}, 0.08, 0.08, false}};
  s.rim_masses = {{"driver", 0, 0, 0.3, true, 0.02, {1e-4, 1e-4, 2e-4}}};
  const auto points = points_on(s, {"left,90,150", "top,60,50", "baffle,20,180", "back,40,150", "right,32,190"});
  const double up_to = 800;
  const KnockSolution knock = solve_knock(s, to(up_to, 2, 0.5), points);
  const KnockModel &m = knock.model;
  Eigen::VectorXd f(4);
  f << 20, 410, 633, 790;
  double worst = 0;
  for (int c = 0; c < 5; ++c)
    for (int r = 0; r < 5; ++r) {
      const Eigen::RowVectorXcd there = transfer_spectra(m, Motion::velocity, c, f).row(r),
                                back_again = transfer_spectra(m, Motion::velocity, r, f).row(c);
      const double size = std::sqrt(drive_point_spectra(m, Motion::velocity, f).row(c).cwiseAbs().maxCoeff() *
                                    drive_point_spectra(m, Motion::velocity, f).row(r).cwiseAbs().maxCoeff());
      for (int i = 0; i < 4; ++i) {
        EXPECT_LT(std::abs(there[i] / back_again[i] - 1.0), 1e-9);
        worst = std::max(worst, std::abs(there[i] - back_again[i]) / size);
      }
    }
  // The walls' parts add up to the net volume that solve_modes finds on its own way, and their area is the outside less
  // the cut-outs.
  ASSERT_EQ(m.walls, (std::vector<std::string>{"baffle", "back", "left", "right", "top", "bottom"}));
  ASSERT_EQ(m.poles.size(), Eigen::Index(knock.modes.modes.size()));
  for (int k = 0; k < m.poles.size(); ++k) {
    const Mode &mode = knock.modes.modes[k];
    EXPECT_NEAR(m.volume.col(k).real().sum(), mode.net_volume, 1e-9 * m.volume.col(k).norm());
    EXPECT_NEAR(std::abs(m.poles[k]), 2 * M_PI * mode.frequency * std::pow(1 + std::pow(mode.loss_factor, 2), 0.25),
                1e-9 * std::abs(m.poles[k]));
    // Amplitude exp(Re p t) falls by 60 dB in T60.
    EXPECT_NEAR(-m.poles[k].real() * mode.decay_time / (3 * std::log(10.0)), 1, 1e-3);
  }
  double area = 0, expected = 2 * (0.16 * 0.14 + 0.16 * 0.22 + 0.14 * 0.22);
  for (double a : m.wall_area) area += a;
  for (const Board &board : s.boards)
    for (const CutOut &c : board.cut_outs)
      if (board.role == BoardRole::wall) expected -= cut_out_area(c);
  EXPECT_NEAR(area / expected, 1, 1e-5);
  // Sum of x^2 / lambda^2 <= (sum of x^2 / lambda) / (2 pi up_to)^2 for lambda above that.
  for (int i = 0; i < 5; ++i) {
    EXPECT_GT(knock.residual_slope[i], 0);
    EXPECT_LT(knock.residual_slope[i], 1.0002 * m.residual(i, i) / std::pow(2 * M_PI * up_to, 2));
  }
  // The pseudo-modes lie above the modes, and hold both moments.
  EXPECT_GT(m.upper_lambda.minCoeff(), std::pow(2 * M_PI * up_to, 2));
  const Eigen::VectorXd inverse = m.upper_lambda.cwiseInverse();
  EXPECT_LT((m.upper * inverse.asDiagonal() * m.upper.transpose() - m.residual).norm(), 1e-9 * m.residual.norm());
  for (int i = 0; i < 5; ++i)
    EXPECT_NEAR(m.upper.row(i).cwiseAbs2().dot(inverse.cwiseAbs2()), knock.residual_slope[i],
                1e-9 * knock.residual_slope[i]);
  EXPECT_TRUE(std::isinf(truncation_floor(knock, 0, 1, up_to)));
  if (std::getenv("STILLBOX_TELL")) std::printf("    reciprocal to %.1e of the drive points'\n", worst);
}

// The shapes at the points are those the face samples show, but for the patch's width.
TEST(KnockSolve, ShapesAtPointsAgreeWithTheFaces) {
  const Structure s = free_plate(0.32, 0.24, 0.004, lossy(70e9, 0.33, 2700, 0.01));
  const auto points = points_on(s, {"plate,80,120", "plate,200,64"});
  const KnockSolution knock = solve_knock(s, to(600), points);
  const FaceSamples &face = knock.modes.faces[0];
  for (int k = 0; k < knock.model.poles.size(); ++k)
    for (int p = 0; p < 2; ++p) {
      const Eigen::Vector2d at = points[p].place.cwiseQuotient(face.size);
      const double i = at.x() * (face.nu - 1), j = at.y() * (face.nv - 1);
      ASSERT_LT(std::abs(i - std::round(i)) + std::abs(j - std::round(j)), 1e-9);  // a point of the raster
      const double there = face.normal[k][int(std::round(i)) + int(std::round(j)) * face.nu];
      EXPECT_NEAR(knock.model.shapes(p, k).real(), there, 5e-3 * face.normal[k].cwiseAbs().maxCoeff());
    }
}

// The point mobility of a plate, averaged over frequency, is that of an infinite one, 1 / (8 sqrt(D m')) (from memory:
// Cremer, Heckl and Ungar, Structure-Borne Sound). At points more than half a bending wave from the edges (0.1 m at 1
// kHz here), averaged over a band of some 20 modes; a band of so few modes leaves a few per cent to chance. And against
// thin-plate theory for these very edges, points and frequencies: the sum over sin(m pi x / a) sin(n pi y / b).
TEST(KnockSolve, MeanMobilityIsThatOfAnInfinitePlate) {
  const double a = 0.50, b = 0.40, h = 0.004, E = 70e9, nu = 0.33, density = 2700, eta = 0.05;
  const Structure s = held(free_plate(a, b, h, lossy(E, nu, density, eta)), all_sides, EdgeKind::simple_hard);
  std::vector<KnockPoint> points;
  for (const KnockPoint &p : knock_grid(s, 150))
    if (p.place.minCoeff() > 0.1 && (Eigen::Vector2d(a, b) - p.place).minCoeff() > 0.1) points.push_back(p);
  ASSERT_GT(points.size(), 30u);
  const KnockSolution knock = solve_knock(s, to(2500, 3, 0.7), points);
  const Eigen::VectorXd f = Eigen::VectorXd::LinSpaced(300, 1000, 2300);
  const double mean = drive_point_spectra(knock.model, Motion::velocity, f, Losses::structural).real().mean();
  const double D = E * h * h * h / (12 * (1 - nu * nu)), mass = density * h;
  const double infinite = 1 / (8 * std::sqrt(D * mass));
  double theory = 0;
  for (int m = 1; m < 20; ++m)
    for (int n = 1; n < 20; ++n) {
      const double lambda = std::pow(M_PI, 4) * std::pow(std::pow(m / a, 2) + std::pow(n / b, 2), 2) * D / mass;
      double square = 0, part = 0;
      for (const KnockPoint &p : points)
        square += 4 * std::pow(std::sin(m * M_PI * p.place.x() / a) * std::sin(n * M_PI * p.place.y() / b), 2);
      for (double hertz : f) {
        const double w = 2 * M_PI * hertz;
        part += (Complex(0, w) / (lambda * Complex(1, eta) - w * w)).real();
      }
      theory += square / double(points.size()) * part / double(f.size()) / (mass * a * b);
    }
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    mean mobility over the infinite plate's %.4f, over thin-plate theory's %.4f\n", mean / infinite,
                mean / theory);
  EXPECT_NEAR(mean / infinite, 1, 0.10);
  EXPECT_NEAR(mean / theory, 1, 0.03);
}

}  // namespace
}  // namespace stillbox
