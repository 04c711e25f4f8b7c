// SPDX-License-Identifier: MIT
#include "tests/benchmark/plan.h"

namespace stillbox {

const char *const stand_mount_row = "stand-mount with brace";
const char *const floor_stander_row = "floor-stander";
const VariantRows variant_rows[2] = {{"one place of a brace", "four places of a brace"},
                                     {"demonstration, bare", "demonstration"}};

namespace {

const char *const plate_row = "plate";
const char *const tall_row = "2 m, eight braces";
constexpr RowGroup cases_group = RowGroup::cases, unknowns_group = RowGroup::unknowns,
                   variants_group = RowGroup::variants;

}  // namespace

Plan whole_plan(const std::string &cases, const std::string &benchmark) {
  const std::string plate = cases + "/textbook-plate.toml", stand_mount = cases + "/stand-mount.toml",
                    floor_stander = cases + "/floor-stander.toml", tall = benchmark + "/eight-braces.toml";
  Plan plan;
  for (const int threads : {1, 2}) {
    plan.runs.push_back({cases_group, plate_row, plate, {"free"}, 2000, 1, 3, threads});
    plan.runs.push_back({cases_group, stand_mount_row, stand_mount, {"window brace"}, 2000, 1, 3, threads});
    plan.runs.push_back({cases_group, floor_stander_row, floor_stander, {"three braces"}, 1000, 1, 3, threads});
    plan.runs.push_back({cases_group, tall_row, tall, {"eight braces"}, 500, 1, 3, threads});
  }
  // From the coarsest mesh that the program makes to half a million unknowns. Below some 60 000 only a lower degree
  // gets, as the lines of the joints stay: a row that the fit has apart.
  plan.runs.push_back({unknowns_group, stand_mount_row, stand_mount, {"window brace"}, 2000, 0.5, 2, 1});
  for (const double fineness : {0.5, 0.75, 1.0, 2.0, 3.0, 4.0})
    plan.runs.push_back({unknowns_group, stand_mount_row, stand_mount, {"window brace"}, 2000, fineness, 3, 1});
  for (const int threads : {1, 2}) {
    const std::string places = benchmark + "/four-places.toml";
    plan.runs.push_back({variants_group, variant_rows[0].first, places, {"200 mm up"}, 1500, 1, 3, threads});
    plan.runs.push_back({variants_group, variant_rows[0].all, places, {}, 1500, 1, 3, threads});
    plan.runs.push_back({variants_group, variant_rows[1].first, stand_mount, {"bare"}, 1500, 1, 3, threads});
    plan.runs.push_back({variants_group, variant_rows[1].all, stand_mount, {}, 1500, 1, 3, threads});
  }
  plan.modes = {stand_mount_row, stand_mount, "window brace", 2000, 1, 3, {700, 1000, 1400, 2000, 2800}};
  plan.bounds = {stand_mount, "window brace", 2000, 1, 3, {1, 2}};
  return plan;
}

Plan quick_plan(const std::string &cases, const std::string &benchmark) {
  const std::string plate = cases + "/textbook-plate.toml", stand_mount = cases + "/stand-mount.toml",
                    floor_stander = cases + "/floor-stander.toml", tall = benchmark + "/eight-braces.toml";
  Plan plan;
  plan.small = true;
  // No modes below 60 Hz, and so no shapes to draw: that would be most of the time.
  for (const int threads : {1, 2}) plan.runs.push_back({cases_group, plate_row, plate, {"free"}, 60, 1, 2, threads});
  plan.runs.push_back({cases_group, stand_mount_row, stand_mount, {"window brace"}, 300, 0.5, 2, 1});
  plan.runs.push_back({cases_group, floor_stander_row, floor_stander, {"no brace"}, 30, 0.5, 2, 1});
  plan.runs.push_back({cases_group, tall_row, tall, {"before the holes are cut"}, 100, 0.5, 2, 1});
  for (const double fineness : {2.0, 4.0})
    plan.runs.push_back({unknowns_group, plate_row, plate, {"free"}, 60, fineness, 2, 1});
  plan.runs.push_back({variants_group, variant_rows[0].first, plate, {"free"}, 60, 1, 2, 1});
  plan.runs.push_back({variants_group, variant_rows[0].all, plate, {"free", "simply supported, soft"}, 60, 1, 2, 1});
  plan.modes = {plate_row, plate, "free", 1000, 1, 2, {300, 500, 1000}};
  plan.bounds = {plate, "free", 1000, 1, 2, {1}};  // of another matrix than the run: the bar stays open
  return plan;
}

}  // namespace stillbox
