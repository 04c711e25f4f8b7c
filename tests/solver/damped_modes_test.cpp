// SPDX-License-Identifier: MIT
// Damped modes of strips and plates against the published theories of damped beams. Beams are solids with Poisson's
// ratio zero, which the beam theories assume. Masses and springs: damped_springs_test.cpp.
#include "solver/damped_modes.h"

#include "solver/lossy_parts.h"
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

struct LayerData {
  double thickness, youngs_modulus, density, loss_factor;
};

/// A strip along x whose layers lie on each other from z = 0.
Structure strip(double length, double width, const std::vector<LayerData> &layers) {
  Structure s = free_plate(length, width, layers[0].thickness, isotropic(1, 0, 1));
  s.materials.clear();
  s.boards[0].layers.clear();
  for (const LayerData &layer : layers) {
    s.boards[0].layers.push_back({int(s.materials.size()), layer.thickness, 0});
    s.materials.push_back(isotropic(layer.youngs_modulus, 0, layer.density));
    s.materials.back().name += std::to_string(s.materials.size());
    s.materials.back().loss_factor = layer.loss_factor;
  }
  return s;
}

/// A mode that bends the strip in the plane of its length and thickness: it moves along z, and about the middle of the
/// width as much as at its edges (a twisting one hardly moves there).
bool bends(const Model &m, const Eigen::VectorXd &x) {
  const auto shape = expand(m.unknowns, m.discretisation, x);
  if (shape.col(2).norm() < shape.col(0).norm() || shape.col(2).norm() < 3 * shape.col(1).norm()) return false;
  const double width = m.discretisation.points.col(1).maxCoeff();
  double sum[2] = {0, 0};
  int count[2] = {0, 0};
  for (int n = 0; n < shape.rows(); ++n) {
    const double side = std::abs(m.discretisation.points(n, 1) / width - 0.5);
    const int edge = side > 0.49;
    if (side > 0.3 && !edge) continue;
    sum[edge] += std::pow(shape(n, 2), 2);
    ++count[edge];
  }
  return sum[0] / count[0] > 0.5 * sum[1] / count[1];
}

struct DampedRun {
  std::vector<DampedMode> exact, energy;  ///< of the bending modes
  double seconds_eigen = 0;
};

DampedRun damped(const Structure &s, double up_to, double fineness) {
  SolveOptions options;
  options.up_to = up_to;
  options.fineness = fineness;
  SolveReport report;
  Model m = build_model(s, options, report);
  const Spectrum spectrum = solve_spectrum(m, options, report, {true, 0});
  const DampedProblem problem = make_damped_problem(m);
  DampedOptions close;
  close.tolerance = 5e-7;
  const auto energy = energy_modes(problem, spectrum.elastic);
  const auto exact = exact_modes(problem, *spectrum.factor, spectrum.elastic, energy, close),
             usual = exact_modes(problem, *spectrum.factor, spectrum.elastic, energy);
  DampedRun run;
  for (std::size_t i = 0; i < exact.size(); ++i) {
    // What double precision leaves of the residual where thin stiff layers meet low frequencies.
    const double stiffest = m.system.stiffness.diagonal().maxCoeff(), lambda = spectrum.elastic.values[i];
    const double rounding = 1e-14 * stiffest / (lambda * m.system.mass.diagonal().maxCoeff());
    EXPECT_LT(exact[i].residual, std::max(1e-6, rounding));
    EXPECT_GE(exact[i].loss_factor, 0);
    // What the usual tolerance leaves goes with its square.
    EXPECT_LE(usual[i].residual, std::max(2e-4, rounding));
    EXPECT_NEAR(usual[i].frequency / exact[i].frequency, 1, 1e-6);
    EXPECT_NEAR(usual[i].loss_factor, exact[i].loss_factor, 1e-5 * exact[i].loss_factor + 1e-9);
    if (!bends(m, spectrum.elastic.vectors.col(i))) continue;
    run.exact.push_back(exact[i]);
    run.energy.push_back(energy[i]);
    if (std::getenv("STILLBOX_TELL"))
      std::printf("    %.4f Hz %.6f (energy method %.4f Hz %.6f) residual %.1e in %d steps, %d unknowns\n",
                  exact[i].frequency, exact[i].loss_factor, energy[i].frequency, energy[i].loss_factor,
                  exact[i].residual, exact[i].steps, report.dofs);
  }
  return run;
}

