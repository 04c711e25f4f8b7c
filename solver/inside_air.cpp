// SPDX-License-Identifier: MIT
#include "solver/inside_air.h"

#include <algorithm>
#include <cmath>

#include "solver/inside_coupling.h"
#include "solver/inside_labels.h"
#include "solver/lining.h"

namespace stillbox {
namespace {

constexpr int air_degree = 3;
constexpr double elements_a_wave = 3;     // of degree 3: 0.05 % in frequency for a plain wave
constexpr double largest_element = 0.07;  // m: near fields of openings are of the boards' size, whatever the wave

std::vector<AirRegion> regions_of(const InsideField &f, const Structure &s, const OutsideAir &air) {
  std::vector<AirRegion> list;
  for (int r = -1; r < int(s.linings.size()); ++r) {
    RegionMatrices m = region_matrices(f, r);
    AirRegion region;
    region.name = r < 0 ? "air" : s.linings[r].name;
    region.gradients = std::move(m.gradients);
    region.masses = std::move(m.masses);
    region.volume = m.volume;
    if (r < 0) {
      region.fluid = [air](double) { return plain_fluid(air); };
    } else {
      const double resistivity = s.linings[r].flow_resistivity;
      region.fluid = [air, resistivity](double hz) { return porous_fluid(air, resistivity, hz); };
    }
    list.push_back(std::move(region));
  }
  return list;
}

// What drives near fields: mouths, and for the linings the modes' own gradients in them.
Eigen::MatrixXd near_field_loads(const InsideField &f, const Structure &s, const std::vector<Mouth> &mouths,
                                 const std::vector<Eigen::VectorXd> &means, double k_wanted) {
  std::vector<Eigen::MatrixXd> loads;
  for (std::size_t i = 0; i < mouths.size(); ++i)
    if (mouths[i].has_driver || mouths[i].port >= 0) loads.push_back(means[i]);
  int wanted = 0;
  while (wanted < f.standing && f.squares[wanted] <= k_wanted * k_wanted) ++wanted;
  for (int r = 0; r < int(s.linings.size()); ++r) {
    Eigen::MatrixXd gradients, masses;
    region_matrices(f, r, &gradients, &masses);
    loads.push_back(gradients.middleCols(f.chambers, wanted - f.chambers));
    loads.push_back(masses.leftCols(wanted));
  }
  Eigen::Index columns = 0;
  for (const Eigen::MatrixXd &m : loads) columns += m.cols();
  Eigen::MatrixXd all(f.shapes.rows(), columns);
  columns = 0;
  for (const Eigen::MatrixXd &m : loads) {
    all.middleCols(columns, m.cols()) = m;
    columns += m.cols();
  }
  return all;
}

InsideAir solve_inside(const Structure &s, const Model *wood, const Eigen::MatrixXd &vectors,
                       const InsideAirOptions &options, InsideField *keep) {
  InsideAir out;
  out.air = outside_air(s.temperature);
  const double top = options.reach * options.up_to;
  InsideMeshOptions mesh_options;
  mesh_options.size = std::min(out.air.speed / top / elements_a_wave, largest_element) / options.fineness;
  InsideField field = make_inside_field(make_inside_mesh(s, mesh_options), air_degree);
  solve_standing_waves(field, wave_number(out.air, top));
  const std::vector<Mouth> mouths = mouths_of(s);
  std::vector<Eigen::VectorXd> means;
  for (const Mouth &mouth : mouths) means.push_back(mouth_mean(field, mouth));
  out.errors = inside_errors(field);
  add_near_fields(field, near_field_loads(field, s, mouths, means, wave_number(out.air, options.up_to)));

  out.volume = field.volume;
  out.standing = field.standing;
  out.chambers = field.chambers;
  out.frequencies = out.air.speed / (2 * M_PI) * field.squares.cwiseSqrt();
  out.labels = standing_wave_labels(field);
  out.labels.resize(std::size_t(out.frequencies.size()), "near field");
  out.regions = regions_of(field, s, out.air);

  NodeShapes walls;
  if (wood)
    for (int i = 0; i < vectors.cols(); ++i)
      walls.push_back(expand(wood->unknowns, wood->discretisation, vectors.col(i)));
  const auto modes = Eigen::Index(walls.size());
  Eigen::MatrixXd W = wood ? couple_faces(*wood, walls, field) : Eigen::MatrixXd(field.shapes.rows(), 0);
  for (std::size_t i = 0; i < mouths.size(); ++i) {
    AirOpening opening;
    opening.name = mouths[i].name;
    opening.mean_phi = field.shapes.transpose() * means[i];
    opening.area = mouths[i].area;
    opening.has_driver = mouths[i].has_driver;
    opening.port = mouths[i].port;
    opening.rim_motion = wood ? rim_motion(*wood, walls, mouths[i]) : Eigen::VectorXd::Zero(modes);
    if (wood && opening.port < 0) W.noalias() += opening.area * means[i] * opening.rim_motion.transpose();
    out.openings.push_back(std::move(opening));
  }
  out.wall_coupling = field.shapes.transpose() * W;
  out.wall_residual = wall_residual(field, W);
  if (keep) *keep = std::move(field);
  return out;
}

}  // namespace

InsideAir solve_inside_air(const Structure &s, const InsideAirOptions &options, InsideField *field) {
  return solve_inside(s, nullptr, {}, options, field);
}

InsideAir solve_inside_air(const Model &model, const Eigen::MatrixXd &vectors, const InsideAirOptions &options,
                           InsideField *field) {
  return solve_inside(*model.structure, &model, vectors, options, field);
}

}  // namespace stillbox
