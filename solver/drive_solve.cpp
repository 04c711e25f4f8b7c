// SPDX-License-Identifier: MIT
#include "solver/drive_solve.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "mesh/grid.h"
#include "solver/damped_modes.h"
#include "solver/lumped_air.h"
#include "solver/stopwatch.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

int index_of(const std::vector<WallCutOut> &cut_outs, int board, int index) {
  for (std::size_t i = 0; i < cut_outs.size(); ++i)
    if (cut_outs[i].board == board && cut_outs[i].index == index) return int(i);
  return -1;
}

int opening_of(const InsideAir &air, const std::string &name) {
  for (std::size_t i = 0; i < air.openings.size(); ++i)
    if (air.openings[i].name == name) return int(i);
  throw SolveError("the air inside does not know the cut-out \"" + name + "\"");
}

Eigen::Vector3d point_in_front(const Structure &s, const WallCutOut &c) {
  const Board &board = s.boards[c.board];
  const Eigen::Vector2d &at = board.cut_outs[c.index].centre;
  return board.at(at.x(), at.y(), board.thickness() + axis_distance);
}

// Evenly over the logarithm, and for each mode its peak as it is with its loss.
Eigen::VectorXd frequencies_of_drive(const DriveRequest &r, const std::vector<DampedMode> &modes) {
  std::vector<double> list;
  for (int i = 0; i < r.points; ++i)
    list.push_back(drive_from * std::pow(r.up_to / drive_from, double(i) / std::max(1, r.points - 1)));
  list.back() = r.up_to;
  for (const DampedMode &mode : modes)
    for (int step = -3; step <= 3; ++step) {
      const double f = mode.frequency * (1 + step * std::max(mode.loss_factor, 1e-4) / 2);
      if (f > drive_from && f < r.up_to) list.push_back(f);
    }
  std::sort(list.begin(), list.end());
  list.erase(std::unique(list.begin(), list.end()), list.end());
  return Eigen::Map<Eigen::VectorXd>(list.data(), Eigen::Index(list.size()));
}

// All of the box that a response needs once the finite elements are done with.
struct Box {
  ForcedSystem system;
  OutsidePatterns patterns;
  SoundSweep sweep;
  Eigen::Matrix<double, Eigen::Dynamic, 3> points;
};

Eigen::VectorXcd element_velocities(const OutsidePatterns &p, const ForcedAnswer &answer) {
  const Complex iw(0, 2 * M_PI * answer.frequency);
  Eigen::MatrixXd all(p.shapes.rows(), p.shapes.cols() + p.pistons.cols());
  all << p.shapes, p.pistons;
  return all.cast<Complex>() * (iw * answer.motions);
}

void respond(const Box &box, const DriveRequest &request, DriveSolution &out) {
  for (double f : out.frequencies) {
    const DriveRadiation r = drive_radiation(box.patterns, box.sweep, f);
    out.answers.push_back(forced_response(box.system, f, r.impedance));
    out.still.push_back(forced_response(box.system, f, r.impedance, false));
    out.sound.push_back(drive_sound(box.patterns, r, out.answers.back(), out.air));
  }
  for (double f : request.at) {
    const ForcedAnswer answer = forced_response(box.system, f, drive_radiation(box.patterns, box.sweep, f).impedance);
    const SurfaceSound s = solve_outside(box.patterns.mesh, out.air, f, element_velocities(box.patterns, answer));
    out.surfaces.push_back({f, s.velocity, s.pressure});
  }
}

// One frequency solved with all motions together, where the walls are loudest.
DriveCheck check_outside(const Box &box, const DriveSolution &s) {
  std::size_t loudest = 0;
  for (std::size_t i = 0; i < s.sound.size(); ++i)
    if (s.sound[i].walls.sphere > s.sound[loudest].walls.sphere) loudest = i;
  const ForcedAnswer &answer = s.answers[loudest];
  const SurfaceSound solved =
      solve_outside(box.patterns.mesh, s.air, answer.frequency, element_velocities(box.patterns, answer));
  const Complex p = pressure_at(box.patterns.mesh, solved, box.points)(0, 0);
  return {answer.frequency, std::abs(s.sound[loudest].total.on_axis / p - 1.0),
          answer.powers.radiated / (2 * far_power(box.patterns.mesh, solved)[0]) - 1};
}

