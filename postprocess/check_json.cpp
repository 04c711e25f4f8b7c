// SPDX-License-Identifier: MIT
#include "postprocess/check_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/summary.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

Json finite(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json gain_json(const SheetGain &gain) {
  Json by_mode = Json::array();
  for (const double added : gain.per_mode) by_mode.push_back(finite(added));
  return {{"area_m2", gain.area},
          {"mass_kg", gain.mass},
          {"litres_lost", 1e3 * gain.volume},
          {"added_loss", finite(gain.added)},
          {"added_loss_by_mode", by_mode},
          {"added_loss_per_kg", finite(gain.per_kg())},
          {"gain_percent", finite(100 * gain.relative)}};
}

std::string document(const char *schema, const std::string &case_name, Json rest) {
  Json json = {{"schema", schema}, {"case", clean_text(case_name)}};
  json.update(rest);
  return json.dump(2) + "\n";
}

}  // namespace

std::string check_json(const std::string &case_name, const std::vector<CheckedVariant> &variants) {
  Json list = Json::array();
  for (const CheckedVariant &v : variants) {
    Json boards = Json::array();
    double mass = v.fittings;
    for (const BoardLine &b : v.boards) {
      Json holes = Json::array();
      for (const std::string &text : b.cut_outs) holes.push_back(clean_text(text));
      boards.push_back({{"name", clean_text(b.name)},
                        {"use", b.role},
                        {"material", clean_text(b.material)},
                        {"grain", b.grain.empty() ? Json(nullptr) : Json(clean_text(b.grain))},
                        {"across_mm", 1e3 * b.size_u},
                        {"up_mm", 1e3 * b.size_v},
                        {"thickness_mm", 1e3 * b.thickness},
                        {"mass_kg", b.mass},
                        {"cut_outs", holes}});
      mass += b.mass;
    }
    list.push_back({{"name", clean_text(v.name)},
                    {"mass_kg", mass},
                    {"fittings_kg", v.fittings},
                    {"inner_volume_l", v.inner > 0 ? Json(1e3 * v.inner) : Json(nullptr)},
                    {"boards", boards}});
    if (v.chambers.empty()) continue;
    Json chambers = Json::array();
    for (const double volume : v.chambers) chambers.push_back(1e3 * volume);
    list.back()["chambers_l"] = chambers;
  }
  return document("stillbox check 1", case_name, {{"variants", list}});
}

std::string mesh_json(const std::string &case_name, const std::vector<MeshedVariant> &variants) {
  Json list = Json::array();
  for (const MeshedVariant &v : variants)
    list.push_back({{"name", clean_text(v.name)},
                    {"elements", v.tetrahedra ? "tetrahedra" : "hexahedra"},
                    {"cells", v.cells},
                    {"degree", v.degree},
                    {"unknowns", v.unknowns},
                    {"least_scaled_jacobian", finite(v.least_jacobian)},
                    {"mass_kg", finite(v.mass)},
                    {"mass_expected_kg", finite(v.mass_expected)},
                    {"file", clean_text(v.file)}});
  return document("stillbox mesh 1", case_name, {{"variants", list}});
}

std::string sheet_value_json(const std::vector<SheetValue> &variants) {
  Json list = Json::array(), nature = Json::array();
  for (const std::string &line : accuracy_lines()) nature.push_back(clean_text(line));
  for (const SheetValue &value : variants) {
    Json modes = Json::array(), faces = Json::array();
    for (const SheetMode &mode : value.modes)
      modes.push_back(
          {{"mode", mode.number}, {"frequency_hz", finite(mode.frequency)}, {"loss_factor", finite(mode.loss_factor)}});
    for (const SheetFace &face : value.faces)
      faces.push_back({{"board", clean_text(face.board)},
                       {"face", face.face.word},
                       {"whole", gain_json(face.whole)},
                       {"best", gain_json(face.best)},
                       {"best_centre_mm", {1e3 * face.centre.x(), 1e3 * face.centre.y()}},
                       {"best_size_mm", {1e3 * face.size.x(), 1e3 * face.size.y()}},
                       {"best_is_clear", face.best_is_bare}});
    list.push_back({{"name", clean_text(value.variant_name)},
                    {"stiffening", finite(value.stiffening)},
                    {"modes", modes},
                    {"faces", faces}});
  }
  const SheetValue first = variants.empty() ? SheetValue{} : variants.front();
  return document("stillbox sheet 1", first.case_name,
                  {{"nature", nature},
                   {"sheet",
                    {{"material", clean_text(first.material)},
                     {"thickness_mm", 1e3 * first.thickness},
                     {"density_kg_m3", first.density}}},
                   {"variants", list}});
}

}  // namespace stillbox
