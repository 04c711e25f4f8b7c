// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/place_ranking.h"
#include "postprocess/place_search.h"
#include "solver/modal_result.h"

namespace stillbox {

/// A candidate solved again in full, or a variant of the case to compare with.
struct PlaceCheck {
  std::string name;  ///< "winner", "second", "middle", "bare box", "sample 1"
  long row = -1;     ///< index into the rows, -1 for a variant
  ModalResult full;
  double value = 0;                         ///< by the full solution
  double first_error = 0, worst_error = 0;  ///< relative, reduced over full; 0 for a variant
  int wins = -1;      ///< boxes of `draws` in which the winner is better than this one, -1: not asked
  double margin = 0;  ///< median of (winner - this) / this over those boxes
};

struct PlaceReport {
  const PlaceSearch *search = nullptr;
  double up_to = 0;
  std::vector<PlaceRow> rows;
  std::vector<RankedPlace> ranking;
  std::vector<PlaceTrack> tracks;
  std::vector<PlaceCheck> checks;
  int draws = 0;
  unsigned seed = 0;
  PlaceWork work;
  int known_before = 0;                           ///< candidates that an earlier run had found
  double seconds_search = 0, seconds_checks = 0;  ///< processor time
};

/// "rim 30 mm, at 190 mm"
std::string place_name(const PlaceSearch &search, const PlaceRow &row);

/// For a terminal, no line wider than table_width.
std::string place_table(const PlaceReport &report);

/// JSON (RFC 8259): schema "stillbox place 1", what was asked, every candidate with its modes, tracks, ranking, checks.
std::string place_json(const PlaceReport &report);

/// CSV (RFC 4180): one row per candidate and mode with its track.
std::string place_csv(const PlaceReport &report);

/// The map: place against frequency, one line per tracked mode, one panel per line of candidates (the first six); gaps
/// where candidates were refused; marks at the winner and at rules of thumb.
std::string place_picture(const PlaceReport &report);

/// The winner as a variant: the block, and the whole case file with it at its end.
struct PlacedVariant {
  std::string name, block, text;
};
PlacedVariant placed_variant(const PlaceReport &report, const std::string &case_path);
/// "" when the text reads back as the winner's boards, else what is wrong. Writes a temporary file.
std::string check_placed_variant(const PlacedVariant &variant, const PlaceReport &report,
                                 const std::string &materials_path);

}  // namespace stillbox