SoundSweep sweep_patterns(const OutsidePatterns &patterns, const DriveRequest &request, const DriveSolution &out,
                          const Eigen::Matrix<double, Eigen::Dynamic, 3> &points) {
  SweepOptions options;
  if (request.solve.progress)
    options.progress = [&](int solved, double) {
      request.solve.progress("sound outside: " + std::to_string(solved) + " frequencies solved");
    };
  return sweep_outside(patterns.mesh, out.air, patterns.basis, points, drive_from, request.up_to, options);
}

// The cut-outs of a model and what moves there.
struct Site {
  std::vector<WallCutOut> cut_outs;
  std::vector<int> sits;  // cut-out of each driven driver
  SampleColumns rims, inner;
};

Site site_of(const Structure &s, const Model &m) {
  Site site;
  site.cut_outs = wall_cut_outs(s);
  for (int d : driven_drivers(s))
    site.sits.push_back(index_of(site.cut_outs, s.rim_masses[d].board, s.rim_masses[d].cut_out));
  site.rims = rim_columns(m, site.cut_outs);
  site.inner = inner_wall_columns(m);
  return site;
}

// What shakes the walls: drivers at their rims, the pressure inside on each wall.
Eigen::MatrixXd loads_of(const Site &site) {
  Eigen::MatrixXd loads(site.rims.rows(), Eigen::Index(site.sits.size()) + site.inner.cols());
  for (std::size_t d = 0; d < site.sits.size(); ++d) loads.col(d) = site.rims.col(site.sits[d]);
  loads.rightCols(site.inner.cols()) = site.inner;
  return loads;
}

DriveAir air_of(const Structure &s, const Model &m, const AirMaker &make_air, const Site &site,
                const Eigen::MatrixXd &vectors, const OutsideAir &air) {
  if (make_air) return make_air(m, vectors, site.cut_outs);
  const Eigen::MatrixXd moved = site.inner.transpose() * vectors;
  return {lumped_air(volumes_of(s).inner, air, moved.colwise().sum(), site.cut_outs),
          {},
          Eigen::VectorXd::Zero(site.cut_outs.size()),
          {}};
}

// The air knows cut-outs by its openings, the outside by walls; `rims`: cut-outs x shapes.
ForcedSystem system_of(const Site &site, const DriveShapes &shapes, const DriveAir &inside, const Eigen::MatrixXd &rims,
                       const DriveSolution &out) {
  Eigen::MatrixXd at_openings = Eigen::MatrixXd::Zero(inside.air.openings.size(), rims.cols());
  for (std::size_t c = 0; c < site.cut_outs.size(); ++c)
    at_openings.row(opening_of(inside.air, site.cut_outs[c].name)) = rims.row(c);
  std::vector<int> cones;
  for (int c : site.sits) cones.push_back(opening_of(inside.air, site.cut_outs[c].name));
  ForcedSystem system = make_forced_system(shapes.stiffness, inside.air, out.air.density, out.values, cones,
                                           inside.ports, at_openings, inside.coupled_area);
  system.wall_mass = inside.wall_mass;
  return system;
}

OutsidePatterns patterns_of(const Structure &s, const Model &m, const Site &site, const DriveShapes &shapes,
                            const DriveAir &inside, const Eigen::MatrixXd &rims, double up_to,
                            const DriveSolution &out) {
  std::vector<OutsidePiston> pistons;
  for (std::size_t d = 0; d < site.sits.size(); ++d) {
    const WallCutOut &c = site.cut_outs[site.sits[d]];
    pistons.push_back({c.wall, c.index, out.values[d].cone_area});
  }
  for (const ForcedPort &port : inside.ports)
    for (const WallCutOut &c : site.cut_outs)
      if (c.name == inside.air.openings[port.opening].name) pistons.push_back({c.wall, c.index, port.area});
  std::vector<std::pair<int, int>> places;
  for (const WallCutOut &c : site.cut_outs) places.emplace_back(c.wall, c.index);
  const SurfaceMesh mesh = cabinet_surface(s, out.air, up_to);
  return make_outside_patterns(mesh, s, outside_columns(m, mesh).transpose() * shapes.vectors, places, rims, pistons);
}

