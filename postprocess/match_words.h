// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "mesh/case_file.h"
#include "solver/match_fit.h"

namespace stillbox {

/// Bounds as factors on the start: "0.5..2". Nothing when it is not two numbers with 0 < low <= 1 <= high, low < high,
/// within 0.001 .. 1000.
std::optional<std::pair<double, double>> parse_within(const std::string &text);

/// What `match` is to find, from the words of --unknown.
struct MatchWords {
  std::vector<std::string> unknowns;  ///< as typed; empty: modulus and loss factor of the walls' main material
  std::string within;                 ///< bounds of all moduli, densities and stiffnesses; "" for the defaults
};

/// The kind of a material as its table says: "isotropic", "transversely isotropic", "orthotropic"; `based_on` is
/// followed. "" when it is not found.
std::string kind_of_material(const std::string &case_path, const std::string &materials_path, const std::string &name);

/// Fills in the unknowns of `problem` for its start structure. Words: "modulus of M", "density of M", "loss factor of
/// M"; of boards that are the same along and across "in-plane modulus of M"; of orthotropic ones "along modulus of M",
/// "across modulus of M", "in-plane shear modulus of M"; of both "through shear modulus of M"; "stiffness of bond B",
/// "loss factor of bond B". Each may end in " within LOW..HIGH". Defaults: moduli 0.5..2, densities 0.7..1.4, bonds
/// 0.01..100 (common practice, no source), loss factors 0 .. 2.
/// Errors: CaseError naming the option, the words and what is known: unreadable, unknown or unused material or bond, a
/// kind of material that has no such modulus, a material tabled over frequency, a loose bond, the same twice, bounds
/// that are none or let the constants of a law not fit together, a loss factor without one being heard, more unknowns
/// than were heard.
void read_match_words(const MatchWords &words, const CaseFile &file, const std::string &materials_path,
                      MatchProblem &problem);

}  // namespace stillbox
