// SPDX-License-Identifier: MIT
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "mesh/case_reader.h"
#include "mesh/structure.h"

namespace stillbox {

// The [place] table of a case file: what is tried where, for what aim, within which limits.

enum class PlaceAim { highest_first_mode, shortest_ring, least_clustering };

/// One thing that is varied: the values of one key of a named item.
struct PlaceVary {
  std::string item, key;     ///< "shelf brace", "at" or "openings.rim"
  std::vector<Node> values;  ///< in the order they are tried
  /// A row: values that differ in one length only. For each value the rest (as text) and that length in mm.
  bool is_row = false;
  std::vector<std::string> rest;
  std::vector<double> along;
};

struct PlaceRequest {
  std::string variant;  ///< the variant that is changed
  PlaceAim aim = PlaceAim::highest_first_mode;
  double band_low = 0, band_high = 0;  ///< Hz; high 0: up to the top frequency
  double most_mass = 0;                ///< kg, 0: no limit
  double least_volume = 0;             ///< m3, 0: no limit
  double least_open = 0;               ///< 0 .. 1: share of a shelf's or window brace's area that is open
  std::string insert;                  ///< "before closing" or "through a cut-out"
  std::vector<std::string> compare;    ///< variants that are solved beside the winner
  std::vector<PlaceVary> vary;
};

/// The table, checked. `variants`: names that exist, the base first. Problems go to root.problems.
PlaceRequest read_place_request(const Reader &root, const std::vector<std::string> &variants);

/// Candidates that differ in one length only, in a row; or a single one when nothing is varied along a row.
struct PlaceLine {
  std::string label;          ///< what is fixed in this line: "rim 30 mm, thickness 18 mm"; empty when all are
  std::vector<Node> fixed;    ///< value of each vary (of the row's own: any of the line)
  int row = -1;               ///< index into PlaceRequest::vary, -1 when there is no row
  std::vector<double> along;  ///< mm, increasing; one entry (0) without a row
};
std::vector<PlaceLine> place_lines(const PlaceRequest &request);

/// The table `replace` of a variant for the candidate at `along` (mm) of a line.
Node place_changes(const PlaceRequest &request, const PlaceLine &line, double along);

/// The same as TOML text: { "shelf brace" = { at = 190 } }.
std::string toml_of(const Node &node);
/// A TOML basic string.
std::string toml_word(const std::string &text);

/// A case read so that changed variants can be built from it again and again. The file must have passed read_case.
struct CaseTrees {
  std::string name;
  double minimum_web = 0, temperature = 20;
  std::optional<Node> built_in;
  std::vector<std::pair<std::string, Node>> trees;  ///< of the base and the variants
};
CaseTrees load_case_trees(const std::string &path, const std::string &materials_path);

/// The structure of a variant with changes laid over it; what is wrong with it goes to `problems`.
Structure changed_structure(const CaseTrees &trees, const std::string &variant, const Node &changes,
                            Problems &problems);

/// Depth of each driver behind the outer face of its wall (m), in the order of Structure::rim_masses; 0 where the case
/// does not say.
std::vector<double> driver_depths(const CaseTrees &trees, const std::string &variant, const Structure &structure);

/// Why a structure is no candidate, or "": too heavy, too few litres, too little open, a driver in the way of a brace,
/// a brace that cannot be put in. The simple rules, each stated in the message:
///   driver   a cylinder of its cut-out's diameter and depth_behind_face must be clear of the wood of all braces
///   open     the openings of a shelf or window brace over its whole area
///   insert   "through a cut-out": thickness and lesser side of the brace pass through the largest cut-out of a wall
std::string place_objection(const PlaceRequest &request, const Structure &structure,
                            const std::vector<double> &driver_depth);

}  // namespace stillbox
