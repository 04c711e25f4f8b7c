// SPDX-License-Identifier: MIT
#include "postprocess/drive_files.h"

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>

#include "postprocess/drive_bands.h"
#include "postprocess/drive_report.h"
#include "postprocess/modes_json.h"
#include "postprocess/summary.h"
#include "postprocess/text.h"
#include "postprocess/third_octave.h"
#include "solver/driver_model.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;
using Complex = std::complex<double>;

// Six significant digits: no figure here is better than that.
Json figure(double x) {
  if (!std::isfinite(x)) return nullptr;
  return x == 0 ? 0.0 : std::strtod(fmt::format("{:.6g}", x).c_str(), nullptr);
}

template <typename List, typename Pick>
Json real_list(const List &list, Pick pick) {
  Json out = Json::array();
  for (const auto &item : list) out.push_back(figure(pick(item)));
  return out;
}

template <typename List, typename Pick>
Json complex_list(const List &list, Pick pick) {
  Json re = Json::array(), im = Json::array();
  for (const auto &item : list) {
    const Complex value = pick(item);
    re.push_back(figure(value.real()));
    im.push_back(figure(value.imag()));
  }
  return {{"re", re}, {"im", im}};
}

template <typename Pick>
Json by_wall(const DriveSolution &s, Pick pick) {
  Json out = Json::object();
  for (int w = 0; w < int(s.walls.size()); ++w) out[wall_word(s, w)] = pick(w);
  return out;
}

Json drivers_json(const DriveSolution &s) {
  Json list = Json::array();
  for (std::size_t d = 0; d < s.drivers.size(); ++d) {
    const SmallSignal &v = s.values[d];
    const ClosedBox box = closed_box(v, s.air, s.inside_volume);
    list.push_back({{"name", clean_text(s.drivers[d])},
                    {"voltage_v", figure(v.voltage)},
                    {"moving_mass_g", figure(1e3 * v.moving_mass)},
                    {"compliance_mm_n", figure(1e3 * v.compliance)},
                    {"mechanical_q", figure(v.mechanical_q)},
                    {"electrical_q", figure(v.electrical_q)},
                    {"force_factor_tm", figure(v.force_factor)},
                    {"coil_resistance_ohm", figure(v.coil_resistance)},
                    {"coil_inductance_mh", figure(1e3 * v.coil_inductance)},
                    {"cone_area_cm2", figure(1e4 * v.cone_area)},
                    {"free_air",
                     {{"frequency_hz", figure(driver_resonance(v))},
                      {"total_q", figure(driver_total_q(v))},
                      {"equivalent_volume_l", figure(1e3 * equivalent_air_volume(v, s.air))}}},
                    {"closed_box", {{"frequency_hz", figure(box.frequency)}, {"total_q", figure(box.total_q)}}}});
  }
  return list;
}

Json modes_list(const DriveSolution &s) {
  Json list = Json::array();
  for (const DrivenMode &m : driven_modes(s)) {
    const Mode &mode = s.modes.modes[m.mode];
    list.push_back({{"mode", m.mode + 1},
                    {"frequency_hz", figure(mode.frequency)},
                    {"mesh_error_percent", figure(100 * mode.numerical_error)},
                    {"band_hz", {figure(mode.band_low), figure(mode.band_high)}},
                    {"loss_factor", figure(mode.loss_factor)},
                    {"radiation_loss_factor", figure(m.radiation_loss)},
                    {"net_share", figure(mode.net_share)},
                    {"label", clean_text(mode.label)},
                    {"walls_re_driver_db", figure(m.on_sphere)},
                    {"at_hz", figure(m.frequency)}});
  }
  return list;
}

Json walls_list(const DriveSolution &s) {
  Json list = Json::array();
  for (const DrivenWall &w : driven_walls(s))
    list.push_back({{"wall", wall_word(s, w.wall)},
                    {"walls_re_driver_db", figure(w.on_sphere)},
                    {"at_hz", figure(w.frequency)},
                    {"velocity_level_db", figure(w.velocity_level)},
                    {"velocity_at_hz", figure(w.velocity_frequency)}});
  return list;
}

