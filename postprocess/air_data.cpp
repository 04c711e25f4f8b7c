// SPDX-License-Identifier: MIT
// The CSV and JSON side of air_report.h.
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/air_report.h"
#include "postprocess/modes_json.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

Json air_number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
std::string air_cell(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

constexpr double none = NAN;

struct Figures {
  double hz = none, loss = none, t60 = none;
};

Figures figures_of(const std::vector<CoupledMode> &modes, const std::vector<int> &index, std::size_t i) {
  if (i >= index.size() || index[i] < 0) return {};
  const CoupledMode &m = modes[std::size_t(index[i])];
  if (m.damped_away) return {};
  return {m.frequency, m.loss_factor, m.decay_time};
}

std::vector<std::string> row(const std::string &variant, const char *kind, std::size_t number, const std::string &name,
                             double alone, double error, double band_low, double band_high, const Figures &rigid,
                             const Figures &together) {
  return {variant,
          kind,
          std::to_string(number),
          name,
          air_cell(alone),
          air_cell(100 * error),
          air_cell(band_low),
          air_cell(band_high),
          air_cell(rigid.hz),
          air_cell(rigid.loss),
          air_cell(rigid.t60),
          air_cell(together.hz),
          air_cell(together.loss),
          air_cell(together.t60),
          air_cell(100 * (together.hz / alone - 1))};
}

int last_wave(const AirSolution &a) {
  int end = a.air.chambers;
  while (end < a.air.standing && a.air.frequencies[end] <= a.modes.report.up_to) ++end;
  return end;
}

Json ports_json(const AirSolution &a) {
  Json list = Json::array();
  for (std::size_t p = 0; p < a.tubes.size(); ++p) {
    const Figures rigid = figures_of(a.rigid, a.rigid_of_port, p),
                  together = figures_of(a.coupled, a.coupled_of_port, p);
    const PortTube &t = a.tubes[p];
    list.push_back({{"name", clean_text(a.ports[p])},
                    {"tuning_hz", air_number(rigid.hz)},
                    {"rigid_walls_loss_factor", air_number(rigid.loss)},
                    {"together_hz", air_number(together.hz)},
                    {"hand_formula_hz", air_number(helmholtz_frequency(t, a.air.volume))},
                    {"area_m2", t.area},
                    {"length_m", t.length},
                    {"end_correction_outside_m", t.end_outside},
                    {"end_correction_inside_m", t.formula_end_inside}});
  }
  return list;
}

Json waves_json(const AirSolution &a) {
  Json list = Json::array();
  for (int i = a.air.chambers; i < last_wave(a); ++i) {
    const Figures rigid = figures_of(a.rigid, a.rigid_of_standing, std::size_t(i)),
                  together = figures_of(a.coupled, a.coupled_of_standing, std::size_t(i));
    list.push_back({{"number", i - a.air.chambers + 1},
                    {"alone_hz", a.air.frequencies[i]},
                    {"mesh_error_percent", 100 * a.air.errors[i]},
                    {"label", a.air.labels[std::size_t(i)]},
                    {"rigid_walls_hz", air_number(rigid.hz)},
                    {"rigid_walls_loss_factor", air_number(rigid.loss)},
                    {"rigid_walls_decay_time_s", air_number(rigid.t60)},
                    {"together_hz", air_number(together.hz)}});
  }
  return list;
}

Json walls_json(const AirSolution &a) {
  Json list = Json::array();
  for (std::size_t i = 0; i < a.modes.modes.size(); ++i) {
    const Mode &mode = a.modes.modes[i];
    const Figures together = figures_of(a.coupled, a.coupled_of_wall, i);
    list.push_back({{"mode", i + 1},
                    {"label", clean_text(mode.label)},
                    {"alone_hz", mode.frequency},
                    {"mesh_error_percent", 100 * mode.numerical_error},
                    {"band_hz", Json::array({air_number(mode.band_low), air_number(mode.band_high)})},
                    {"together_hz", air_number(together.hz)},
                    {"shift_percent", air_number(100 * (together.hz / mode.frequency - 1))},
                    {"alone_loss_factor", air_number(mode.loss_factor)},
                    {"together_loss_factor", air_number(together.loss)}});
  }
  return list;
}

Json coincidences_json(const AirSolution &a) {
  Json list = Json::array();
  const std::vector<std::string> words = coincidence_words(a);
  for (std::size_t i = 0; i < a.coincidences.size(); ++i) {
    const Coincidence &c = a.coincidences[i];
    list.push_back({{"standing_wave", c.standing - a.air.chambers + 1},
                    {"wall_mode", c.wall + 1},
                    {"apart_percent", 100 * c.apart},
                    {"coupling_hz", c.coupling},
                    {"words", words[i]}});
  }
  return list;
}

}  // namespace