// Where all loses alike the damped modes are the undamped ones, each of them; a square has pairs of equal frequencies,
// of whose vectors any turn will do.
TEST(DampedModes, BothOfAPairOfEqualFrequencies) {
  Structure s = held(free_plate(0.2, 0.2, 0.004, isotropic(3.5e9, 0.25, 750)), all_sides, EdgeKind::clamped);
  s.materials[0].loss_factor = 0.02;
  SolveOptions options;
  options.up_to = 1500;
  options.fineness = 0.5;
  options.damping = Damping::exact;
  const ModalResult exact = solve_modes(s, options);
  options.damping = Damping::energy;
  const ModalResult energy = solve_modes(s, options);
  ASSERT_GE(exact.modes.size(), 4u);
  ASSERT_EQ(exact.modes.size(), energy.modes.size());
  EXPECT_NEAR(exact.modes[2].frequency / exact.modes[1].frequency, 1, 1e-6);
  for (std::size_t i = 0; i < exact.modes.size(); ++i)
    EXPECT_NEAR(exact.modes[i].frequency / energy.modes[i].frequency, 1, 1e-6) << i;
}

// Free layer on one side (H. Oberst and K. Frankenfeld, Acustica 2, AB181, 1952, from memory), complex-exact loss
// factor independently recomputed. A free bar 50 and more times as long as thick: shear counts for less than 0.1 %.
TEST(DampedModes, FreeLayerAfterOberst) {
  struct {
    double e, h, eta2, eta;
  } cases[] = {{0.01, 1, 0.3, 0.0339178}, {0.05, 1, 0.3, 0.1097650}, {0.10, 2, 0.5, 0.3504274}};
  for (const auto &c : cases) {
    const double H1 = 0.002;
    const Structure s = strip(0.3, 0.02, {{H1, 2e11, 7800, 0}, {c.h * H1, c.e * 2e11, 1500, c.eta2}});
    const DampedRun run = damped(s, 390, 1.5);
    ASSERT_GE(run.exact.size(), 1u);
    EXPECT_NEAR(run.exact[0].loss_factor / c.eta, 1, 2e-3) << c.e;
  }
}

// Simply supported three-layer beam: D. Ross, E.E. Ungar, E.M. Kerwin, in Structural Damping, ASME 1959 (from memory);
// figures independently recomputed, by the sixth-order theory (exact here) 0.11761 0.09650 0.05740.
TEST(DampedModes, ConstrainedLayerOnASimplySupportedBeam) {
  Structure s =
      strip(0.5, 0.01, {{0.003, 210e9, 7850, 0}, {0.0005, 2e6, 1100, 1}, {0.001, 70e9, 2700, 0}});  // core G = 1 MPa
  s = held(s, {u_low, u_high}, EdgeKind::simple_soft);
  const DampedRun run = damped(s, 270, 1.5);
  const double f[] = {31.882, 114.184, 247.419}, eta[] = {0.11761, 0.09650, 0.05740};
  ASSERT_GE(run.exact.size(), 3u);
  for (int i = 0; i < 3; ++i) {
    EXPECT_NEAR(run.exact[i].frequency / f[i], 1, 5e-3) << i;
    EXPECT_NEAR(run.exact[i].loss_factor / eta[i], 1, 2e-2) << i;
  }
}

