// SPDX-License-Identifier: MIT
#include "postprocess/report_data.h"
#include "mesh/inside_mesh.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

#include "postprocess/drive_bands.h"
#include "postprocess/drive_command.h"
#include "postprocess/page_files.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

std::string signed_percent(double ratio) { return fmt::format("{:+.1f} %", 100 * (ratio - 1)); }

std::string cost_words(const Verdict &v) {
  std::string out = fmt::format("{:+.2f} kg", v.mass);
  if (v.volume != 0) out += fmt::format(" and {:+.2f} litres inside", 1e3 * v.volume);
  return out;
}

std::string count_words(int count, const std::string &what) { return fmt::format("{} {}", count, what); }

}  // namespace

std::vector<double> ring_shares(const Deadness &dead) {
  std::vector<double> shares(dead.modes.size(), 0);
  double sum = 0;
  for (std::size_t m = 0; m < shares.size() && m < dead.all.level.size(); ++m) {
    const double level = dead.all.level[m];
    if (!std::isfinite(level) || !std::isfinite(dead.modes[m].decay_time)) continue;
    const double velocity = std::pow(10, level / 20) / (2 * M_PI * dead.modes[m].frequency);
    shares[m] = velocity * velocity * dead.modes[m].decay_time;
    sum += shares[m];
  }
  if (sum > 0)
    for (double &share : shares) share /= sum;
  return shares;
}

std::vector<int> modes_that_matter(const Deadness &dead, std::size_t modes, std::size_t most) {
  const std::vector<double> shares = ring_shares(dead);
  std::vector<int> order(std::min(modes, shares.size()));
  std::iota(order.begin(), order.end(), 0);
  if (order.size() > 1)
    std::stable_sort(order.begin() + 1, order.end(),
                     [&](int a, int b) { return shares[std::size_t(a)] > shares[std::size_t(b)]; });
  if (order.size() > most) order.resize(most);
  std::sort(order.begin(), order.end());
  return order;
}

void complete_report(ReportData &data) {
  data.pairings = pair_with_base(data.results);
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    data.dead.push_back(deadness(data.models[v], data.results[v], data.pulse));
    data.shown.push_back(
        modes_that_matter(data.dead[v], data.results[v].modes.size(), std::size_t(data.most_pictures)));
  }
}

const DriveSolution *drive_of(const ReportData &data, std::size_t variant) {
  for (const DriveSolution &s : data.drive)
    if (s.variant_name == data.results[variant].variant_name) return &s;
  return nullptr;
}

double worst_walls(const DriveSolution &drive) {
  double worst = -std::numeric_limits<double>::infinity();
  for (const DriveSound &sound : drive.sound) worst = std::max(worst, walls_on_sphere(sound));
  return worst;
}

Verdict verdict_of(const ReportData &data, std::size_t variant) {
  const ModalResult &base = data.results.front(), &other = data.results[variant];
  Verdict v;
  v.mass = other.mass - base.mass;
  if (base.inner_volume > 0 && other.inner_volume > 0) v.volume = other.inner_volume - base.inner_volume;
  v.changes = mode_changes(base, other, data.pairings[variant]);
  v.ringing = data.dead[variant].all.energy_level - data.dead[0].all.energy_level;
  v.time_ratio = data.dead[variant].all.time_to_60 / data.dead[0].all.time_to_60;
  v.has_modes = !base.modes.empty() && !other.modes.empty();
  if (v.has_modes) v.first = frequency_change(base, 0, other, 0);
  const DriveSolution *a = drive_of(data, 0), *b = drive_of(data, variant);
  v.has_drive = a && b;
  if (v.has_drive) v.walls_re_driver = worst_walls(*b) - worst_walls(*a);
  return v;
}