std::string air_csv(const std::vector<AirSolution> &variants) {
  std::string out = csv_line({"variant", "kind", "number", "label", "alone_hz", "mesh_error_percent", "band_low_hz",
                              "band_high_hz", "rigid_walls_hz", "rigid_walls_loss_factor", "rigid_walls_decay_time_s",
                              "together_hz", "together_loss_factor", "together_decay_time_s", "shift_percent"});
  for (const AirSolution &a : variants) {
    const std::string &variant = a.modes.variant_name;
    for (int i = a.air.chambers; i < last_wave(a); ++i)
      out += csv_line(row(variant, "standing wave", std::size_t(i - a.air.chambers + 1), a.air.labels[std::size_t(i)],
                          a.air.frequencies[i], a.air.errors[i], none, none,
                          figures_of(a.rigid, a.rigid_of_standing, std::size_t(i)),
                          figures_of(a.coupled, a.coupled_of_standing, std::size_t(i))));
    for (std::size_t p = 0; p < a.tubes.size(); ++p)
      out += csv_line(row(variant, "port", p + 1, a.ports[p], helmholtz_frequency(a.tubes[p], a.air.volume), none, none,
                          none, figures_of(a.rigid, a.rigid_of_port, p), figures_of(a.coupled, a.coupled_of_port, p)));
    for (std::size_t i = 0; i < a.modes.modes.size(); ++i) {
      const Mode &mode = a.modes.modes[i];
      out += csv_line(row(variant, "wall mode", i + 1, mode.label, mode.frequency, mode.numerical_error, mode.band_low,
                          mode.band_high, {}, figures_of(a.coupled, a.coupled_of_wall, i)));
    }
  }
  return out;
}

std::string air_json(const std::vector<AirSolution> &variants) {
  Json root = {{"schema", "stillbox air 1"},
               {"case", variants.empty() ? "" : clean_text(variants.front().modes.case_name)},
               {"nature", "a prediction, not a measurement"},
               {"units", {{"_hz", "Hz"}, {"_s", "s"}, {"_m", "m"}, {"_m2", "m2"}, {"_m3", "m3"}, {"loss_factor", "1"}}},
               {"variants", Json::array()}};
  for (const AirSolution &a : variants) {
    Json regions = Json::array(), openings = Json::array();
    for (const AirRegion &r : a.air.regions) regions.push_back({{"name", clean_text(r.name)}, {"volume_m3", r.volume}});
    for (const AirOpening &o : a.air.openings)
      openings.push_back({{"name", clean_text(o.name)},
                          {"area_m2", o.area},
                          {"kind", o.port >= 0    ? "port"
                                   : o.has_driver ? "driver"
                                                  : "closed"}});
    root["variants"].push_back({{"name", clean_text(a.modes.variant_name)},
                                {"up_to_hz", a.modes.report.up_to},
                                {"volume_m3", a.air.volume},
                                {"chambers", a.air.chambers},
                                {"sound_speed_m_s", a.air.air.speed},
                                {"density_kg_m3", a.air.air.density},
                                {"regions", regions},
                                {"openings", openings},
                                {"ports", ports_json(a)},
                                {"standing_waves", waves_json(a)},
                                {"wall_modes", walls_json(a)},
                                {"coincidences", coincidences_json(a)}});
  }
  return root.dump(2) + "\n";
}

}  // namespace stillbox
