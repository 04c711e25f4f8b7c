// SPDX-License-Identifier: MIT
#pragma once
#include <cstdint>
#include <string>

namespace stillbox {

/// A random cabinet as a case file, invented: box, footprint or tube; walls of one or several layers with all joints;
/// braces of all kinds, also crossing ones; cut-outs near edges and braces; drivers with and without rigid baskets;
/// masses, feet, sheets, bonds. Small and coarse (degree 2, fineness 0.5, a few modes), so that it is solved in a
/// fraction of a second; small ones in a tenth. Nearly all boxes are valid, as parts that the reader refuses are drawn
/// anew, but for one in seven; the same numbers give the same text.
std::string random_cabinet(std::uint64_t seed, std::uint64_t number, bool small = false);

enum class CabinetOutcome { solved, refused_by_reader, refused_by_mesher, refused_by_solver };

struct CabinetRun {
  CabinetOutcome outcome = CabinetOutcome::solved;
  std::string reason;     ///< why it was refused
  std::string complaint;  ///< what is wrong with the answer; empty: nothing
  int unknowns = 0, modes = 0;
};

/// Reads, meshes and solves the base of a case, and checks the answer:
///  - as many modes as the inertia of the matrix counts, rigid ones included; frequencies finite, in order, below the
///    top; residuals |K x - w^2 M x| / (w^2 |M x|) below 1e-4, which bounds the error of the
///    frequency by some 5e-5 (Weinstein's bound; far less in truth, and far below the mesh's);
///  - six rigid motions where it floats and all is joined, none where it stands on feet that are stiff all ways;
///  - mass and volume of the mesh equal to those of the description to 0.1 %, and no inverted element.
/// Refusals (CaseError, MeshError, SolveError) have to have a reason that may go to a terminal. Anything else is
/// thrown.
CabinetRun try_cabinet(const std::string &text);

}  // namespace stillbox