Json bands_list(const DriveSolution &s) {
  Json list = Json::array();
  for (const DriveBand &b : drive_bands(s)) {
    Json modes = Json::array();
    for (int k : b.modes) modes.push_back(k + 1);
    list.push_back({{"third_octave_hz", third_octave_name(b.band)},
                    {"on_axis_db", figure(b.on_axis)},
                    {"on_axis_hz", figure(b.on_axis_hz)},
                    {"all_round_db", figure(b.on_sphere)},
                    {"all_round_hz", figure(b.on_sphere_hz)},
                    {"wall", wall_word(s, b.wall)},
                    {"modes", modes}});
  }
  return list;
}

Json powers_json(const DriveSolution &s) {
  using P = ForcedAnswer::Powers;
  const std::vector<std::pair<const char *, double P::*>> parts{
      {"electrical", &P::electrical}, {"coil", &P::coil},   {"suspension", &P::suspension}, {"walls", &P::walls},
      {"lining", &P::lining},         {"ports", &P::ports}, {"radiated", &P::radiated}};
  Json out = Json::object();
  for (const auto &[name, part] : parts)
    out[name] = real_list(s.answers, [&part = part](const ForcedAnswer &a) { return a.powers.*part; });
  return out;
}

Json drivers_over_frequency(const DriveSolution &s) {
  Json list = Json::array();
  for (std::size_t d = 0; d < s.drivers.size(); ++d) {
    const Eigen::Index at = Eigen::Index(d);
    const Eigen::Index cone = s.first_cone + at;
    list.push_back(
        {{"impedance_ohm", complex_list(s.answers, [at](const ForcedAnswer &a) { return a.impedance[at]; })},
         {"impedance_walls_still_ohm", complex_list(s.still, [at](const ForcedAnswer &a) { return a.impedance[at]; })},
         {"current_a", complex_list(s.answers, [at](const ForcedAnswer &a) { return a.current[at]; })},
         {"cone_m", complex_list(s.answers, [cone](const ForcedAnswer &a) { return a.motions[cone]; })}});
  }
  return list;
}

Json drive_variant_json(const DriveSolution &s) {
  const auto axis = [&](SoundPart DriveSound::*part) {
    return complex_list(s.sound, [part](const DriveSound &d) { return (d.*part).on_axis; });
  };
  const auto round = [&](SoundPart DriveSound::*part) {
    return real_list(s.sound, [part](const DriveSound &d) { return (d.*part).sphere; });
  };
  Json all_round = {{"total", round(&DriveSound::total)},
                    {"driver", round(&DriveSound::driver)},
                    {"walls", round(&DriveSound::walls)},
                    {"cones", round(&DriveSound::cones)},
                    {"ports", round(&DriveSound::ports)}};
  all_round["wall"] =
      by_wall(s, [&](int w) { return real_list(s.sound, [w](const DriveSound &d) { return d.wall[w].sphere; }); });
  return {
      {"name", clean_text(s.variant_name)},
      {"up_to_hz", figure(s.frequencies.tail(1)[0])},
      {"air", {{"density_kg_m3", figure(s.air.density)}, {"sound_speed_m_s", figure(s.air.speed)}}},
      {"inner_volume_l", figure(1e3 * s.inside_volume)},
      {"point_mm", {figure(1e3 * s.point.x()), figure(1e3 * s.point.y()), figure(1e3 * s.point.z())}},
      {"drivers", drivers_json(s)},
      {"outside",
       {{"solutions", s.sound_solutions},
        {"elements", s.surface.elements.size()},
        {"elements_per_wavelength", figure(s.elements_per_wavelength)},
        {"patterns", s.patterns},
        {"held_out_error", figure(s.sweep_error)},
        {"check",
         {{"frequency_hz", figure(s.check.frequency)},
          {"sound_difference", figure(s.check.sound_difference)},
          {"power_difference", figure(s.check.power_difference)}}}}},
      {"modes", modes_list(s)},
      {"walls", walls_list(s)},
      {"bands", bands_list(s)},
      {"frequency_hz", real_list(s.frequencies, [](double f) { return f; })},
      {"on_axis_pa",
       {{"total", axis(&DriveSound::total)},
        {"walls", axis(&DriveSound::walls)},
        {"cones", axis(&DriveSound::cones)},
        {"ports", axis(&DriveSound::ports)}}},
      {"all_round_pa", all_round},
      {"net_volume_pa", real_list(s.sound, [](const DriveSound &d) { return d.net_volume_pressure; })},
      {"wall_velocity_m_s",
       by_wall(s, [&](int w) { return real_list(s.sound, [w](const DriveSound &d) { return d.wall_velocity[w]; }); })},
      {"driver", drivers_over_frequency(s)},
      {"power_w", powers_json(s)}};
}