std::vector<std::string> verdict_words(const ReportData &data, std::size_t variant) {
  const ModalResult &own = data.results[variant], &base = data.results.front();
  std::vector<std::string> words;
  if (variant == 0) {
    if (own.modes.empty()) return {fmt::format("no mode up to {:.0f} Hz", data.up_to)};
    const Mode &first = own.modes.front();
    words.push_back(fmt::format(
        "In {} the lowest mode is at {:.0f} Hz ({}); with the boards off by their tolerances it lies "
        "between {:.0f} and {:.0f} Hz.",
        clean_text(own.variant_name), first.frequency, clean_text(first.label), first.band_low, first.band_high));
    if (const DriveSolution *drive = drive_of(data, 0))
      words.push_back(
          fmt::format("At their worst the walls are {:+.1f} dB re the driver, all round.", worst_walls(*drive)));
    return words;
  }
  const Verdict v = verdict_of(data, variant);
  const std::string than = clean_text(base.variant_name);
  if (v.has_modes)
    words.push_back(fmt::format(
        "The lowest mode goes from {:.0f} to {:.0f} Hz ({}, give or take {:.1f} %): {}. It costs {}.",
        base.modes.front().frequency, own.modes.front().frequency, signed_percent(v.first.ratio), 100 * v.first.band,
        v.first.is_beyond ? "more than the boards' tolerances and the mesh can do"
                          : "no more than the boards' tolerances and the mesh can do, so no difference to rely on",
        cost_words(v)));
  else
    words.push_back(fmt::format("One of the two has no mode up to {:.0f} Hz. It costs {}.", data.up_to, cost_words(v)));
  const int all = v.changes.higher + v.changes.lower + v.changes.within + v.changes.gone;
  words.push_back(
      fmt::format("Of {} of {}, {} higher and {} lower beyond that band, {} within it, {} no counterpart up "
                  "to {:.0f} Hz.",
                  count_words(all, all == 1 ? "mode" : "modes"), than,
                  count_words(v.changes.higher, v.changes.higher == 1 ? "comes" : "come"), v.changes.lower,
                  count_words(v.changes.within, v.changes.within == 1 ? "stays" : "stay"),
                  count_words(v.changes.gone, v.changes.gone == 1 ? "has" : "have"), data.up_to));
  if (std::isfinite(v.ringing) && std::isfinite(v.time_ratio))
    words.push_back(
        fmt::format("After a knock all of the ringing is {:.1f} dB {}, and it takes {:.2f} times as long to "
                    "fall by 60 dB.",
                    std::abs(v.ringing), v.ringing < 0 ? "lower" : "higher", v.time_ratio));
  if (v.has_drive)
    words.push_back(
        fmt::format("At their worst the walls are {:+.1f} dB re the driver, all round: {:+.1f} dB against {}.",
                    worst_walls(*drive_of(data, variant)), v.walls_re_driver, than));
  return words;
}

std::string riding_words(const ReportData &data, std::size_t variant) {
  const std::vector<double> &f = data.riding[variant];
  if (f.empty()) return "";
  if (f.size() == 1)
    return fmt::format("The mode in which {} rides on its feet, at {:.1f} Hz, is left out of this page.",
                       clean_text(data.results[variant].variant_name), f.front());
  return fmt::format("The {} modes in which {} rides on its feet, {:.1f} to {:.1f} Hz, are left out of this page.",
                     f.size(), clean_text(data.results[variant].variant_name), f.front(), f.back());
}

