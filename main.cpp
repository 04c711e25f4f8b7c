// SPDX-License-Identifier: MIT
// The command line of stillbox: reads it, calls, and turns errors into messages and exit codes.
//   0 all well    1 the work failed, the reason is printed    2 the input is wrong, nothing was written

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>

#include "mesh/case_file.h"
#include "postprocess/commands.h"
#include "postprocess/safe_file.h"
#include "solver/discretisation.h"

namespace {

struct Words {
  std::string case_path, out, damping = "where-needed";
  std::vector<std::string> variants;
  double up_to = 0, fineness = 0;
  int degree = 0, picture_modes = 6;
  bool check_run = false, times = false;
  stillbox::SheetOptions sheet;
  double sheet_thickness_mm = 3;
};

void add_case(CLI::App &command, Words &words) {
  command.add_option("CASE", words.case_path, "the case file (TOML)")->required();
}

void add_variant(CLI::App &command, Words &words) {
  command.add_option("--variant", words.variants, "only this variant; may be given more than once");
}

void add_mesh_options(CLI::App &command, Words &words) {
  command.add_option("--up-to", words.up_to, "find all modes up to this frequency, in Hz")
      ->check(CLI::Range(20.0, 20000.0));
  command.add_option("--fineness", words.fineness, "divide the element size by this")->check(CLI::Range(0.5, 4.0));
  command.add_option("--degree", words.degree, "polynomial degree of the elements")->check(CLI::Range(2, 6));
}

CLI::App *add_sheet(CLI::App &app, Words &words) {
  CLI::App *sheet = app.add_subcommand("sheet", "tell on which face, and where on it, a damping sheet adds most loss");
  add_case(*sheet, words);
  add_variant(*sheet, words);
  add_mesh_options(*sheet, words);
  auto *mode = sheet->add_option("--mode", words.sheet.mode, "this mode only, by its number in the table of `modes`")
                   ->check(CLI::Range(1, 100000));
  sheet->add_option("--from", words.sheet.from, "the modes from this frequency on, in Hz")
      ->check(CLI::Range(0.0, 20000.0))
      ->excludes(mode);
  sheet->add_option("--to", words.sheet.to, "the modes up to this frequency, in Hz; none: the top frequency")
      ->check(CLI::Range(1.0, 20000.0))
      ->excludes(mode);
  sheet->add_option("--material", words.sheet.material, "what the sheet is made of: built in or of the case file")
      ->capture_default_str();
  sheet->add_option("--thickness", words.sheet_thickness_mm, "its thickness in mm")->capture_default_str();
  sheet->add_option("--out", words.out, "folder for sheet.csv and a map of each variant; none: print only");
  return sheet;
}

int run(int argc, char **argv) {
  Words words;
  CLI::App app{
      "stillbox tells how the walls of a loudspeaker cabinet will ring: at which frequencies, in which shapes and for "
      "how long, and what a brace, a thicker board or a damping sheet changes.\nA prediction is not a measurement."};
  app.set_version_flag("--version", "stillbox " STILLBOX_VERSION);
  app.require_subcommand(1);
  app.footer("Lengths in a case file are in millimetres unless they say otherwise (\"3/4 in\"). See README.md.");

  CLI::App *check =
      app.add_subcommand("check", "validate a case; print its boards with cut sizes, mass and inner volume");
  add_case(*check, words);
  add_variant(*check, words);
  CLI::App *mesh = app.add_subcommand("mesh", "mesh a case and write the hexahedra as VTK for a look");
  add_case(*mesh, words);
  add_variant(*mesh, words);
  add_mesh_options(*mesh, words);
  mesh->add_option("--out", words.out, "folder for the files")->default_str(".");
  CLI::App *modes = app.add_subcommand("modes", "find the modes of every variant and set the variants side by side");
  add_case(*modes, words);
  add_variant(*modes, words);
  add_mesh_options(*modes, words);
  modes->add_option("--out", words.out, "folder for modes.json, modes.csv, VTK files and pictures; none: print only");
  modes->add_option("--picture-modes", words.picture_modes, "how many modes each picture shows")
      ->check(CLI::Range(1, 24))
      ->capture_default_str();
  modes
      ->add_option(
          "--damping", words.damping,
          "loss factors by the energy method, exact (complex eigenvalues), or exact where the energy method may "
          "be off: a loss factor above 0.1, or moduli tabled over frequency")
      ->check(CLI::IsMember({"energy", "exact", "where-needed"}))
      ->capture_default_str();
  modes->add_flag("--check-run", words.check_run,
                  "solve each variant again with elements of one degree more and print how far the frequencies move");
  modes->add_flag("--times", words.times, "print where the time went");
  CLI::App *sheet = add_sheet(app, words);
  CLI::App *keys = app.add_subcommand("keys", "print the reference of all keys of a case file (Markdown)");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError &error) {
    return app.exit(error) == 0 ? 0 : 2;
  }
  if (*keys) {
    fmt::print("{}", stillbox::key_reference_markdown());
    return 0;
  }
  const stillbox::CaseFile file = stillbox::read_case(words.case_path, STILLBOX_MATERIALS);
  stillbox::RunOptions options;
  options.variants = words.variants;
  options.out = words.out;
  options.up_to = words.up_to > 0 ? words.up_to : file.mesh.up_to;
  options.fineness = words.fineness > 0 ? words.fineness : file.mesh.fineness;
  options.degree = words.degree > 0 ? words.degree : file.mesh.degree > 0 ? file.mesh.degree : options.degree;
  options.check_run = words.check_run;
  options.damping = words.damping == "energy"  ? stillbox::Damping::energy
                    : words.damping == "exact" ? stillbox::Damping::exact
                                               : stillbox::Damping::where_needed;
  options.times = words.times;
  options.picture_modes = words.picture_modes;
  if (*check) fmt::print("{}", stillbox::run_check(file, options));
  if (*mesh) fmt::print("{}", stillbox::run_mesh(file, options));
  if (*modes) fmt::print("{}", stillbox::run_modes(file, options));
  if (*sheet) {
    words.sheet.thickness = 1e-3 * words.sheet_thickness_mm;
    words.sheet.materials_path = STILLBOX_MATERIALS;
    if (words.up_to <= 0) options.up_to = std::max(options.up_to, words.sheet.to);
    fmt::print("{}", stillbox::run_sheet(file, options, words.sheet));
  }
  return 0;
}

}  // namespace

int main(int argc, char **argv) {
  try {
    return run(argc, argv);
  } catch (const stillbox::CaseError &error) {
    fmt::print(stderr, "{}\n", error.what());
    return 2;
  } catch (const stillbox::OutputError &error) {
    fmt::print(stderr, "stillbox: {}\n", error.what());
    return 2;
  } catch (const std::bad_alloc &) {
    fmt::print(stderr, "stillbox: not enough memory; lower the fineness or the top frequency\n");
    return 1;
  } catch (const std::exception &error) {
    fmt::print(stderr, "stillbox: {}\n", error.what());
    return 1;
  }
}
