// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "mesh/case_place.h"
#include "postprocess/place_rows.h"

namespace stillbox {

// From a [place] table to the modes of all candidates: what can be tried, in which pieces of work, and doing them.

/// One candidate before it is solved.
struct PlaceCandidate {
  int line = 0;
  double at = 0;  ///< mm
  std::string rule, refused;
  double mass = 0, volume = 0;  ///< kg, m3
};

/// Candidates of one line next to each other that one reduced model serves, or each by a full solution: a piece of work
/// that is done as a whole.
struct PlacePiece {
  std::vector<std::size_t> candidates;  ///< indices into PlaceSearch::candidates
  bool is_reduced = false;
};

struct PlaceSearch {
  CaseTrees trees;
  PlaceRequest request;
  std::string fingerprint;
  std::vector<PlaceLine> lines;
  std::vector<PlaceCandidate> candidates;  ///< line by line, places increasing
  std::vector<PlacePiece> pieces;
  std::vector<std::string> notes;
};

/// Whether a case has a [place] table. Errors: CaseError.
bool has_place_table(const std::string &case_path);

/// What tells one search from another: bytes of the case and the materials, top frequency, fineness, degree.
std::string place_fingerprint(const std::string &case_path, const std::string &materials_path,
                              const SolveOptions &options);

/// Fewer candidates in a piece are solved one by one: a reduced model costs about as much as so many full solutions.
constexpr std::size_t least_of_a_piece = 8;

/// Reads and checks everything and cuts the candidates into pieces. Rules of thumb (middle, thirds, golden section of
/// the clear size along which a brace moves) join their line where they lie within it. Errors: CaseError, also when no
/// candidate is left.
PlaceSearch prepare_search(const std::string &case_path, const std::string &materials_path,
                           const SolveOptions &options);

/// The structure of a candidate. Errors: CaseError when it is wrong.
Structure candidate_structure(const PlaceSearch &search, int line, double at);

/// What the pieces done took.
struct PlaceWork {
  int solutions = 0;       ///< full solutions, those of reduced models included
  int factorisations = 0;  ///< places of reduced models completed by corrections
  double doubt = 0;        ///< worst of the reduced models
};

/// The rows of one piece. When no reduced model can be made it is cut in two, and in the end solved one by one.
std::vector<PlaceRow> solve_piece(const PlaceSearch &search, const PlacePiece &piece, const SolveOptions &options,
                                  PlaceWork &work);

/// Rows of the refused candidates.
std::vector<PlaceRow> refused_rows(const PlaceSearch &search);

}  // namespace stillbox
