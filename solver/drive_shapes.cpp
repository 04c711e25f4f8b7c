// SPDX-License-Identifier: MIT
#include "solver/drive_shapes.h"

#include <cmath>

#include "solver/left_out_modes.h"
#include "solver/lossy_parts.h"

namespace stillbox {
namespace {

// The answers of the modes left out to the loads, made into M-orthonormal shapes.
void add_left_out(Model &m, const Spectrum &spectrum, const Eigen::MatrixXd &loads, const SolveOptions &options,
                  Eigen::VectorXd &lambda, Eigen::MatrixXd &vectors) {
  const Eigen::MatrixXd &X = spectrum.elastic.vectors, &Z = spectrum.rigid_motions;
  const auto kept_part = [&](const Eigen::MatrixXd &b) -> Eigen::MatrixXd {
    Eigen::MatrixXd kept = X * (X.transpose() * b);
    kept += Z * (Z.transpose() * b);
    return kept;
  };
  if (options.progress) options.progress("factorising for the modes left out");
  const double omega = 2 * M_PI * options.up_to, shift = left_out_shift * omega * omega;
  const auto factor = factor_shifted(m, -shift);
  const int n = int(loads.cols());
  // The answers to the loads, and to the inertia of these answers: M u (both M-orthogonal to the modes kept).
  Eigen::MatrixXd right(loads.rows(), 2 * n), u(loads.rows(), 2 * n), Mu(loads.rows(), 2 * n);
  right.leftCols(n) = loads - multiply(m.system.mass, kept_part(loads));
  for (int block = 0; block < 2; ++block) {
    Eigen::MatrixXd answer = right.middleCols(block * n, n);
    factor->solve(answer);
    answer -= kept_part(multiply(m.system.mass, answer));
    u.middleCols(block * n, n) = answer;
    Mu.middleCols(block * n, n) = multiply(m.system.mass, answer);
    if (block == 0) right.rightCols(n) = Mu.leftCols(n);
  }
  // (K + e M) u = right.
  const Eigen::MatrixXd R1 = u.transpose() * Mu, R0 = u.transpose() * right - shift * R1;
  const Eigen::VectorXd size = R0.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  const LeftOutModes left_out =
      left_out_modes(size.asDiagonal() * R0 * size.asDiagonal(), size.asDiagonal() * R1 * size.asDiagonal());
  lambda = left_out.lambda;
  vectors = u * (size.asDiagonal() * left_out.answers);
}

}  // namespace

Eigen::MatrixXcd stiffness_at(const ShapeStiffness &s, double frequency) {
  const std::complex<double> base = s.base(frequency);
  Eigen::MatrixXcd K = (base * s.lambda).asDiagonal();
  for (const ShapeStiffness::Part &part : s.parts) K += (part.scale(frequency) - base) * part.stiffness;
  return K;
}

DriveShapes make_drive_shapes(Model &m, const Spectrum &spectrum, const Eigen::MatrixXd &loads,
                              const SolveOptions &options) {
  Eigen::VectorXd lambda;
  Eigen::MatrixXd vectors(m.unknowns.count, 0);
  if (loads.cols() > 0) add_left_out(m, spectrum, loads, options, lambda, vectors);
  DriveShapes s;
  s.elastic = int(spectrum.elastic.values.size());
  s.left_out = int(lambda.size());
  s.rigid = int(spectrum.rigid_motions.cols());
  const int count = s.elastic + s.left_out + s.rigid;
  s.vectors.resize(m.unknowns.count, count);
  s.vectors << spectrum.elastic.vectors, vectors, spectrum.rigid_motions;
  s.stiffness.lambda = Eigen::VectorXd::Zero(count);
  s.stiffness.lambda.head(s.elastic) = spectrum.elastic.values;
  s.stiffness.lambda.segment(s.elastic, s.left_out) = lambda;
  const DampedProblem problem = make_damped_problem(m);
  s.stiffness.base = problem.base;
  for (const LossyPart &part : problem.parts) {
    const Eigen::MatrixXd K = s.vectors.transpose() * multiply(part.stiffness, s.vectors);
    s.stiffness.parts.push_back({part.name, (K + K.transpose()) / 2, part.scale});
  }
  return s;
}

}  // namespace stillbox
