// SPDX-License-Identifier: MIT
#include "postprocess/command_line.h"

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdlib>

namespace stillbox {
namespace {

/// CLI11's ranges let "nan" through.
const CLI::Validator no_nan(
    [](std::string &text) {
      return std::isnan(std::strtod(text.c_str(), nullptr)) ? "value " + text + "; allowed: a number" : std::string();
    },
    "");

void add_case(CLI::App &command, CommandWords &words) {
  command.add_option("CASE", words.case_path, "the case file (TOML)")->required();
}

void add_variant(CLI::App &command, CommandWords &words) {
  command.add_option("--variant", words.variants, "only this variant; may be repeated");
}

void add_mesh_options(CLI::App &command, CommandWords &words, const char *no_top = "as in the case") {
  command
      .add_option("--up-to", words.up_to, std::string("find all modes up to this frequency, in Hz; none: ") + no_top)
      ->check(CLI::Range(20.0, 20000.0))
      ->check(no_nan);
  command.add_option("--fineness", words.fineness, "divide the element size by this; none: as in the case, or 1")
      ->check(CLI::Range(0.5, 4.0))
      ->check(no_nan);
  command.add_option("--degree", words.degree, "polynomial degree of the elements; none: as in the case, or chosen")
      ->check(CLI::Range(2, 6));
}

void add_meshed_case(CLI::App &command, CommandWords &words) {
  add_case(command, words);
  add_variant(command, words);
  add_mesh_options(command, words);
}

void add_pulse(CLI::App &command, CommandWords &words) {
  command.add_option("--contact-ms", words.contact_ms, "how long the knuckle touches, in ms")->capture_default_str();
  command.add_option("--peak-n", words.knock.pulse.peak, "its greatest force, in N")->capture_default_str();
}

void add_damping(CLI::App &command, CommandWords &words) {
  command
      .add_option(
          "--damping", words.damping,
          "loss factors by the energy method, exact (complex eigenvalues), or exact where the energy method may "
          "be off: a loss factor above 0.1, moduli tabled over frequency, or neighbours in frequency that share losses")
      ->check(CLI::IsMember({"energy", "exact", "where-needed"}))
      ->capture_default_str();
}

void add_hear_options(CLI::App &command, HearOptions &hear, int &channel) {
  command.add_option("--channel", channel, "channel of the recording, from 1; none: the first")
      ->check(CLI::Range(1, 32));
  command.add_option("--from", hear.from, "modes from this frequency on, in Hz")
      ->check(CLI::Range(20.0, 50000.0))
      ->check(no_nan)
      ->capture_default_str();
  command.add_option("--to", hear.to, "modes up to this frequency, in Hz; none: 2000, or 0.4 of a lower sample rate")
      ->check(CLI::Range(20.0, 50000.0))
      ->check(no_nan);
}

void add_side_by_side(CLI::App &command, CommandWords &words) {
  command
      .add_option("--side-by-side", words.side_by_side,
                  "solve at most so many variants at once, each in a process of its own; none: as many as there are "
                  "processors, if memory allows")
      ->check(CLI::Range(1, 1000));
}

}  // namespace

CLI::App *add_check(CLI::App &app, CommandWords &words) {
  CLI::App *check =
      app.add_subcommand("check", "validate a case; print its boards with cut sizes, mass and inner volume");
  add_case(*check, words);
  add_variant(*check, words);
  return check;
}

CLI::App *add_mesh(CLI::App &app, CommandWords &words) {
  CLI::App *mesh =
      app.add_subcommand("mesh", "mesh a case and write the mesh as VTK for a look, a [shape] as STEP, too");
  add_meshed_case(*mesh, words);
  mesh->add_option("--out", words.out, "folder for the files")->default_str(".");
  return mesh;
}

CLI::App *add_modes(CLI::App &app, CommandWords &words) {
  CLI::App *modes = app.add_subcommand("modes", "find the modes of every variant and set the variants side by side");
  add_meshed_case(*modes, words);
  modes->add_option("--out", words.out, "folder for modes.json, modes.csv, VTK files and pictures; none: print only");
  modes->add_option("--picture-modes", words.picture_modes, "how many modes each picture shows")
      ->check(CLI::Range(1, 24))
      ->capture_default_str();
  add_damping(*modes, words);
  modes->add_flag("--check-run", words.check_run,
                  "solve each variant again with elements of one degree more and print how far the frequencies move");
  add_side_by_side(*modes, words);
  modes->add_flag("--times", words.times, "print where the time went");
  return modes;
}

CLI::App *add_sheet(CLI::App &app, CommandWords &words) {
  CLI::App *sheet = app.add_subcommand("sheet", "tell on which face, and where on it, a damping sheet adds most loss");
  add_meshed_case(*sheet, words);
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
  sheet->add_option("--thickness", words.sheet_thickness, "its thickness, in mm or with a unit")->capture_default_str();
  add_side_by_side(*sheet, words);
  sheet->add_option("--out", words.out, "folder for sheet.csv and a map of each variant; none: print only");
  return sheet;
}

CLI::App *add_knock(CLI::App &app, CommandWords &words) {
  CLI::App *knock = app.add_subcommand("knock", "knock on the walls with a knuckle and tell how they answer and ring");
  add_meshed_case(*knock, words);
  add_damping(*knock, words);
  knock
      ->add_option(
          "--at", words.knock.at,
          "knock here, \"WALL, X, Y\": lengths in mm from the low corner of the wall's outline; may be repeated, then "
          "the answer of each at each is written too; none: all over the walls")
      ->take_all()
      ->expected(1);
  knock->add_option("--points", words.knock.points, "at least so many points all over the walls")
      ->capture_default_str();
  add_pulse(*knock, words);
  knock->add_option("--out", words.out, "folder for figures, pictures and sound; none: print only");
  add_side_by_side(*knock, words);
  knock->add_flag("--times", words.times, "print where the time went");
  return knock;
}

CLI::App *add_air(CLI::App &app, CommandWords &words) {
  CLI::App *air = app.add_subcommand(
      "air", "find the standing waves inside, the tuning of ports and what the air does to the walls' modes");
  add_meshed_case(*air, words);
  add_damping(*air, words);
  air->add_option("--out", words.out, "folder for air.json, air.csv and VTK files; none: print only");
  add_side_by_side(*air, words);
  air->add_flag("--times", words.times, "print where the time went");
  return air;
}

CLI::App *add_listen(CLI::App &app, ListenOptions &options) {
  CLI::App *listen = app.add_subcommand("listen", "find the modes that ring in a recording of knocks");
  listen
      ->add_option(
          "RECORDING", options.recording,
          "half a second of quiet, then knocks one to two seconds apart: WAV, FLAC and others, or a CSV of time "
          "in s and acceleration in m/s2")
      ->required();
  add_hear_options(*listen, options.hear, options.channel);
  listen->add_option("--out", options.out, "folder for heard.csv, heard.json and heard.svg; none: print only");
  return listen;
}

CLI::App *add_board(CLI::App &app, BoardOptions &options) {
  CLI::App *board = app.add_subcommand("board", "find the moduli of a strip or plate that lay free and was tapped");
  board->add_option("--length", options.length, "in mm, or with a unit (\"3/4 in\")")->required();
  board->add_option("--width", options.width, "in mm or with a unit")->required();
  board->add_option("--thickness", options.thickness, "in mm or with a unit")->required();
  board->add_option("--mass-kg", options.mass, "mass of the piece in kg")->required();
  board->add_option("--tone", options.tones,
                    "a frequency in Hz; of a strip HZ:WORD with flexural (when left out), second-flexural, edgewise or "
                    "torsional; of a plate HZ:M,N with the nodal lines across length and width; may be repeated");
  board->add_option("--heard", options.heard, "instead: a heard.csv of `listen`");
  board->add_option("--recording", options.recording, "instead: a recording, as for `listen`");
  add_hear_options(*board, options.hear, options.channel);
  board->add_option("--use", options.use, "how many of the lowest modes heard of a plate are fitted")
      ->capture_default_str();
  board->add_option("--shape", options.shape, "strip or plate; none: strip from length / width 3 on");
  board->add_option("--based-on", options.based_on, "built-in material whose ratios stand for what is not measured")
      ->capture_default_str();
  board->add_option("--grain", options.grain, "how the grain lies to the length: along or across")
      ->capture_default_str();
  board->add_option("--poissons-ratio", options.poissons_ratio, "in the plane; none: that of --based-on");
  board->add_option("--shear-ratio", options.shear_ratio,
                    "shear modulus through the thickness over E along the length; none: that of --based-on");
  board->add_option("--loss-factor", options.loss_factor, "none: as heard, else that of --based-on");
  board->add_option("--length-sd", options.length_sd, "standard deviation; none: 0.5 mm");
  board->add_option("--width-sd", options.width_sd, "none: 0.5 mm");
  board->add_option("--thickness-sd", options.thickness_sd, "none: 0.1 mm");
  board->add_option("--mass-sd-kg", options.mass_sd, "none: 0.2 %, at least 0.5 g")->check(CLI::Range(0.0, 1000.0));
  board->add_option("--frequency-sd-percent", options.frequency_sd_percent, "of tones given with --tone")
      ->capture_default_str();
  board->add_option("--name", options.name, "of the material")->capture_default_str();
  board->add_option("--out", options.out, "folder for board.toml, the material for a case file; none: print only");
  return board;
}

CLI::App *add_match(CLI::App &app, CommandWords &words) {
  CLI::App *match = app.add_subcommand(
      "match", "find the moduli, densities, joints and loss factors with which a case rings as heard");
  add_case(*match, words);
  match
      ->add_option("HEARD", words.match.heard_path,
                   "the heard frequencies (CSV with a column frequency_hz), or a recording as for `listen`")
      ->required();
  add_variant(*match, words);
  add_mesh_options(*match, words, "1.3 times the highest that was heard");
  match->add_option("--unknown", words.match.words.unknowns,
                    "what is not known, such as \"modulus of mdf\", \"stiffness of bond gasket within 0.1..10\"; may "
                    "be repeated; none: modulus and loss factor of the walls' main material");
  match->add_option("--within", words.match.words.within,
                    "bounds of moduli, densities and stiffnesses as factors on the start, such as 0.5..2");
  match->add_option("--gate", words.match.gate, "heard and computed further apart than this are no pair, in per cent")
      ->capture_default_str();
  match
      ->add_option("--floor", words.match.floor,
                   "uncertainty of a frequency for what the model leaves out, in per cent")
      ->capture_default_str();
  match->add_option("--out", words.out, "folder for match.json, match.csv and matched.toml; none: print only");
  return match;
}

CLI::App *add_place(CLI::App &app, CommandWords &words) {
  CLI::App *place = app.add_subcommand("place", "find where a brace goes best: the modes of all candidates of [place]");
  add_case(*place, words);
  add_mesh_options(*place, words);
  place->add_option("--share", words.place.share, "only the K-th of N shares of the work, K/N; `merge` joins them");
  place->add_option("--sample", words.place.sample, "so many candidates at random are solved again in full")
      ->check(CLI::Range(0, 1000))
      ->capture_default_str();
  place->add_option("--draws", words.place.draws, "boxes drawn within the boards' tolerances")->capture_default_str();
  place->add_option("--seed", words.place.seed, "of the candidates and boxes drawn at random")->capture_default_str();
  place->add_option("--out", words.out,
                    "folder for candidates.csv, from which a run that was stopped goes on, place.json, "
                    "place.csv, place.svg and placed.toml; none: print only");
  return place;
}

CLI::App *add_merge(CLI::App &app, CommandWords &words) {
  CLI::App *merge = app.add_subcommand("merge", "join the candidates that shares of `place` found");
  merge->add_option("FILES", words.shares, "candidates-K-of-N.csv of all shares")->required();
  merge->add_option("--out", words.out, "folder for candidates.csv")->required();
  return merge;
}

CLI::App *add_drive(CLI::App &app, CommandWords &words) {
  CLI::App *drive = app.add_subcommand("drive", "let the drivers play and tell how loud the walls are beside them");
  add_meshed_case(*drive, words);
  drive->add_option("--frequencies", words.drive.frequencies, "how many, from 20 Hz up, besides those at the modes")
      ->capture_default_str();
  drive->add_option("--voltage", words.drive.voltage, "at every driver, in V rms; none: as in the case, 2.83")
      ->check(CLI::Range(0.01, 100.0));
  drive
      ->add_option("--surface-hz", words.drive.surfaces,
                   "write velocity and pressure over the outside at these frequencies, in Hz: HZ,HZ,... (VTK)")
      ->delimiter(',');
  drive->add_option("--out", words.out, "folder for drive.json, drive.csv, pictures and VTK files; none: print only");
  add_side_by_side(*drive, words);
  drive->add_flag("--times", words.times, "print where the time went");
  return drive;
}

CLI::App *add_report(CLI::App &app, CommandWords &words) {
  CLI::App *report = app.add_subcommand(
      "report",
      "write one page for the browser and the printer: variants, modes in motion, ringing, how far to trust it");
  add_meshed_case(*report, words);
  add_damping(*report, words);
  add_side_by_side(*report, words);
  report->add_flag("--drive", words.report.drive,
                   "let the drivers play, too: the walls' sound beside the driver's; takes about as long again");
  report->add_option("--points", words.knock.points, "knocks at so many points at least, all over the walls")
      ->capture_default_str();
  add_pulse(*report, words);
  report->add_option("--picture-modes", words.picture_modes, "how many modes of each variant are pictured")
      ->check(CLI::Range(1, 24))
      ->capture_default_str();
  report
      ->add_option("--out", words.out,
                   "folder for report.html; what `place` left there is shown when it is of the same case")
      ->default_str(".");
  report->add_flag("--times", words.times, "print how long the page took once all was solved");
  return report;
}

std::string renamed_option_advice(const std::string &command, const std::vector<std::string> &words) {
  struct Renamed {
    const char *command, *was, *is;
  };
  static constexpr Renamed renamed[] = {{"cut", "--sheet-size", "--stock-size"},
                                        {"drive", "--at", "--surface-hz"},
                                        {"drive", "--points", "--frequencies"},
                                        {"place", "--part", "--share"}};
  for (const Renamed &option : renamed)
    for (const std::string &word : words)
      if (command == option.command && word.substr(0, word.find('=')) == option.was)
        return command + ": " + option.was + " is now called " + option.is + "; see `" + command + " --help`";
  return "";
}

void add_json(std::initializer_list<CLI::App *> commands, CommandWords &words) {
  for (CLI::App *command : commands) command->add_flag("--json", words.json, "print JSON instead of text");
}

}  // namespace stillbox
