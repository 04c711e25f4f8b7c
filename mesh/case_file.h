// SPDX-License-Identifier: MIT
#pragma once
#include <stdexcept>
#include <string>
#include <vector>

#include "mesh/clean_text.h"
#include "mesh/structure.h"

namespace stillbox {

/// Everything that is wrong with a case file, one line per problem, each complete in itself:
/// "file:line: key ...: value ...; allowed ...; what to do".
/// Words of the user's in it are cleaned (clean_lines): a message goes to a terminal.
struct CaseError : std::runtime_error {
  explicit CaseError(const std::string &message) : std::runtime_error(clean_lines(message)) {}
};

struct MeshSettings {
  double up_to = 0;     ///< Hz: modes are wanted up to here, 20 .. 20000
  double fineness = 1;  ///< divides the element size, 0.5 .. 4
  int degree = 0;       ///< polynomial degree of the elements, 2 .. 6; 0 leaves the choice to the program
};

struct CaseFile {
  std::string path, name, note;
  MeshSettings mesh;
  std::vector<Structure> variants;  ///< the first one is the base
};

/// Reads and checks a case file and builds the structure of the base and of every variant, in SI units.
/// `materials_path` is the list of built-in materials and may be empty.
/// Errors: CaseError with every problem that could be found; nothing is clamped or guessed.
CaseFile read_case(const std::string &path, const std::string &materials_path);

/// The same from the text of a case; `path` is shown in messages.
CaseFile read_case_text(const std::string &text, const std::string &path, const std::string &materials_path);

/// The materials of a list at 20 degrees C, in the order of the file. Errors: as read_case.
std::vector<Material> read_materials_list(const std::string &materials_path);

/// The reference of all keys of a case file as Markdown, written from their declarations in mesh/keys*.cpp.
std::string key_reference_markdown();

}  // namespace stillbox
