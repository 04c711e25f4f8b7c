// SPDX-License-Identifier: MIT
// knock_json and knock_csv of knock_report.h.
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/knock_report.h"
#include "postprocess/knock_sound.h"
#include "postprocess/modes_json.h"
#include "postprocess/summary.h"
#include "postprocess/text.h"
#include "postprocess/third_octave.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
std::string cell(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

Json millimetres(const Eigen::VectorXd &metres) {
  Json out = Json::array();
  for (const double value : metres) out.push_back(number(1e3 * value));
  return out;
}

Json definitions() {
  return {
      {"acceleration_level_db", "20 lg of a mode's acceleration just after the knock, rms, re 1 um/s2 (ISO 1683)"},
      {"ring_energy_level_db", "10 lg of the integral of squared velocity over time, re (1 nm/s)^2 1 s"},
      {"means",
       "squares averaged over knocks on the wall's points and over the places of the same points; all "
       "walls: weighted by area"},
      {"lowest_heard", fmt::format("lowest mode within {:.0f} dB of the strongest: a guide, no standard", heard_range)},
      {"hidden_by_pulse", "mode that would be the strongest but for a gap in the spectrum of the half-sine"},
      {"energy_left_percent", "squared velocity integrated from then on, of that from the end of the contact on"},
      {"decay_time_t20_s", "Schroeder curve of the modes in the band from -5 to -25 dB, stretched to 60 dB"},
      {"curvature_percent", "how far the time from -5 to -35 dB is off that; bent when beyond 10"}};
}

Json pick(const Deadness &d, const WallDeadness &wall, int n) {
  if (n < 0) return nullptr;
  const RingMode &mode = d.modes[std::size_t(n)];
  return {{"mode", n + 1},
          {"frequency_hz", number(mode.frequency)},
          {"acceleration_level_db", number(wall.level[std::size_t(n)])},
          {"q", number(mode.quality)},
          {"decay_time_s", number(mode.decay_time)}};
}

Json wall_json(const Deadness &d, const WallDeadness &wall) {
  Json levels = Json::array(), bands = Json::array();
  for (const double level : wall.level) levels.push_back(number(level));
  for (const BandDecay &band : wall.bands)
    bands.push_back({{"third_octave_hz", third_octave_name(band.band)},
                     {"middle_hz", number(third_octave_middle(band.band))},
                     {"modes", band.modes},
                     {"decay_time_t20_s", number(band.fit.t20)},
                     {"decay_time_t30_s", number(band.fit.t30)},
                     {"curvature_percent", number(100 * band.fit.curvature)},
                     {"bent", band.fit.bent},
                     {"energy_share", number(band.share)}});
  return {{"wall", clean_text(wall.wall)},
          {"points", wall.points},
          {"area_m2", number(wall.area)},
          {"lowest_heard", pick(d, wall, wall.lowest_heard)},
          {"strongest", pick(d, wall, wall.strongest)},
          {"longest", pick(d, wall, wall.longest)},
          {"hidden_by_pulse", pick(d, wall, wall.spared)},
          {"ring_energy_level_db", number(wall.energy_level)},
          {"energy_left_percent",
           {{"after_20_ms", number(100 * wall.left_20ms)}, {"after_100_ms", number(100 * wall.left_100ms)}}},
          {"centre_time_ms", number(1e3 * wall.centre_time)},
          {"time_to_60_db_s", number(wall.time_to_60)},
          {"acceleration_level_db", levels},
          {"bands", bands}};
}

Json sound_json(const KnockSounds &sounds, const std::vector<KnockModel> &models) {
  if (!sounds.why_none.empty()) return nullptr;
  Json knocks = Json::array();
  for (const SoundedKnock &knock : sounds.knocks)
    knocks.push_back({{"variant", clean_text(knock.variant)},
                      {"wall", clean_text(knock.wall)},
                      {"place_mm", millimetres(knock.place)},
                      {"off_spot_mm", number(1e3 * knock.off_spot)},
                      {"start_s", number(knock.start)},
                      {"peak_pressure_pa", number(knock.peak_pressure)},
                      {"a_weighted_level_db", number(knock.a_level)},
                      {"matched_gain_db", number(knock.matched_gain)}});
  return {{"distance_m", 1},
          {"equal_force_pa_full_scale", number(1 / sounds.equal_gain)},
          {"point_source_limit_hz", number(point_source_limit(models.front()))},
          {"knocks", knocks}};
}

}  // namespace

