// SPDX-License-Identifier: MIT
// place.json and place.csv of place_report.h.
#include <fmt/format.h>

#include <map>
#include <nlohmann/json.hpp>

#include "postprocess/modes_json.h"
#include "postprocess/place_report.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

// Track (from 1) of a row's modes.
std::map<std::pair<std::size_t, int>, std::size_t> track_numbers(const PlaceReport &report) {
  std::map<std::pair<std::size_t, int>, std::size_t> number;
  for (std::size_t t = 0; t < report.tracks.size(); ++t)
    for (const auto &at : report.tracks[t].at) number[at] = t + 1;
  return number;
}

Json list_of(const Eigen::VectorXd &values) {
  Json list = Json::array();
  for (const double v : values) list.push_back(v);
  return list;
}

const char *aim_word(PlaceAim aim) {
  return aim == PlaceAim::highest_first_mode ? "highest first mode"
         : aim == PlaceAim::shortest_ring    ? "shortest ring"
                                             : "least clustering";
}

}  // namespace

std::string place_json(const PlaceReport &report) {
  const PlaceSearch &search = *report.search;
  std::map<std::size_t, std::size_t> rank;
  for (std::size_t i = 0; i < report.ranking.size(); ++i) rank[report.ranking[i].row] = i;
  const auto track = track_numbers(report);
  Json j;
  j["schema"] = "stillbox place 1";
  j["case"] = clean_text(search.trees.name);
  j["variant"] = clean_text(search.request.variant);
  j["nature"] = "a prediction, not a measurement";
  j["units"] = {
      {"frequency", "Hz"}, {"at", "mm"}, {"mass", "kg"}, {"volume", "l"}, {"value", place_unit(search.request.aim)}};
  j["aim"] = aim_word(search.request.aim);
  j["up_to_hz"] = report.up_to;
  j["full_solutions"] = {{"search", report.work.solutions}, {"checks", report.checks.size()}};
  j["candidates"] = Json::array();
  for (std::size_t r = 0; r < report.rows.size(); ++r) {
    const PlaceRow &row = report.rows[r];
    Json c;
    c["line"] = row.line + 1;
    c["line_of"] = clean_text(row.line_of);
    c["at_mm"] = row.at;
    c["rule"] = row.rule.empty() ? Json() : Json(row.rule);
    c["how"] = row.how;
    if (row.is_refused()) {
      c["reason"] = clean_text(row.reason);
    } else {
      const RankedPlace &place = report.ranking[rank.at(r)];
      c["rank"] = rank.at(r) + 1;
      c["value"] = place.value;
      c["on_front"] = place.on_front;
      c["mass_kg"] = row.mass;
      c["inner_volume_l"] = 1e3 * row.volume;
      c["frequency_hz"] = list_of(row.modes.frequency);
      c["loss_factor"] = list_of(row.modes.loss_factor);
      c["mode_followed"] = Json::array();
      for (int i = 0; i < row.modes.frequency.size(); ++i) c["mode_followed"].push_back(track.at({r, i}));
    }
    j["candidates"].push_back(std::move(c));
  }
  j["checks"] = Json::array();
  for (const PlaceCheck &check : report.checks) {
    Json c;
    c["name"] = clean_text(check.name);
    c["candidate"] = check.row < 0 ? Json() : Json(place_name(search, report.rows[std::size_t(check.row)]));
    c["value"] = check.value;
    c["frequency_hz"] = Json::array();
    c["mesh_error_percent"] = Json::array();
    c["band_hz"] = Json::array();
    for (const Mode &mode : check.full.modes) {
      c["frequency_hz"].push_back(mode.frequency);
      c["mesh_error_percent"].push_back(100 * mode.numerical_error);
      c["band_hz"].push_back({mode.band_low, mode.band_high});
    }
    c["reduced_off_percent"] = {{"first_mode", 100 * check.first_error}, {"worst", 100 * check.worst_error}};
    c["winner_ahead"] = check.wins < 0 ? Json()
                                       : Json({{"boxes", check.wins},
                                               {"of", report.draws},
                                               {"median_percent", 100 * check.margin},
                                               {"seed", report.seed}});
    j["checks"].push_back(std::move(c));
  }
  return j.dump(1) + "\n";
}

std::string place_csv(const PlaceReport &report) {
  const auto track = track_numbers(report);
  std::string text = csv_line({"line", "line_of", "at_mm", "rule", "how", "mass_kg", "inner_volume_l", "mode",
                               "frequency_hz", "loss_factor", "mode_followed"});
  for (std::size_t r = 0; r < report.rows.size(); ++r) {
    const PlaceRow &row = report.rows[r];
    for (int i = 0; i < row.modes.frequency.size(); ++i)
      text += csv_line({std::to_string(row.line + 1), row.line_of, fmt::format("{:.6g}", row.at), row.rule, row.how,
                        fmt::format("{:.4f}", row.mass), fmt::format("{:.4f}", 1e3 * row.volume), std::to_string(i + 1),
                        fmt::format("{:.3f}", row.modes.frequency[i]), fmt::format("{:.5f}", row.modes.loss_factor[i]),
                        std::to_string(track.at({r, i}))});
  }
  return text;
}

}  // namespace stillbox
