// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

#include "solver/place_model.h"

namespace stillbox {

// candidates.csv: one row per candidate of `place`, appended as soon as it is known and sorted at the end.
//   search              fingerprint of what was asked; rows of another search are not used
//   line, line_of       number of the line of candidates (from 1) and what is fixed in it
//   at_mm               where along the line
//   rule                rule of thumb that puts a brace here, or empty
//   how                 refused, reduced (from the reduced model) or full (a full solution of its own)
//   reason              why it was refused
//   mass_kg, inner_volume_l
//   frequencies_hz      all modes up to the top frequency, separated by spaces
//   loss_factors        of the same, energy method
//   shapes              normal displacement at points of the walls in 1/99 of the largest, modes separated by ;

struct PlaceRow {
  std::string search, line_of, rule, how, reason;
  int line = 0;       ///< from 0
  double at = 0;      ///< mm
  double mass = 0;    ///< kg
  double volume = 0;  ///< m3
  PlaceModes modes;   ///< rounded to what the file holds
  bool is_refused() const { return how == "refused"; }
};

/// Header and one row; lines end in CRLF.
std::string place_rows_header();
std::string place_row_text(const PlaceRow &row);

/// The row as it will be read back.
PlaceRow rounded(const PlaceRow &row);

/// Whole rows of the text in their order; a last line that was cut off is left out.
/// Errors: std::runtime_error for a text that is no such file: other headings, a cell that is no number or out of
/// range.
std::vector<PlaceRow> read_place_rows(const std::string &text);

/// By line and place, each once (the first of equal ones stays).
void sort_place_rows(std::vector<PlaceRow> &rows);

/// The whole file.
std::string place_rows_text(const std::vector<PlaceRow> &rows);

/// Appends text to a file in one piece and flushes it to the disk. Errors: OutputError.
void append_to_file(const std::string &path, const std::string &text);

}  // namespace stillbox
