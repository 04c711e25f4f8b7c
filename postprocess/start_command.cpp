// SPDX-License-Identifier: MIT
#include "postprocess/start_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <istream>
#include <ostream>
#include <stdexcept>

#include "mesh/case_file.h"
#include "mesh/grid.h"
#include "mesh/keys.h"
#include "postprocess/safe_file.h"
#include "postprocess/start_answers.h"
#include "postprocess/text.h"
#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

std::vector<std::string> material_names(const std::string &materials_path) {
  std::vector<std::string> names;
  for (const Material &m : read_materials_list(materials_path)) names.push_back(m.name);
  return names;
}

/// The answer taken, or why not; nothing is changed then.
std::string taken(StartAnswers &answers, const std::string &option, const std::string &value,
                  const std::string &materials_path) {
  StartAnswers changed = answers;
  try {
    set_answer(changed, option, value);
  } catch (const std::invalid_argument &error) {
    return error.what();
  }
  const std::vector<std::string> names = material_names(materials_path);
  if (option == "--material" && std::find(names.begin(), names.end(), changed.material) == names.end())
    return fmt::format("value {}; allowed: {}; unknown material{}", toml_string(value), joined(names),
                       nearest_word(value, names).empty() ? "" : ": " + suggestion(value, names));
  if (changed.has_sizes()) {
    const std::string problem = trial_reading(changed, materials_path);
    if (!problem.empty()) return problem;
  }
  answers = changed;
  return "";
}

void take_option(StartAnswers &answers, const std::string &option, const std::string &value,
                 const std::string &materials_path) {
  if (value.empty()) return;
  const std::string problem = taken(answers, option, value, materials_path);
  if (!problem.empty()) throw CaseError(fmt::format("start: {} {}: {}", option, toml_string(value), problem));
}

struct Dialogue {
  StartAnswers &answers;
  std::istream &in;
  std::ostream &out;
  const std::string &materials_path;

  std::string line(const std::string &question) const {
    out << question << ": " << std::flush;
    std::string text;
    if (!std::getline(in, text)) {
      out << "\n";
      throw CaseError("start: the answers ended before the case was complete; nothing was written");
    }
    return without_blanks(text);
  }

  /// Asks until the answer will do; an empty one is refused, or ends it where the answer may be left out.
  bool ask(const std::string &option, const std::string &question, bool may_be_empty,
           const std::string &suffix = "") const {
    while (true) {
      const std::string text = line(question);
      if (text.empty() && may_be_empty) return false;
      if (text.empty()) {
        out << "  an answer is needed here\n";
        continue;
      }
      const std::string problem = taken(answers, option, suffix.empty() ? text : suffix + ", " + text, materials_path);
      if (problem.empty()) return true;
      out << paragraph("  ", clean_text(problem), 110);
    }
  }
};

void ask_sizes(const Dialogue &d, const StartOptions &options) {
  d.out << "Lengths in mm; \"8 1/4 in\" or \"33 cm\" work too. An empty answer takes what stands in [ ].\n"
           "Powered boxes: pull the mains plug first, and leave the amplifier's cover shut.\n\n";
  if (options.name.empty()) d.ask("--name", "Name [" + d.answers.name + "]", true);
  if (options.width.empty()) d.ask("--width", "Width outside, left to right", false);
  if (options.depth.empty()) d.ask("--depth", "Depth outside, front to back", false);
  if (options.height.empty()) d.ask("--height", "Height outside", false);
  if (options.material.empty()) {
    d.out << paragraph("Built-in materials: ", joined(material_names(d.materials_path)), 110);
    d.ask("--material", "Board [" + d.answers.material + "]", true);
  }
  if (options.thickness.empty()) d.ask("--thickness", "Thickness of the board, by callipers", false);
}

