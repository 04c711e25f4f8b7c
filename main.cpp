// SPDX-License-Identifier: MIT
// The command line of stillbox: reads it, calls, and turns errors into messages and exit codes.
//   0 all well    1 the work failed, the reason is printed    2 the input is wrong, nothing was written

#include <CLI/CLI.hpp>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <exception>
#include <thread>

#include "mesh/case_file.h"
#include "postprocess/command_line.h"
#include "postprocess/materials_path.h"
#include "postprocess/option_length.h"
#include "postprocess/safe_file.h"
#include "postprocess/solids_rules.h"
#include "postprocess/standard_streams.h"
#include "solver/discretisation.h"
#include "solver/ranks.h"

namespace {

/// Where standard error is full or closed, too, the exit code has to do. Processes of mpirun mostly fail alike: the
/// first one says why and ends all, another only when it is still there after half a minute. (Many short waits: what is
/// stopped for a while and goes on, all processes alike, has not waited.)
int complain(const std::string &message, int code) {
  if (stillbox::own_rank() > 0)
    for (int wait = 0; wait < 300; ++wait) std::this_thread::sleep_for(std::chrono::milliseconds(100));
  std::fputs((message + "\n").c_str(), stderr);
  if (stillbox::started_by_mpirun()) stillbox::end_all_ranks(code);
  return code;
}

int run(int argc, char **argv) {
  stillbox::CommandWords words;
  CLI::App app{
      "stillbox tells how the walls of a loudspeaker cabinet will ring: at which frequencies, in which shapes and for "
      "how long, and what a brace, a thicker board or a damping sheet changes.\nA prediction is not a measurement."};
  app.set_version_flag("--version", "stillbox " STILLBOX_VERSION);
  app.require_subcommand(1);
  app.footer("Lengths in a case file are in millimetres unless they say otherwise (\"3/4 in\"). See README.md.");

  CLI::App *check = stillbox::add_check(app, words);
  CLI::App *mesh = stillbox::add_mesh(app, words);
  CLI::App *modes = stillbox::add_modes(app, words);
  CLI::App *sheet = stillbox::add_sheet(app, words);
  CLI::App *knock = stillbox::add_knock(app, words);
  CLI::App *air = stillbox::add_air(app, words);
  CLI::App *listen = stillbox::add_listen(app, words.listen);
  CLI::App *board = stillbox::add_board(app, words.board);
  CLI::App *match = stillbox::add_match(app, words);
  CLI::App *drive = stillbox::add_drive(app, words);
  CLI::App *place = stillbox::add_place(app, words);
  CLI::App *report = stillbox::add_report(app, words);
  stillbox::add_json({check, mesh, modes, sheet, air, drive, knock, listen, board, match, place, report}, words);
  words.workshop.version = STILLBOX_VERSION;
  stillbox::add_workshop_commands(app, words.workshop);
  CLI::App *merge = stillbox::add_merge(app, words);

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError &error) {
    if (stillbox::own_rank() > 0) return error.get_exit_code() == 0 ? 0 : 2;
    const std::string advice =
        argc > 2 ? stillbox::renamed_option_advice(argv[1], std::vector<std::string>(argv + 2, argv + argc)) : "";
    if (error.get_exit_code() != 0 && !advice.empty()) return complain("stillbox: " + advice, 2);
    return app.exit(error) == 0 ? 0 : 2;
  }
  if (stillbox::started_by_mpirun() && !*modes) {
    const std::string name = app.get_subcommands().front()->get_name();
    return complain("stillbox: " + name + " runs in one process, only modes in several; start it without mpirun", 2);
  }
  if (const auto text = stillbox::run_workshop_command(app, words.workshop)) {
    stillbox::print_text(*text);
    return 0;
  }
  words.listen.json = words.board.json = words.json;
  if (*merge) {
    stillbox::print_text(stillbox::run_merge(words.shares, words.out));
    return 0;
  }
  if (*listen) {
    stillbox::print_text(stillbox::run_listen(words.listen));
    return 0;
  }
  if (*board) {
    words.board.materials_path = stillbox::materials_path();
    stillbox::print_text(stillbox::run_board(words.board));
    return 0;
  }
  const stillbox::CaseFile file = stillbox::read_case(words.case_path, stillbox::materials_path());
  stillbox::RunOptions options;
  options.variants = words.variants;
  options.out = words.out;
  options.up_to = words.up_to > 0 ? words.up_to : file.mesh.up_to;
  options.fineness = words.fineness > 0 ? words.fineness : file.mesh.fineness;
  options.degree = words.degree > 0       ? words.degree
                   : file.mesh.degree > 0 ? file.mesh.degree
                                          : stillbox::usual_degree_of(file);
  options.check_run = words.check_run;
  options.damping = words.damping == "energy"  ? stillbox::Damping::energy
                    : words.damping == "exact" ? stillbox::Damping::exact
                                               : stillbox::Damping::where_needed;
  options.times = words.times;
  options.json = words.json;
  options.picture_modes = words.picture_modes;
  options.side_by_side = words.side_by_side;
  if (*check) stillbox::print_text(stillbox::run_check(file, options));
  if (*mesh) stillbox::print_text(stillbox::run_mesh(file, options));
  if (*modes) stillbox::print_text(stillbox::run_modes(file, options));
  if (*air) stillbox::print_text(stillbox::run_air(file, options));
  if (*match) {
    words.match.up_to = words.up_to;
    words.match.materials_path = stillbox::materials_path();
    words.match.hear = [](const std::string &path) {
      return stillbox::hear(stillbox::read_recording(path, 1), {}).modes;
    };
    stillbox::print_text(stillbox::run_match(file, options, words.match));
  }
  if (*place) {
    words.place.case_path = words.case_path;
    words.place.materials_path = stillbox::materials_path();
    stillbox::print_text(stillbox::run_place(options, words.place));
  }
  if (*sheet) {
    words.sheet.thickness = stillbox::option_length("sheet", "--thickness", words.sheet_thickness, 0.05, 100);
    words.sheet.materials_path = stillbox::materials_path();
    if (words.up_to <= 0) options.up_to = std::max(options.up_to, words.sheet.to);
    stillbox::print_text(stillbox::run_sheet(file, options, words.sheet));
  }
  if (*drive) stillbox::print_text(stillbox::run_drive(file, options, words.drive));
  words.knock.pulse.contact = 1e-3 * words.contact_ms;
  if (*report) {
    words.report.knock = words.knock;
    words.report.materials_path = stillbox::materials_path();
    stillbox::print_text(stillbox::run_report(file, options, words.report));
  }
  if (*knock) {
    stillbox::print_text(stillbox::run_knock(file, options, words.knock));
  }
  return 0;
}

}  // namespace

int main(int argc, char **argv) {
  stillbox::hold_standard_streams();
  try {
    const int code = run(argc, argv);
    stillbox::finish_printing();
    return code;
  } catch (const stillbox::CaseError &error) {
    return complain(error.what(), 2);
  } catch (const stillbox::OutputError &error) {
    return complain("stillbox: " + std::string(error.what()), error.path == "standard output" ? 1 : 2);
  } catch (const std::bad_alloc &) {
    return complain("stillbox: not enough memory; lower the fineness or the top frequency", 1);
  } catch (const std::exception &error) {
    return complain("stillbox: " + stillbox::clean_lines(error.what()), 1);
  }
}