std::string knock_json(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                       const KnockPulse &pulse, const KnockSounds &sounds) {
  Json list = Json::array();
  for (std::size_t v = 0; v < models.size(); ++v) {
    const Deadness d = deadness(models[v], results[v], pulse);
    Json modes = Json::array(), points = Json::array(), walls = Json::array();
    for (std::size_t m = 0; m < d.modes.size(); ++m)
      modes.push_back({{"mode", m + 1},
                       {"frequency_hz", number(d.modes[m].frequency)},
                       {"loss_factor", number(d.modes[m].loss_factor)},
                       {"q", number(d.modes[m].quality)},
                       {"decay_time_s", number(d.modes[m].decay_time)},
                       {"label", clean_text(d.modes[m].label)}});
    const Eigen::VectorXd levels = point_levels(models[v], pulse);
    for (std::size_t p = 0; p < models[v].points.size(); ++p) {
      const KnockPoint &point = models[v].points[p];
      points.push_back({{"wall", clean_text(results[v].faces[std::size_t(point.face)].board)},
                        {"place_mm", millimetres(point.place)},
                        {"world_mm", millimetres(point.at)},
                        {"ring_energy_level_db", number(levels[Eigen::Index(p)])}});
    }
    for (const WallDeadness &wall : d.walls) walls.push_back(wall_json(d, wall));
    list.push_back({{"name", clean_text(d.variant_name)},
                    {"up_to_hz", number(d.up_to)},
                    {"modes", modes},
                    {"points", points},
                    {"all_walls", wall_json(d, d.all)},
                    {"walls", walls}});
  }
  Json nature = Json::array();
  for (const std::string &line : accuracy_lines()) nature.push_back(line);
  const Json document = {
      {"schema", "stillbox knock 1"},
      {"case", models.empty() ? "" : clean_text(models.front().case_name)},
      {"nature", nature},
      {"definitions", definitions()},
      {"pulse", {{"shape", "half-sine"}, {"peak_n", pulse.peak}, {"contact_ms", 1e3 * pulse.contact}}},
      {"variants", list},
      {"sound", sound_json(sounds, models)}};
  return document.dump(2) + "\n";
}

std::string knock_csv(const std::vector<Deadness> &variants) {
  std::string out = csv_line({"variant", "wall", "what", "number", "frequency_hz", "acceleration_level_db",
                              "loss_factor", "q", "decay_time_s", "curvature_percent", "heard", "ring_energy_level_db",
                              "left_20ms_percent", "left_100ms_percent", "centre_time_ms", "time_to_60_db_s"});
  const auto add = [&](const Deadness &d, const WallDeadness &wall) {
    out += csv_line({d.variant_name, wall.wall, "wall", "", "", "", "", "", "", "", "", cell(wall.energy_level),
                     cell(100 * wall.left_20ms), cell(100 * wall.left_100ms), cell(1e3 * wall.centre_time),
                     cell(wall.time_to_60)});
    for (std::size_t m = 0; m < d.modes.size(); ++m) {
      const RingMode &mode = d.modes[m];
      const bool heard = wall.strongest >= 0 && wall.level[m] >= wall.level[std::size_t(wall.strongest)] - heard_range;
      out += csv_line({d.variant_name, wall.wall, "mode", std::to_string(m + 1), cell(mode.frequency),
                       cell(wall.level[m]), cell(mode.loss_factor), cell(mode.quality), cell(mode.decay_time), "",
                       heard ? "yes" : "no", "", "", "", "", ""});
    }
    for (const BandDecay &band : wall.bands)
      out += csv_line({d.variant_name, wall.wall, "band", third_octave_name(band.band),
                       cell(third_octave_middle(band.band)), "", "", "", cell(band.fit.t20),
                       cell(100 * band.fit.curvature), "", "", "", "", "", ""});
  };
  for (const Deadness &d : variants) {
    add(d, d.all);
    for (const WallDeadness &wall : d.walls) add(d, wall);
  }
  return out;
}

}  // namespace stillbox
