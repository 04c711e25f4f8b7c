// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/keys.h"

// Internal to keys*.cpp: how keys are declared in short, and the lists that all_keys joins, one for each part of a
// case.

namespace stillbox {

std::vector<Key> material_keys();  ///< [material.NAME] and its tables
std::vector<Key> wall_keys();      ///< [cabinet], [shape], [solids], boards and layers, joints
std::vector<Key> board_keys();     ///< sheets, braces, crossings, cut-outs, free boards
std::vector<Key> fitting_keys();   ///< drivers, ports, linings, fillings, masses, feet, held edges, bonds

namespace key_makers {

using T = KeyType;
using Words = std::vector<std::string>;

inline const Words wall_names = {"baffle", "back", "left", "right", "top", "bottom"};
inline const Words directions = {"width", "depth", "height"};
inline const Words grains = {"along", "across", "width", "depth", "height"};

inline Key word(const char *group, const char *name, bool required, const char *prose) {
  return {group, name, T::text, required, "", 0, 0, "", {}, prose};
}
inline Key length(const char *group, const char *name, bool required, const char *standard, double low, double high,
                  const char *prose) {
  return {group, name, T::length, required, standard, low, high, "mm", {}, prose};
}
inline Key lengths(const char *group, const char *name, bool required, double low, double high, const char *prose) {
  return {group, name, T::lengths, required, "", low, high, "mm", {}, prose};
}
inline Key number(const char *group, const char *name, bool required, const char *standard, double low, double high,
                  const char *unit, const char *prose) {
  return {group, name, T::number, required, standard, low, high, unit, {}, prose};
}
inline Key numbers(const char *group, const char *name, bool required, double low, double high, const char *unit,
                   const char *prose) {
  return {group, name, T::numbers, required, "", low, high, unit, {}, prose};
}
inline Key choice(const char *group, const char *name, bool required, const char *standard, const Words &words,
                  const char *prose) {
  return {group, name, T::choice, required, standard, 0, 0, "", words, prose};
}
inline Key words(const char *group, const char *name, bool required, const Words &choices, const char *prose) {
  return {group, name, T::texts, required, "", 0, 0, "", choices, prose};
}
inline Key table(const char *group, const char *name, bool required, const char *prose) {
  return {group, name, T::table, required, "", 0, 0, "", {}, prose};
}
inline Key tables(const char *group, const char *name, bool required, const char *prose) {
  return {group, name, T::tables, required, "", 0, 0, "", {}, prose};
}

}  // namespace key_makers
}  // namespace stillbox