// Sandwich cantilever, sixth-order theory: D.J. Mead and S. Markus, J. Sound Vib. 10(2), 163-175, 1969; D.K. Rao,
// J. Mech. Eng. Sci. 20(5), 271-282, 1978; figures independently recomputed (table of M.L. Soni 1981 from memory within
// 0.03 %). Elements of this size give them to five digits. At a core loss factor of 1.5 the energy method, which keeps
// the undamped shape, must fail: the test says so.
TEST(DampedModes, SandwichCantilever) {
  const auto beam = [](double core_loss) {
    const LayerData face{1.524e-3, 68.948e9, 2768, 0};
    return held(strip(0.1778, 0.0127, {face, {0.127e-3, 2 * 0.68948e6, 968.8, core_loss}, face}), {u_low},
                EdgeKind::clamped);
  };
  struct {
    double core_loss;
    double f[5], ratio[5];
  } cases[] = {{0.1, {64.08, 296.45, 743.78, 1394.1, 2261.3}, {0.2815, 0.2424, 0.1541, 0.0889, 0.0573}},
               {1.5, {69.89, 308.88, 754.53, 1399.9, 2265.3}, {0.1531, 0.1975, 0.1459, 0.0873, 0.0568}}};
  for (const auto &c : cases) {
    const DampedRun run = damped(beam(c.core_loss), 2400, 0.75);
    ASSERT_GE(run.exact.size(), 5u);
    for (int i = 0; i < 5; ++i) {
      EXPECT_NEAR(run.exact[i].frequency / c.f[i], 1, 5e-3) << c.core_loss << " mode " << i + 1;
      EXPECT_NEAR(run.exact[i].loss_factor / c.core_loss / c.ratio[i], 1, 2e-2) << c.core_loss << " mode " << i + 1;
    }
    if (c.core_loss > 1) {
      EXPECT_GT(run.energy[0].loss_factor / run.exact[0].loss_factor, 1.5);
    } else {
      EXPECT_NEAR(run.energy[0].loss_factor / run.exact[0].loss_factor, 1, 0.02);
    }
  }
}

// A core from 1 mm down to 0.05 mm under a foil on an 18 mm board, simply supported: no locking and no loss of
// digits, by the same theory (Ross, Ungar, Kerwin; the formula from memory) evaluated here.
TEST(DampedModes, ThinCoresDoNotLock) {
  const double L = 0.5, H1 = 0.018, E1 = 3e9, H3 = 0.001, E3 = 70e9, G = 0.5e6, loss = 0.8;
  for (double H2 : {1e-3, 2e-4, 1e-4, 5e-5}) {
    Structure s = strip(L, 0.02, {{H1, E1, 750, 0}, {H2, 2 * G, 1100, loss}, {H3, E3, 2700, 0}});
    s.materials[0].law(3, 3) = s.materials[0].law(4, 4) = 1e3 * E1;  // no shear in the board, as the theory has it
    s.materials[0].law(5, 5) = E1 / 2;
    s = held(s, {u_low, u_high}, EdgeKind::simple_soft);
    const DampedRun run = damped(s, 140, 1.5);
    const double k = M_PI / L, mass = 750 * H1 + 1100 * H2 + 2700 * H3;
    const Complex g = G * Complex(1, loss) / (E3 * H3 * H2 * k * k), E2 = 2 * G * Complex(1, loss);
    const double H31 = (H1 + H3) / 2 + H2, H21 = (H1 + H2) / 2;
    const Complex D = (E2 * H2 * (H21 - H31 / 2) + g * (E2 * H2 * H21 + E3 * H3 * H31)) /
                      (E1 * H1 + E2 * H2 / 2.0 + g * (E1 * H1 + E2 * H2 + E3 * H3));
    const Complex EI = E1 * std::pow(H1, 3) / 12 + E2 * std::pow(H2, 3) / 12.0 + E3 * std::pow(H3, 3) / 12 -
                       E2 * H2 * H2 / 12.0 * (H31 - D) / (1.0 + g) + E1 * H1 * D * D + E2 * H2 * (H21 - D) * (H21 - D) +
                       E3 * H3 * (H31 - D) * (H31 - D) -
                       (E2 * H2 / 2.0 * (H21 - D) + E3 * H3 * (H31 - D)) * (H31 - D) / (1.0 + g);
    const Complex lambda = EI * std::pow(k, 4) / mass;
    ASSERT_GE(run.exact.size(), 1u);
    EXPECT_NEAR(run.exact[0].frequency / (std::sqrt(lambda.real()) / (2 * M_PI)), 1, 5e-3) << H2;
    EXPECT_NEAR(run.exact[0].loss_factor / (lambda.imag() / lambda.real()), 1, 2e-2) << H2;
  }
}