std::string cell_of(double x, int digits = 2) { return std::isfinite(x) ? fmt::format("{:.{}f}", x, digits) : ""; }

}  // namespace

std::string drive_json(const std::vector<DriveSolution> &variants) {
  Json list = Json::array(), nature = Json::array();
  for (const DriveSolution &s : variants) list.push_back(drive_variant_json(s));
  for (const std::string &line : accuracy_lines()) nature.push_back(line);
  const Json document = {{"schema", "stillbox drive 1"},
                         {"case", variants.empty() ? "" : clean_text(variants.front().case_name)},
                         {"nature", nature},
                         {"includes", drive_includes(variants)},
                         {"leaves_out", drive_leaves_out(variants)},
                         {"units",
                          {{"frequency", "Hz"},
                           {"sound", "Pa rms"},
                           {"velocity", "m/s rms"},
                           {"power", "W"},
                           {"impedance", "ohm"},
                           {"wall level", "dB re the driver at the same frequency"}}},
                         {"variants", list}};
  return document.dump() + "\n";
}

std::string drive_csv(const std::vector<DriveSolution> &variants) {
  std::vector<std::string> head{"variant",
                                "frequency_hz",
                                "on_axis_total_db",
                                "on_axis_driver_db",
                                "on_axis_walls_db",
                                "on_axis_walls_re_driver_db",
                                "all_round_total_db",
                                "all_round_driver_db",
                                "all_round_cones_db",
                                "all_round_ports_db",
                                "all_round_walls_db",
                                "all_round_walls_re_driver_db",
                                "net_volume_walls_db"};
  const std::vector<std::string> words = wall_words(variants);
  for (const char *what : {"all_round", "velocity"})
    for (const std::string &word : words) head.push_back(fmt::format("{}_{}_db", what, word));
  for (const char *name :
       {"impedance_ohm", "impedance_degrees", "impedance_walls_still_ohm", "electrical_w", "walls_w", "radiated_w"})
    head.push_back(name);
  std::string out = csv_line(head);
  for (const DriveSolution &v : variants)
    for (std::size_t i = 0; i < v.sound.size(); ++i) {
      const DriveSound &s = v.sound[i];
      const ForcedAnswer &a = v.answers[i];
      std::vector<std::string> row{v.variant_name,
                                   cell_of(s.frequency, 4),
                                   cell_of(sound_level(std::abs(s.total.on_axis))),
                                   cell_of(sound_level(std::abs(s.driver.on_axis))),
                                   cell_of(sound_level(std::abs(s.walls.on_axis))),
                                   cell_of(walls_on_axis(s)),
                                   cell_of(sound_level(s.total.sphere)),
                                   cell_of(sound_level(s.driver.sphere)),
                                   cell_of(sound_level(s.cones.sphere)),
                                   cell_of(sound_level(s.ports.sphere)),
                                   cell_of(sound_level(s.walls.sphere)),
                                   cell_of(walls_on_sphere(s)),
                                   cell_of(sound_level(s.net_volume_pressure))};
      for (const bool velocity : {false, true})
        for (const std::string &word : words) {
          int w = 0;
          while (w < int(v.walls.size()) && wall_word(v, w) != word) ++w;
          row.push_back(w == int(v.walls.size()) ? std::string()
                                                 : cell_of(velocity ? level_difference(s.wall_velocity[w], 1e-9)
                                                                    : sound_level(s.wall[w].sphere)));
        }
      row.push_back(cell_of(std::abs(a.impedance[0]), 4));
      row.push_back(cell_of(std::arg(a.impedance[0]) * 180 / M_PI));
      row.push_back(cell_of(std::abs(v.still[i].impedance[0]), 4));
      for (double power : {a.powers.electrical, a.powers.walls, a.powers.radiated})
        row.push_back(fmt::format("{:.5g}", power));
      out += csv_line(row);
    }
  return out;
}

}  // namespace stillbox
