// SPDX-License-Identifier: MIT
#include "tests/benchmark/figures_json.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
double number_in(const Json &table, const char *key) {
  const Json &value = table.at(key);
  return value.is_null() ? not_measured : value.get<double>();
}

const char *const groups[] = {"cases", "unknowns", "modes", "variants"};

RowGroup group_of(const std::string &name) {
  for (int i = 0; i < 4; ++i)
    if (name == groups[i]) return RowGroup(i);
  throw std::runtime_error("no group of rows is called \"" + name + "\"");
}

Json to_json(const RunFigures &r) {
  return {{"group", groups[int(r.group)]},
          {"name", r.name},
          {"up_to_hz", r.up_to},
          {"fineness", r.fineness},
          {"degree", r.degree},
          {"threads", r.threads},
          {"variants", r.variants},
          {"unknowns", r.dofs},
          {"modes", r.modes},
          {"mesh_s", number(r.mesh)},
          {"assembly_s", number(r.assembly)},
          {"factorisation_s", number(r.factorisation)},
          {"eigen_s", number(r.eigen)},
          {"post_processing_s", number(r.post)},
          {"files_s", number(r.files)},
          {"rest_s", number(r.other())},
          {"whole_s", number(r.whole)},
          {"processor_s", number(r.processor)},
          {"peak_mib", number(r.peak)},
          {"worst_error_percent", number(r.worst_error)},
          {"mean_error_percent", number(r.mean_error)},
          {"failure", r.failure}};
}

RunFigures row_from_json(const Json &j) {
  RunFigures r;
  r.group = group_of(j.at("group"));
  r.name = j.at("name");
  r.up_to = j.at("up_to_hz");
  r.fineness = j.at("fineness");
  r.degree = j.at("degree");
  r.threads = j.at("threads");
  r.variants = j.at("variants");
  r.dofs = j.at("unknowns");
  r.modes = j.at("modes");
  r.mesh = number_in(j, "mesh_s");
  r.assembly = number_in(j, "assembly_s");
  r.factorisation = number_in(j, "factorisation_s");
  r.eigen = number_in(j, "eigen_s");
  r.post = number_in(j, "post_processing_s");
  r.files = number_in(j, "files_s");
  r.whole = number_in(j, "whole_s");
  r.processor = number_in(j, "processor_s");
  r.peak = number_in(j, "peak_mib");
  r.worst_error = number_in(j, "worst_error_percent");
  r.mean_error = number_in(j, "mean_error_percent");
  r.failure = j.at("failure");
  return r;
}

Json two(const TwoTimes &t) { return {{"clock_s", number(t.clock)}, {"processor_s", number(t.processor)}}; }
TwoTimes two_in(const Json &table, const char *key) {
  return {number_in(table.at(key), "clock_s"), number_in(table.at(key), "processor_s")};
}

Json to_json(const SolveBounds &b) {
  Json factors = Json::array();
  for (const FactorBounds &f : b.factors)
    factors.push_back({{"kind", f.kind},
                       {"factorisation", two(f.factorise)},
                       {"one_at_a_time", two(f.single)},
                       {"in_blocks", two(f.blocked)},
                       {"factor_bytes", f.factor_bytes}});
  return {{"threads", b.threads}, {"right_hand_sides", b.right_hand_sides},    {"block", b.block},
          {"unknowns", b.dofs},   {"memory_bytes_per_s", number(b.bandwidth)}, {"factors", factors},
          {"failure", b.failure}};
}

}  // namespace

void read_modes_json(const std::string &text, RunFigures &row) {
  try {
    const Json document = Json::parse(text);
    row.variants = int(document.at("variants").size());
    row.mesh = row.assembly = row.factorisation = row.eigen = row.post = row.files = 0;
    double errors = 0, worst = 0;
    for (const Json &variant : document.at("variants")) {
      const Json &t = variant.at("timings");
      row.dofs += variant.at("unknowns").get<long>();
      row.modes += long(variant.at("modes").size());
      row.mesh += t.at("mesh_s").get<double>();
      row.assembly += t.at("assemble_s").get<double>();
      row.factorisation += t.at("factorise_s").get<double>();
      row.eigen += t.at("eigen_s").get<double>();
      row.post += t.at("damped_s").get<double>() + t.at("rest_s").get<double>();
      row.files += t.at("files_s").get<double>();
      for (const Json &mode : variant.at("modes")) {
        const double error = mode.at("mesh_error_percent");
        worst = std::max(worst, error);
        errors += error;
      }
    }
    if (row.modes > 0) {
      row.worst_error = worst;
      row.mean_error = errors / double(row.modes);
    }
  } catch (const Json::exception &error) {
    throw std::runtime_error(std::string("what `modes` printed cannot be read: ") + error.what());
  }
}

std::string bounds_to_json(const SolveBounds &bounds) { return to_json(bounds).dump() + "\n"; }

SolveBounds bounds_from_json(const std::string &text) {
  try {
    const Json j = Json::parse(text);
    SolveBounds b;
    b.threads = j.at("threads");
    b.right_hand_sides = j.at("right_hand_sides");
    b.block = j.at("block");
    b.dofs = j.at("unknowns");
    b.bandwidth = number_in(j, "memory_bytes_per_s");
    for (const Json &f : j.at("factors"))
      b.factors.push_back({f.at("kind"), two_in(f, "factorisation"), two_in(f, "one_at_a_time"), two_in(f, "in_blocks"),
                           f.at("factor_bytes")});
    b.failure = j.at("failure");
    return b;
  } catch (const Json::exception &error) {
    throw std::runtime_error(std::string("the bounds cannot be read: ") + error.what());
  }
}

std::string rows_to_json(const std::vector<RunFigures> &rows) {
  Json list = Json::array();
  for (const RunFigures &row : rows) list.push_back(to_json(row));
  return list.dump() + "\n";
}

std::vector<RunFigures> rows_from_json(const std::string &text) {
  try {
    std::vector<RunFigures> rows;
    for (const Json &j : Json::parse(text)) rows.push_back(row_from_json(j));
    return rows;
  } catch (const Json::exception &error) {
    throw std::runtime_error(std::string("the figures cannot be read: ") + error.what());
  }
}

std::string suite_to_json(const SuiteFigures &suite, const std::vector<NamedFit> &fits, const std::vector<Bar> &bars) {
  Json rows = Json::array(), bounds = Json::array(), fitted = Json::array(), judged = Json::array();
  for (const RunFigures &row : suite.rows) rows.push_back(to_json(row));
  for (const SolveBounds &b : suite.bounds) bounds.push_back(to_json(b));
  for (const NamedFit &f : fits)
    fitted.push_back({{"what", f.what},
                      {"over", f.over},
                      {"rows", f.rows},
                      {"points", f.fit.points},
                      {"exponent", number(f.fit.exponent)},
                      {"exponent_error", number(f.fit.exponent_error)},
                      {"factor", number(f.fit.factor)}});
  for (const Bar &bar : bars)
    judged.push_back({{"bar", bar.text},
                      {"limit", bar.limit},
                      {"value", number(bar.value)},
                      {"unit", bar.unit},
                      {"verdict", bar.verdict()},
                      {"note", bar.note}});
  return Json{{"small_sizes", suite.small}, {"rows", rows}, {"bounds", bounds}, {"fits", fitted}, {"bars", judged}}
             .dump(2) +
         "\n";
}

}  // namespace stillbox