// ASTM E756 (from memory): a bare and a coated cantilever (Oberst beam) give the coating's modulus and loss factor
// back.
TEST(DampedModes, CoatingFromAnOberstBeam) {
  const double L = 0.2, H = 0.001, H1 = 0.002, E = 2e11, rho = 7800, E1 = 1e9, rho1 = 1600, loss = 0.3;
  const auto beam = [&](bool coated) {
    std::vector<LayerData> layers{{H, E, rho, 0}};
    if (coated) layers.push_back({H1, E1, rho1, loss});
    return held(strip(L, 0.01, layers), {u_low}, EdgeKind::clamped);
  };
  const DampedRun bare = damped(beam(false), 450, 2), coated = damped(beam(true), 450, 2);
  ASSERT_GE(bare.exact.size(), 3u);
  ASSERT_GE(coated.exact.size(), 3u);
  const double T = H1 / H, D = rho1 / rho, c[] = {0.55959, 3.5069, 9.8194};
  for (int i = 0; i < 3; ++i) {
    const double fn = bare.exact[i].frequency, fc = coated.exact[i].frequency;
    EXPECT_NEAR(12 * rho * std::pow(L, 4) * fn * fn / (H * H * c[i] * c[i]) / E, 1, 1e-2) << i;
    const double a = std::pow(fc / fn, 2) * (1 + D * T), b = 4 + 6 * T + 4 * T * T;
    const double found = E / (2 * T * T * T) * ((a - b) + std::sqrt((a - b) * (a - b) - 4 * T * T * (1 - a)));
    EXPECT_NEAR(found / E1, 1, 2e-2) << i;
    const double M = found / E;
    const double found_loss = coated.exact[i].loss_factor * (1 + M * T) *
                              (1 + 4 * M * T + 6 * M * T * T + 4 * M * T * T * T + M * M * std::pow(T, 4)) /
                              (M * T * (3 + 6 * T + 4 * T * T + 2 * M * T * T * T + M * M * std::pow(T, 4)));
    EXPECT_NEAR(found_loss / loss, 1, 2e-2) << i;
  }
}

// Loss shares sum to one, no loss factor is negative, and the parts' energies give back the loss factor.
TEST(DampedModes, SharesAddUp) {
  const Structure s =
      held(strip(0.2, 0.1, {{0.012, 4e9, 700, 0.02}, {0.001, 3e6, 1100, 0.9}, {0.001, 70e9, 2700, 1e-4}}), {u_low},
           EdgeKind::clamped);
  SolveOptions options;
  options.up_to = 800;
  const ModalResult r = solve_modes(s, options);
  EXPECT_TRUE(r.exact_damping);
  ASSERT_GE(r.modes.size(), 3u);
  ASSERT_EQ(r.loss_parts.size(), 3u);
  for (const Mode &mode : r.modes) {
    double sum = 0;
    for (double share : mode.loss_share) {
      EXPECT_GE(share, 0);
      sum += share;
    }
    EXPECT_NEAR(sum, 1, 1e-9);
    EXPECT_GT(mode.loss_factor, 0);
    EXPECT_LE(mode.damped_residual, DampedOptions().tolerance);
    EXPECT_GT(mode.energy_loss_factor, 0);
  }
}

}  // namespace
}  // namespace stillbox