void note_outside(const Box &box, double up_to, DriveSolution &out) {
  const SurfaceMesh &mesh = box.patterns.mesh;
  out.wall_area.assign(out.walls.size(), 0);
  for (int e = 0; e < int(mesh.elements.size()); ++e) out.wall_area[mesh.wall[e]] += mesh.areas[e];
  out.surface = mesh;
  out.patterns = int(box.patterns.basis.cols());
  out.sound_solutions = int(box.sweep.frequencies.size());
  out.sweep_error = box.sweep.error;
  out.elements_per_wavelength = elements_per_wave(mesh, out.air, up_to);
}

void solve_box(const Structure &s, const DriveRequest &request, const AirMaker &make_air, Model &m,
               const Spectrum &spectrum, const std::vector<DampedMode> &modes, DriveSolution &out) {
  Stopwatch watch;
  const Site site = site_of(s, m);
  const DriveShapes shapes = make_drive_shapes(m, spectrum, loads_of(site), request.solve);
  out.left_out_shapes = shapes.left_out;
  out.rigid_shapes = shapes.rigid;
  out.first_cone = int(shapes.vectors.cols());
  const DriveAir inside = air_of(s, m, make_air, site, shapes.vectors, out.air);
  out.inside_volume = inside.air.volume;
  out.has_standing_waves = inside.air.frequencies.size() > 1;
  const Eigen::MatrixXd rims = site.rims.transpose() * shapes.vectors;
  Box box{system_of(site, shapes, inside, rims, out),
          patterns_of(s, m, site, shapes, inside, rims, request.up_to, out),
          {},
          {}};
  out.seconds_shapes = watch.lap();
  out.point = point_in_front(s, site.cut_outs[site.sits[0]]);
  box.points = out.point.transpose();
  box.sweep = sweep_patterns(box.patterns, request, out, box.points);
  note_outside(box, request.up_to, out);
  out.seconds_sound = watch.lap();
  if (request.solve.progress) request.solve.progress("response to the drivers");
  out.frequencies = frequencies_of_drive(request, modes);
  respond(box, request, out);
  for (int k = 0; k < shapes.elastic; ++k) {
    const double f = modes[k].frequency;
    out.radiation_loss.push_back(f >= drive_from && f <= request.up_to
                                     ? radiation_loss(drive_radiation(box.patterns, box.sweep, f), k, f)
                                     : std::numeric_limits<double>::quiet_NaN());
  }
  out.check = check_outside(box, out);
  out.seconds_response = watch.lap();
}

}  // namespace

std::vector<int> driven_drivers(const Structure &s) {
  std::vector<int> list;
  const std::vector<int> walls = sound_walls(s);
  for (std::size_t d = 0; d < s.rim_masses.size(); ++d) {
    if (s.rim_masses[d].small_signal && std::find(walls.begin(), walls.end(), s.rim_masses[d].board) != walls.end())
      list.push_back(int(d));
  }
  return list;
}

DriveSolution solve_drive(const Structure &s, const DriveRequest &request, const AirMaker &make_air) {
  assert(!driven_drivers(s).empty() && request.up_to > drive_from && request.points >= 2);
  DriveSolution out;
  out.case_name = s.case_name;
  out.variant_name = s.variant_name;
  out.air = outside_air(s.temperature);
  static const char *const box_walls[] = {"baffle", "back", "left", "right", "top", "bottom"};
  const std::vector<int> walls = sound_walls(s);
  for (std::size_t w = 0; w < walls.size(); ++w)
    out.walls.push_back(s.cabinet ? box_walls[w] : s.boards[std::size_t(walls[w])].name);
  for (int d : driven_drivers(s)) {
    out.drivers.push_back(s.rim_masses[d].name);
    out.values.push_back(*s.rim_masses[d].small_signal);
    if (request.voltage > 0) out.values.back().voltage = request.voltage;
  }
  DriveRequest asked = request;
  asked.solve.up_to = std::min(20000.0, modes_beyond * request.up_to);
  asked.solve.damping = Damping::energy;
  out.modes =
      solve_modes(s, asked.solve, [&](Model &m, const Spectrum &spectrum, const std::vector<DampedMode> &modes) {
        solve_box(s, asked, make_air, m, spectrum, modes, out);
      });
  out.modes.field = {};
  return out;
}

}  // namespace stillbox