void ask_parts(const Dialogue &d, const StartOptions &options) {
  if (options.baffle_thickness.empty()) d.ask("--baffle-thickness", "Thickness of the baffle [the same]", true);
  if (options.weighed.empty())
    d.ask("--weighed", "Weighed piece of the board: LENGTH, WIDTH, THICKNESS, KG [none]", true);
  d.out << "Cut-outs: places from the lower left corner of the outer face, seen from outside.\n"
           "  NAME, WALL, round, ACROSS, UP, DIAMETER   or   NAME, WALL, rectangle, ACROSS, UP, WIDTH, HEIGHT\n";
  while (d.ask("--cut-out", "Cut-out [no more]", true)) {
    const std::string name = d.answers.cut_outs.back().name;
    d.ask("--driver", "Mass in kg of the driver in it; add \", rigid basket\" for a cast one bolted all round [none]",
          true, name);
  }
  d.out << "Braces: AT from the inner face of the bottom, left wall or baffle. DIRECTION: width, depth or height; a "
           "shelf "
           "or\nwindow stands square to it, a rib or bar runs in it.\n"
           "  NAME, shelf, DIRECTION, AT          NAME, window, DIRECTION, AT, RIM\n"
           "  NAME, rib, WALL, DIRECTION, AT, STAND-OFF\n"
           "  NAME, bar, DIRECTION, AT, AT, SIZE, SIZE   NAME, corner block, WALL, WALL, SIZE, SIZE\n";
  while (d.ask("--brace", "Brace [no more]", true)) {
  }
  if (options.up_to.empty()) d.ask("--up-to", "Modes up to, in Hz [" + d.answers.up_to + "]", true);
}

}  // namespace

std::string run_start(const StartOptions &options, std::istream &in, std::ostream &out) {
  namespace fs = std::filesystem;
  std::error_code code;
  if (without_blanks(options.path).empty()) throw CaseError("start: CASE: value \"\"; name the case file to write");
  if (fs::is_directory(options.path, code))
    throw CaseError(fmt::format("start: {}: is a folder; name the case file to write", options.path));
  if (fs::exists(options.path, code) && !options.overwrite)
    throw CaseError(fmt::format("start: {}: exists already; give another name, or --overwrite", options.path));
  const std::string folder = fs::path(options.path).parent_path().string();
  if (!folder.empty() && !fs::is_directory(folder, code))
    throw CaseError(fmt::format("start: {}: there is no such folder; make it first", folder));
  check_writable(folder, FolderUse::not_kept);  // before anything is asked
  StartAnswers answers;
  const std::string stem = fs::path(options.path).stem().string();
  if (!stem.empty() && stem.size() <= 80) answers.name = clean_text(stem);
  if (options.teardown) {
    const bool tells_more = !options.width.empty() || !options.depth.empty() || !options.height.empty() ||
                            !options.thickness.empty() || !options.baffle_thickness.empty() ||
                            !options.material.empty() || !options.weighed.empty() || !options.up_to.empty() ||
                            !options.cut_outs.empty() || !options.drivers.empty() || !options.braces.empty();
    if (tells_more)
      throw CaseError("start: --teardown: allowed with --name and --overwrite only; fill the rest in on the sheet");
    write_file(options.path, teardown_text(options.name.empty() ? answers.name : options.name));
    return fmt::format(
        "Wrote {}: fill in every \"?\", then run\n  stillbox check {}\nwhich lists what is still open.\n",
        clean_text(options.path), clean_text(options.path));
  }
  const auto take = [&](const char *option, const std::string &value) {
    take_option(answers, option, value, options.materials_path);
  };
  take("--name", options.name);
  take("--width", options.width);
  take("--depth", options.depth);
  take("--height", options.height);
  take("--material", options.material);
  take("--thickness", options.thickness);
  const bool is_asking = !answers.has_sizes();
  const Dialogue dialogue{answers, in, out, options.materials_path};
  if (is_asking) ask_sizes(dialogue, options);
  take("--baffle-thickness", options.baffle_thickness);
  take("--weighed", options.weighed);
  const auto take_list = [&](const char *option, const std::vector<std::string> &values) {
    for (const std::string &value : values) {
      if (without_blanks(value).empty())
        throw CaseError(fmt::format("start: {}: value \"\"; it says nothing; leave it out", option));
      take(option, value);
    }
  };
  take_list("--cut-out", options.cut_outs);
  take_list("--driver", options.drivers);
  take_list("--brace", options.braces);
  take("--up-to", options.up_to);
  if (is_asking) ask_parts(dialogue, options);
  const std::string text = start_text(answers);
  const CaseFile file = read_case_text(text, options.path, options.materials_path);
  write_file(options.path, text);
  const Volumes volumes = volumes_of(file.variants.front());
  return fmt::format(
      "Wrote {}: {} boards, {:.2f} kg with what is fitted, {:.2f} litres inside. Compare with a scale.\nNext:\n"
      "  stillbox check {}\n  stillbox modes {}\n",
      clean_text(options.path), file.variants.front().boards.size(), volumes.mass, 1e3 * volumes.inner,
      clean_text(options.path), clean_text(options.path));
}

}  // namespace stillbox
