// SPDX-License-Identifier: MIT
#include "postprocess/solution_bytes.h"

#include <boost/archive/archive_exception.hpp>
#include <boost/archive/binary_iarchive.hpp>
#include <boost/archive/binary_oarchive.hpp>
#include <boost/serialization/array.hpp>
#include <boost/serialization/array_wrapper.hpp>
#include <boost/serialization/complex.hpp>
#include <boost/serialization/string.hpp>
#include <boost/serialization/vector.hpp>
#include <sstream>

// One function per structure writes and reads it. It names all members: one that is added there and forgotten here does
// not compile.
namespace boost::serialization {

template <class Archive, class... Member>
void all(Archive &ar, Member &...members) {
  (ar & ... & members);
}

template <class Archive, class Number, int rows, int columns, int order>
void serialize(Archive &ar, Eigen::Matrix<Number, rows, columns, order> &m, unsigned) {
  Eigen::Index r = m.rows(), c = m.cols();
  ar &r &c;
  if constexpr (Archive::is_loading::value) m.resize(r, c);
  ar &make_array(reinterpret_cast<char *>(m.data()), std::size_t(m.size()) * sizeof(Number));
}

template <class Archive>
void serialize(Archive &ar, stillbox::ModalField &f, unsigned) {
  auto &[degree, knots, tetrahedron, points, cells, cell_board, cell_material, shapes] = f;
  all(ar, degree, knots, tetrahedron, points, cells, cell_board, cell_material, shapes);
}

template <class Archive>
void serialize(Archive &ar, stillbox::FaceSamples &f, unsigned) {
  auto &[board, role, is_bent, is_closed, size, nu, nv, origin, u, v, outline, present, normal] = f;
  all(ar, board, role, is_bent, is_closed, size, nu, nv, origin, u, v, outline, present, normal);
}

template <class Archive>
void serialize(Archive &ar, stillbox::Mode &m, unsigned) {
  auto &[frequency, numerical_error, check_shift, residual, band_low, band_high, loss_factor, quality, decay_time,
         energy_frequency, energy_loss_factor, damped_residual, loss_share, net_volume, net_share, energy_share,
         label] = m;
  all(ar, frequency, numerical_error, check_shift, residual, band_low, band_high, loss_factor, quality, decay_time,
      energy_frequency, energy_loss_factor, damped_residual, loss_share, net_volume, net_share, energy_share, label);
}

template <class Archive>
void serialize(Archive &ar, stillbox::Sensitivity &s, unsigned) {
  auto &[parameter, tolerance, per_mode] = s;
  all(ar, parameter, tolerance, per_mode);
}

template <class Archive>
void serialize(Archive &ar, stillbox::BoardSummary &b, unsigned) {
  auto &[name, role, material, mass, volume] = b;
  all(ar, name, role, material, mass, volume);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SolveReport &r, unsigned) {
  auto &[dofs, cells, degree, rigid_modes, up_to, counted_below, mass, mass_expected, volume, volume_expected,
         least_jacobian, tetrahedra, why_tetrahedra, seconds_mesh, seconds_assemble, seconds_factorise, seconds_eigen,
         seconds_damped, seconds_rest, seconds_files, includes, leaves_out, notes] = r;
  all(ar, dofs, cells, degree, rigid_modes, up_to, counted_below, mass, mass_expected, volume, volume_expected,
      least_jacobian, tetrahedra, why_tetrahedra, seconds_mesh, seconds_assemble, seconds_factorise, seconds_eigen,
      seconds_damped, seconds_rest, seconds_files, includes, leaves_out, notes);
}

template <class Archive>
void serialize(Archive &ar, stillbox::ModalResult &r, unsigned) {
  auto &[case_name, variant_name, mass, inner_volume, boards, modes, loss_parts, exact_damping, sensitivities, field,
         faces, report] = r;
  all(ar, case_name, variant_name, mass, inner_volume, boards, modes, loss_parts, exact_damping, sensitivities, field,
      faces, report);
}

template <class Archive>
void serialize(Archive &ar, stillbox::KnockPoint &p, unsigned) {
  auto &[face, place, at, normal] = p;
  all(ar, face, place, at, normal);
}

template <class Archive>
void serialize(Archive &ar, stillbox::KnockModel &m, unsigned) {
  auto &[case_name, variant_name, walls, points, up_to, poles, shapes, rigid, residual, volume, rigid_volume,
         residual_volume, wall_area, upper_lambda, upper_loss, upper, upper_volume] = m;
  all(ar, case_name, variant_name, walls, points, up_to, poles, shapes, rigid, residual, volume, rigid_volume,
      residual_volume, wall_area, upper_lambda, upper_loss, upper, upper_volume);
}

template <class Archive>
void serialize(Archive &ar, stillbox::KnockSolution &s, unsigned) {
  auto &[model, modes, residual_slope] = s;
  all(ar, model, modes, residual_slope);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SheetMode &x, unsigned) {
  auto &[number, frequency, loss_factor] = x;
  all(ar, number, frequency, loss_factor);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SheetGain &x, unsigned) {
  auto &[area, mass, volume, per_mode, added, relative] = x;
  all(ar, area, mass, volume, per_mode, added, relative);
}

template <class Archive>
void serialize(Archive &ar, stillbox::OpenFace &x, unsigned) {
  auto &[board, is_high, word, low, size, nu, nv, open, places] = x;
  all(ar, board, is_high, word, low, size, nu, nv, open, places);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SheetFace &x, unsigned) {
  auto &[face, board, role, value, whole, best, best_is_bare, low, high, centre, size] = x;
  all(ar, face, board, role, value, whole, best, best_is_bare, low, high, centre, size);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SheetValue &x, unsigned) {
  auto &[case_name, variant_name, material, thickness, density, has_cabinet, modes, faces, stiffening] = x;
  all(ar, case_name, variant_name, material, thickness, density, has_cabinet, modes, faces, stiffening);
}

template <class Archive>
void serialize(Archive &ar, stillbox::OutsideAir &x, unsigned) {
  auto &[density, speed] = x;
  all(ar, density, speed);
}

template <class Archive>
void serialize(Archive &ar, stillbox::AirOpening &x, unsigned) {
  auto &[name, mean_phi, area, has_driver, port, rim_motion] = x;
  all(ar, name, mean_phi, area, has_driver, port, rim_motion);
}

// The fluid is a function, which stays where it is: nothing asks for it after the solution.
template <class Archive>
void serialize(Archive &ar, stillbox::AirRegion &x, unsigned) {
  auto &[name, gradients, masses, volume, fluid] = x;
  all(ar, name, gradients, masses, volume);
}

template <class Archive>
void serialize(Archive &ar, stillbox::InsideAir &x, unsigned) {
  auto &[volume, frequencies, standing, chambers, errors, labels, regions, wall_coupling, wall_residual, openings,
         air] = x;
  all(ar, volume, frequencies, standing, chambers, errors, labels, regions, wall_coupling, wall_residual, openings,
      air);
}

template <class Archive>
void serialize(Archive &ar, stillbox::PortTube &x, unsigned) {
  auto &[area, radius, length, end_outside, end_inside, formula_end_inside, air, viscosity] = x;
  all(ar, area, radius, length, end_outside, end_inside, formula_end_inside, air, viscosity);
}

template <class Archive>
void serialize(Archive &ar, stillbox::CoupledMode &x, unsigned) {
  auto &[frequency, loss_factor, decay_time, undamped_frequency, wall_share, port_share, air_share, residual,
         damped_away, separate] = x;
  all(ar, frequency, loss_factor, decay_time, undamped_frequency, wall_share, port_share, air_share, residual,
      damped_away, separate);
}

template <class Archive>
void serialize(Archive &ar, stillbox::Coincidence &x, unsigned) {
  auto &[standing, wall, standing_hz, apart, coupling] = x;
  all(ar, standing, wall, standing_hz, apart, coupling);
}

// Without the field, which is for a file.
template <class Archive>
void serialize(Archive &ar, stillbox::AirSolution &x, unsigned) {
  auto &[modes, air, field, tubes, ports, rigid, coupled, rigid_of_standing, rigid_of_port, coupled_of_wall,
         coupled_of_standing, coupled_of_port, coincidences, seconds_air] = x;
  all(ar, modes, air, tubes, ports, rigid, coupled, rigid_of_standing, rigid_of_port, coupled_of_wall,
      coupled_of_standing, coupled_of_port, coincidences, seconds_air);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SmallSignal &x, unsigned) {
  auto &[moving_mass, compliance, mechanical_q, electrical_q, force_factor, coil_resistance, coil_inductance, cone_area,
         voltage] = x;
  all(ar, moving_mass, compliance, mechanical_q, electrical_q, force_factor, coil_resistance, coil_inductance,
      cone_area, voltage);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SurfaceMesh &x, unsigned) {
  auto &[nodes, elements, wall, cut_out, centres, normals, areas, sizes] = x;
  all(ar, nodes, elements, wall, cut_out, centres, normals, areas, sizes);
}

template <class Archive>
void serialize(Archive &ar, stillbox::ForcedAnswer::Powers &x, unsigned) {
  auto &[electrical, coil, suspension, walls, lining, ports, radiated] = x;
  all(ar, electrical, coil, suspension, walls, lining, ports, radiated);
}

template <class Archive>
void serialize(Archive &ar, stillbox::ForcedAnswer &x, unsigned) {
  auto &[frequency, motions, air, current, impedance, powers] = x;
  all(ar, frequency, motions, air, current, impedance, powers);
}

template <class Archive>
void serialize(Archive &ar, stillbox::SoundPart &x, unsigned) {
  auto &[on_axis, sphere] = x;
  all(ar, on_axis, sphere);
}

template <class Archive>
void serialize(Archive &ar, stillbox::DriveSound &x, unsigned) {
  auto &[frequency, walls, cones, ports, total, driver, wall, shape, shape_sphere, wall_velocity, net_volume_pressure] =
      x;
  all(ar, frequency, walls, cones, ports, total, driver, wall, shape, shape_sphere, wall_velocity, net_volume_pressure);
}

template <class Archive>
void serialize(Archive &ar, stillbox::DriveSurface &x, unsigned) {
  auto &[frequency, velocity, pressure] = x;
  all(ar, frequency, velocity, pressure);
}

template <class Archive>
void serialize(Archive &ar, stillbox::DriveCheck &x, unsigned) {
  auto &[frequency, sound_difference, power_difference] = x;
  all(ar, frequency, sound_difference, power_difference);
}

template <class Archive>
void serialize(Archive &ar, stillbox::DriveSolution &x, unsigned) {
  auto &[case_name, variant_name, modes, drivers, values, air, inside_volume, has_standing_waves, left_out_shapes,
         rigid_shapes, first_cone, radiation_loss, frequencies, answers, still, sound, walls, wall_area, point, surface,
         surfaces, patterns, sound_solutions, sweep_error, elements_per_wavelength, check, seconds_sound,
         seconds_response, seconds_shapes] = x;
  all(ar, case_name, variant_name, modes, drivers, values, air, inside_volume, has_standing_waves, left_out_shapes,
      rigid_shapes, first_cone, radiation_loss, frequencies, answers, still, sound, walls, wall_area, point, surface,
      surfaces, patterns, sound_solutions, sweep_error, elements_per_wavelength, check, seconds_sound, seconds_response,
      seconds_shapes);
}

}  // namespace boost::serialization

