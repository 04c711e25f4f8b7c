// SPDX-License-Identifier: MIT
#include "postprocess/workshop_line.h"

#include <CLI/CLI.hpp>
#include <iostream>

#include "mesh/case_file.h"
#include "postprocess/case_schema.h"
#include "postprocess/command_docs.h"
#include "postprocess/materials_path.h"

namespace stillbox {
namespace {

void add_start(CLI::App &app, StartOptions &start) {
  CLI::App *command = app.add_subcommand(
      "start", "write a case file from what callipers, ruler and scale say; asks for what is not given");
  command->add_option("CASE", start.path, "the case file to write (TOML)")->required();
  command->add_option("--name", start.name, "of the case; none: as the file");
  command->add_option("--width", start.width, "of the cabinet outside, in mm or with a unit (\"8 1/4 in\")");
  command->add_option("--depth", start.depth, "the same, front to back");
  command->add_option("--height", start.height, "the same");
  command->add_option("--thickness", start.thickness, "of its board; with the three sizes given nothing is asked");
  command->add_option("--baffle-thickness", start.baffle_thickness, "none: as the other walls");
  command->add_option("--material", start.material, "built-in material the board looks like; none: mdf");
  command->add_option("--weighed", start.weighed,
                      "a piece of the board on the scale: \"LENGTH, WIDTH, THICKNESS, KG\"; its density follows");
  const auto list = [&](const char *name, std::vector<std::string> &values, const char *words) {
    command->add_option(name, values, words)->take_all()->expected(1);
  };
  list("--cut-out", start.cut_outs,
       "\"NAME, WALL, round, ACROSS, UP, DIAMETER\" or \"NAME, WALL, rectangle, ACROSS, UP, WIDTH, HEIGHT\", from the "
       "lower left corner seen from outside; may be repeated");
  list("--driver", start.drivers, "\"CUT-OUT, KG\", and \", rigid basket\" for a cast one; may be repeated");
  list("--brace", start.braces,
       "\"NAME, shelf, DIRECTION, AT\", \"NAME, window, DIRECTION, AT, RIM\", \"NAME, rib, WALL, DIRECTION, AT, "
       "STAND-OFF\", \"NAME, bar, DIRECTION, AT, AT, SIZE, SIZE\" or \"NAME, corner block, WALL, WALL, SIZE, SIZE\"; "
       "may be repeated");
  command->add_option("--up-to", start.up_to, "modes are wanted up to this frequency, in Hz; none: 1000");
  command->add_flag("--teardown", start.teardown,
                    "a sheet to fill in for a cabinet that was opened; parts that were weighed give their densities");
  command->add_flag("--overwrite", start.overwrite, "replace the file if there is one");
}

void add_cut(CLI::App &app, WorkshopWords &words) {
  CLI::App *command = app.add_subcommand(
      "cut", "list the parts as they are cut, with joints, grain, mass and the stock they take; draw every board");
  command->add_option("CASE", words.case_path, "the case file (TOML)")->required();
  command->add_option("--variant", words.cut.variants, "only this variant; may be repeated");
  command->add_option("--stock-size", words.cut.stock_size,
                      "\"LENGTH, WIDTH\" of the boards as sold, in mm or with units; none: 2440, 1220");
  command->add_option("--out", words.cut.out,
                      "folder for cut.csv, cut.json and a drawing of each board (DXF, mm); none: print only");
  command->add_flag("--json", words.cut.json, "print JSON instead of text");
}

void add_converge(CLI::App &app, WorkshopWords &words) {
  ConvergeOptions &c = words.converge;
  CLI::App *command =
      app.add_subcommand("converge", "solve one variant on ever finer meshes and tell how the frequencies settle");
  command->add_option("CASE", words.case_path, "the case file (TOML)")->required();
  command->add_option("--variant", c.variant, "this variant; none: the base");
  command->add_option("--fineness", c.fineness, "the meshes, coarse to fine; none: \"0.75, 1.1, 1.6\"");
  command->add_option("--degrees", c.degrees,
                      "instead, such as \"2, 3, 4\": degrees of the elements, each with its usual size");
  command->add_option("--degree", c.degree, "of the elements; none: that of the case, or 3")->check(CLI::Range(2, 6));
  command->add_option("--up-to", c.up_to, "modes up to this frequency, in Hz; none: as in the case")
      ->check(CLI::Range(20.0, 20000.0));
  command->add_option("--modes", c.modes, "how many modes are shown")
      ->check(CLI::Range(1, 1000))
      ->capture_default_str();
  command->add_option("--out", c.out, "folder for converge.csv, converge.json and converge.svg; none: print only");
  command->add_flag("--json", c.json, "print JSON instead of text");
}

}  // namespace

void add_workshop_commands(CLI::App &app, WorkshopWords &words) {
  add_start(app, words.start);
  add_cut(app, words);
  add_converge(app, words);
  CLI::App *keys = app.add_subcommand("keys", "print the reference of all keys of a case file (Markdown)");
  keys->add_flag("--schema", words.schema, "as a JSON Schema instead, with which editors complete and check a case");
  app.add_subcommand("completion", "print the completion for bash: source <(stillbox completion)");
  app.add_subcommand("manual", "print the manual page: stillbox manual > stillbox.1; man -l stillbox.1");
}

std::optional<std::string> run_workshop_command(const CLI::App &app, WorkshopWords &words) {
  if (app.got_subcommand("start")) {
    words.start.materials_path = materials_path();
    return run_start(words.start, std::cin, std::cerr);
  }
  if (app.got_subcommand("cut")) return run_cut(read_case(words.case_path, materials_path()), words.cut);
  if (app.got_subcommand("converge")) return run_converge(read_case(words.case_path, materials_path()), words.converge);
  if (app.got_subcommand("keys")) return words.schema ? case_schema_json() : key_reference_markdown();
  if (app.got_subcommand("completion")) return bash_completion(command_docs(app));
  if (app.got_subcommand("manual")) return man_page(command_docs(app), words.version);
  return std::nullopt;
}

}  // namespace stillbox
