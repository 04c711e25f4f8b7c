// SPDX-License-Identifier: MIT
// The CSV and JSON side of match_report.h.
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/match_report.h"
#include "postprocess/modes_json.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

std::string cell(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }
Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
double given(double loss) { return loss >= 0 ? loss : std::nan(""); }

Json pair_json(const MatchReport &r, const MatchedPair &p) {
  const HeardFrequency &h = r.problem.heard[p.heard];
  const double before = std::log(p.before / h.frequency), after = std::log(p.after / h.frequency);
  Json rival = nullptr;
  if (p.has_rival)
    rival = {{"mode", p.rival < 0 ? Json(nullptr) : Json(p.rival + 1)},
             {"chi_squared_higher_by", number(p.rival_costs)}};
  return {{"heard_hz", number(h.frequency)},
          {"mode", p.mode + 1},
          {"mode_at_start", p.start_mode < 0 ? Json(nullptr) : Json(p.start_mode + 1)},
          {"label", clean_text(r.result.labels[p.mode])},
          {"before_hz", number(p.before)},
          {"after_hz", number(p.after)},
          {"before_off_percent", number(100 * std::expm1(before))},
          {"after_off_percent", number(100 * std::expm1(after))},
          {"before_off_sd", number(before / p.sd)},
          {"after_off_sd", number(after / p.sd)},
          {"sd_percent", number(100 * p.sd)},
          {"mesh_error_percent", number(100 * p.mesh_error)},
          {"loss_factor_heard", number(given(h.loss))},
          {"loss_factor_before", number(p.loss_before)},
          {"loss_factor_after", number(p.loss_after)},
          {"rival", rival}};
}

Json quality_json(const FitQuality &q, const std::vector<std::string> &names) {
  Json correlation = Json::array(), cannot_tell = Json::array();
  for (Eigen::Index i = 0; i < q.correlation.rows(); ++i) {
    Json row = Json::array();
    for (Eigen::Index j = 0; j < q.correlation.cols(); ++j) row.push_back(number(q.correlation(i, j)));
    correlation.push_back(row);
  }
  if (q.correlation.rows() == Eigen::Index(names.size()))
    for (const std::string &sentence : blind_sentences(q, names)) cannot_tell.push_back(sentence);
  return {{"chi_squared", number(q.chi_squared)},
          {"degrees_of_freedom", q.freedom},
          {"chi_squared_limit_1_percent", q.freedom > 0 ? number(chi_squared_99(q.freedom)) : Json(nullptr)},
          {"misses_more_than_stated", q.misses()},
          {"sd_widened_by", number(q.widened)},
          {"correlation", correlation},
          {"cannot_tell_apart", cannot_tell}};
}

const char *bound_word(int on_bound) { return on_bound < 0 ? "lower" : on_bound > 0 ? "upper" : "none"; }

}  // namespace

std::string match_csv(const MatchReport &r) {
  std::string out = csv_line({"state", "heard_hz", "mode", "before_hz", "after_hz", "before_off_percent",
                              "after_off_percent", "after_off_sd", "sd_percent", "loss_factor_heard",
                              "loss_factor_before", "loss_factor_after", "rival_mode", "label"});
  for (const MatchedPair &p : r.result.pairs) {
    const HeardFrequency &h = r.problem.heard[p.heard];
    const double after = std::log(p.after / h.frequency);
    out += csv_line({"paired", cell(h.frequency), std::to_string(p.mode + 1), cell(p.before), cell(p.after),
                     cell(100 * (p.before / h.frequency - 1)), cell(100 * std::expm1(after)), cell(after / p.sd),
                     cell(100 * p.sd), cell(given(h.loss)), cell(p.loss_before), cell(p.loss_after),
                     p.has_rival ? (p.rival < 0 ? "none" : std::to_string(p.rival + 1)) : "",
                     clean_text(r.result.labels[p.mode])});
  }
  for (int i : r.result.extra)
    out += csv_line({"extra", cell(r.problem.heard[i].frequency), "", "", "", "", "", "", "",
                     cell(given(r.problem.heard[i].loss)), "", "", "", ""});
  for (int j : r.result.missed)
    out += csv_line({"missed", "", std::to_string(j + 1), "", cell(r.result.after[j]), "", "", "", "", "", "", "", "",
                     clean_text(r.result.labels[j])});
  return out;
}