namespace stillbox {
namespace {

constexpr unsigned flags = boost::archive::no_header | boost::archive::no_tracking;

template <class Solution>
std::string written(const Solution &solution) {
  std::ostringstream out;
  {
    boost::archive::binary_oarchive archive(out, flags);
    archive << solution;
  }
  return out.str();
}

template <class Solution>
void read(const std::string &bytes, Solution &solution) {
  std::istringstream in(bytes);
  try {
    boost::archive::binary_iarchive archive(in, flags);
    archive >> solution;
  } catch (const boost::archive::archive_exception &error) {
    throw std::runtime_error(std::string("a solution from another process is not whole: ") + error.what());
  }
}

}  // namespace

std::string bytes_of(const ModalResult &solution) { return written(solution); }
std::string bytes_of(const KnockSolution &solution) { return written(solution); }
std::string bytes_of(const SheetValue &solution) { return written(solution); }
std::string bytes_of(const AirSolution &solution) { return written(solution); }
std::string bytes_of(const DriveSolution &solution) { return written(solution); }

void from_bytes(const std::string &bytes, ModalResult &solution) { read(bytes, solution); }
void from_bytes(const std::string &bytes, KnockSolution &solution) { read(bytes, solution); }
void from_bytes(const std::string &bytes, SheetValue &solution) { read(bytes, solution); }
void from_bytes(const std::string &bytes, AirSolution &solution) { read(bytes, solution); }
void from_bytes(const std::string &bytes, DriveSolution &solution) { read(bytes, solution); }

}  // namespace stillbox