std::vector<std::pair<std::string, std::string>> report_left_out(const ReportData &data) {
  std::vector<std::pair<std::string, std::string>> list;
  const bool solids = !data.structures.empty() && data.structures[0]->solids;
  if (data.drive.empty())
    list.emplace_back(
        "The walls' sound beside the driver's",
        solids && !can_be_driven(*data.structures[0]) ? "it is computed for boxes, and for a [shape] with one room"
        : data.can_drive
            ? "it costs about as much again as everything else: stillbox report " + data.case_file + " --drive adds it"
            : "no driver has small-signal values: add moving_mass_g, compliance_mm_n, mechanical_q, "
              "force_factor_tm, coil_resistance_ohm and cone_area_cm2 from its data sheet to [[driver]], "
              "then stillbox report " +
                  data.case_file + " --drive adds it");
  if (data.has_place && data.place_json.empty())
    list.emplace_back("Where the brace goes best",
                      data.place_missing + ": stillbox place " + data.case_file +
                          " --out FOLDER finds it, and a report into the same FOLDER shows it");
  if (solids)
    list.emplace_back("The walls unfolded around the baffle",
                      "walls of a cabinet by [shape] or [solids] make no net of a box: their faces are shown side by "
                      "side, bent ones laid flat");
  list.emplace_back("The air inside",
                    solids && !has_inside_mesh(*data.structures[0])
                        ? "standing waves and ports are computed for boxes, and for a [shape] of four "
                          "upright walls"
                        : "standing waves, lining and port: stillbox air " + data.case_file);
  if (view_library.empty())
    list.emplace_back("The turning view of the modes",
                      "this stillbox was built without the library that it needs; the pictures show the same shapes");
  return list;
}

std::string report_json(const ReportData &data, const std::string &file, std::size_t bytes) {
  using Json = nlohmann::ordered_json;
  const auto number = [](double x) { return std::isfinite(x) ? Json(x) : Json(); };
  Json j;
  j["schema"] = "stillbox report 1";
  j["case"] = clean_text(data.case_name);
  j["nature"] = "a prediction, not a measurement";
  j["file"] = file;
  j["bytes"] = bytes;
  j["view"] = {{"included", !view_library.empty()},
               {"why_not", view_library.empty() ? Json("built without the library that it needs") : Json()}};
  j["variants"] = Json::array();
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    const ModalResult &r = data.results[v];
    Json one;
    one["name"] = clean_text(r.variant_name);
    one["mass_kg"] = r.mass;
    one["inner_volume_l"] = r.inner_volume > 0 ? Json(1e3 * r.inner_volume) : Json();
    one["modes"] = r.modes.size();
    one["first_mode_hz"] = r.modes.empty() ? Json() : Json(r.modes[0].frequency);
    one["first_mode_band_hz"] =
        r.modes.empty() ? Json() : Json({number(r.modes[0].band_low), number(r.modes[0].band_high)});
    one["ring_energy_level_db"] = number(data.dead[v].all.energy_level);
    one["time_to_60_db_s"] = number(data.dead[v].all.time_to_60);
    one["riding_modes_hz"] = data.riding[v];
    one["pictured_modes"] = Json::array();
    for (int m : data.shown[v]) one["pictured_modes"].push_back(data.numbers[v][std::size_t(m)]);
    one["against_base"] = Json();
    if (v > 0) {
      const Verdict verdict = verdict_of(data, v);
      Json a;
      a["first_mode_percent"] = verdict.has_modes ? number(100 * (verdict.first.ratio - 1)) : Json();
      a["give_or_take_percent"] = verdict.has_modes ? number(100 * verdict.first.band) : Json();
      a["beyond_tolerances"] = verdict.has_modes ? Json(verdict.first.is_beyond) : Json();
      a["higher"] = verdict.changes.higher;
      a["lower"] = verdict.changes.lower;
      a["within"] = verdict.changes.within;
      a["gone"] = verdict.changes.gone;
      a["ring_energy_change_db"] = number(verdict.ringing);
      a["time_ratio"] = number(verdict.time_ratio);
      a["walls_re_driver_db"] = verdict.has_drive ? number(verdict.walls_re_driver) : Json();
      one["against_base"] = a;
    }
    j["variants"].push_back(one);
  }
  j["not_on_page"] = Json::array();
  for (const auto &[what, how] : report_left_out(data)) j["not_on_page"].push_back({{"what", what}, {"how", how}});
  return j.dump(1) + "\n";
}

}  // namespace stillbox