std::string match_json(const MatchReport &r) {
  const MatchResult &m = r.result;
  std::vector<std::string> names, loss_names;
  Json unknowns = Json::array(), pairs = Json::array(), extra = Json::array(), missed = Json::array(),
       rounds = Json::array(), notes = Json::array();
  for (std::size_t k = 0; k < r.problem.unknowns.size(); ++k) {
    const MatchUnknown &u = r.problem.unknowns[k];
    names.push_back(clean_text(u.name));
    unknowns.push_back({{"name", names.back()},
                        {"start", unknown_value(*r.problem.start, u, 0)},
                        {"found", unknown_value(*r.problem.start, u, m.ln_factors[k])},
                        {"factor", number(std::exp(m.ln_factors[k]))},
                        {"sd_percent", number(100 * m.quality.standard_error[k])},
                        {"determined", bool(m.quality.is_determined[k])},
                        {"bounds_of_factor", Json::array({number(u.low), number(u.high)})},
                        {"on_bound", bound_word(m.on_bound[k])}});
  }
  for (std::size_t k = 0; k < r.problem.losses.size(); ++k) {
    const LossUnknown &u = r.problem.losses[k];
    const bool known = k < m.loss_quality.is_determined.size();
    loss_names.push_back(clean_text(u.name));
    unknowns.push_back({{"name", loss_names.back()},
                        {"start", number(u.start)},
                        {"found", number(m.losses[k])},
                        {"factor", u.start > 0 ? number(m.losses[k] / u.start) : Json(nullptr)},
                        {"sd_percent", known ? number(100 * m.loss_quality.standard_error[k]) : Json(nullptr)},
                        {"determined", known && m.loss_quality.is_determined[k]},
                        {"bounds", Json::array({number(u.low), number(u.high)})},
                        {"on_bound", known ? bound_word(m.losses_on_bound[k]) : "none"}});
  }
  for (const MatchedPair &p : m.pairs) pairs.push_back(pair_json(r, p));
  for (int i : m.extra) extra.push_back({{"heard_hz", number(r.problem.heard[i].frequency)}});
  for (int j : m.missed)
    missed.push_back({{"mode", j + 1}, {"frequency_hz", number(m.after[j])}, {"label", clean_text(m.labels[j])}});
  for (const MatchRound &round : m.rounds)
    rounds.push_back({{"pairs", round.pairs},
                      {"chi_squared", number(round.chi_squared)},
                      {"reduced_against_full_percent", number(100 * round.difference)}});
  for (const std::string &note : m.notes) notes.push_back(clean_text(note));
  const Json document = {
      {"schema", "stillbox match 1"},
      {"case", clean_text(r.case_name)},
      {"variant", clean_text(r.variant_name)},
      {"nature",
       "values that make this model ring as was heard; a model is not a measurement, and frequencies alone say "
       "nothing about shapes"},
      {"gate_percent", number(100 * r.options.gate)},
      {"last_gate_percent", number(100 * m.last_gate)},
      {"floor_percent", number(100 * r.options.floor)},
      {"unknowns", unknowns},
      {"frequencies", quality_json(m.quality, names)},
      {"loss_factors",
       m.loss_quality.standard_error.size() > 0 ? quality_json(m.loss_quality, loss_names) : Json(nullptr)},
      {"pairs", pairs},
      {"extra", extra},
      {"missed", missed},
      {"rounds", rounds},
      {"settled", m.agrees},
      {"notes", notes}};
  return document.dump(2) + "\n";
}

}  // namespace stillbox
