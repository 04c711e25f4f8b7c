// SPDX-License-Identifier: MIT
#include "postprocess/board_input.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/option_length.h"
#include "postprocess/recording_table.h"
#include "postprocess/text.h"
#include "solver/free_bar.h"

namespace stillbox {
namespace {

[[noreturn]] void refuse(const std::string &option, const std::string &value, const std::string &allowed,
                         const std::string &advice) {
  throw CaseError(fmt::format("board: {}{}: allowed {}; {}", option,
                              value.empty() ? "" : " \"" + shorten(clean_text(value), 60) + "\"", allowed, advice));
}

double length_of(const char *option, const std::string &text, double low_mm, double high_mm) {
  return option_length("board", option, text, low_mm, high_mm);
}

double number_of(const char *option, const std::string &text, double low, double high, const std::string &advice) {
  double value = 0;
  if (!read_number(text, value) || value < low || value > high)
    refuse(option, text, fmt::format("a number {} .. {}", number_text(low), number_text(high)), advice);
  return value;
}

void read_label(const std::string &whole, const std::string &label, bool is_plate, BoardTone &tone) {
  if (is_plate) {
    const std::vector<std::string> parts = cells_of(label, ',');
    double x = 0, y = 0;
    const bool is_pair = parts.size() == 2 && read_number(parts[0], x) && read_number(parts[1], y) && x >= 0 &&
                         y >= 0 && x <= 8 && y <= 8 && x == std::floor(x) && y == std::floor(y) && x + y >= 2;
    if (!is_pair)
      refuse("--tone", whole, "HZ or HZ:M,N with the nodal lines across length and width, such as 142.3:2,0 or 188:1,1",
             "a plate has no other modes");
    tone.nodes_x = int(x);
    tone.nodes_y = int(y);
    return;
  }
  const std::vector<std::pair<std::string, BarMode>> words{{"flexural", BarMode::flexural},
                                                           {"second-flexural", BarMode::second_flexural},
                                                           {"edgewise", BarMode::edgewise},
                                                           {"torsional", BarMode::torsional}};
  for (const auto &[word, mode] : words)
    if (word == label) {
      tone.bar_mode = mode;
      return;
    }
  refuse("--tone", whole, "HZ or HZ:WORD with flexural, second-flexural, edgewise, torsional",
         label.find(',') != std::string::npos ? "numbers of nodal lines are for a plate: add --shape plate"
                                              : "leave the word out for the first bending tone");
}

std::vector<BoardTone> tones_of(const BoardOptions &o, bool is_plate) {
  std::vector<BoardTone> tones;
  for (const std::string &text : o.tones) {
    const std::size_t colon = text.find(':');
    BoardTone tone;
    tone.frequency = number_of("--tone", text.substr(0, colon), 5, 20000, "give the frequency in Hz");
    tone.sd = 0.01 * o.frequency_sd_percent * tone.frequency;
    if (colon != std::string::npos) read_label(text, text.substr(colon + 1), is_plate, tone);
    for (const BoardTone &other : tones) {
      const bool is_same = is_plate
                               ? tone.nodes_x >= 0 && other.nodes_x == tone.nodes_x && other.nodes_y == tone.nodes_y
                               : other.bar_mode == tone.bar_mode;
      if (is_same)
        refuse("--tone", text, "each mode once", "this mode has a tone already: " + number_text(other.frequency));
    }
    tones.push_back(tone);
  }
  return tones;
}

/// A strip's first bending tone among what was heard: the loudest within a factor of 1.8 of what the base gives.
std::vector<BoardTone> strip_tone(const std::vector<HeardMode> &modes, const BoardInput &input,
                                  const std::string &from) {
  const FreeBar bar{input.sizes.length, input.sizes.width, input.sizes.thickness, input.sizes.mass};
  const double e = input.across ? input.base.constants.e2 : input.base.constants.e1;
  const double expected = bar_frequencies(bar, e, input.shear_ratio * e, 1).front();
  const HeardMode *best = nullptr;
  for (const HeardMode &mode : modes)
    if (mode.frequency > expected / 1.8 && mode.frequency < expected * 1.8 && (!best || mode.level_db > best->level_db))
      best = &mode;
  if (!best)
    throw CaseError(
        fmt::format("{}: no tone that can be the first bending of this strip: allowed {:.0f} .. {:.0f} Hz with the "
                    "moduli of {} halved "
                    "or doubled and more; check sizes and mass, name another --based-on, or give the tone with --tone",
                    clean_text(from), expected / 1.8, expected * 1.8, input.base.name));
  BoardTone tone;
  tone.frequency = best->frequency;
  tone.sd = best->frequency_sd;
  tone.loss_factor = std::isfinite(best->loss_factor) ? best->loss_factor : 0;
  tone.loss_factor_sd = std::isfinite(best->loss_factor_sd) ? best->loss_factor_sd : 0;
  return {tone};
}

std::vector<BoardTone> plate_tones(const std::vector<HeardMode> &modes, int use) {
  std::vector<BoardTone> tones;
  for (const HeardMode &mode : modes) {
    if (int(tones.size()) == use) break;
    BoardTone tone;
    tone.frequency = mode.frequency;
    tone.sd = mode.frequency_sd;
    tone.loss_factor = std::isfinite(mode.loss_factor) ? mode.loss_factor : 0;
    tone.loss_factor_sd = std::isfinite(mode.loss_factor_sd) ? mode.loss_factor_sd : 0;
    tones.push_back(tone);
  }
  return tones;
}

void read_base(const BoardOptions &o, BoardInput &input) {
  const std::vector<Material> list = read_materials_list(o.materials_path);
  std::vector<std::string> names;
  const Material *found = nullptr;
  for (const Material &m : list) {
    if (!m.viscoelastic) names.push_back(m.name);
    if (m.name == o.based_on && !m.viscoelastic) found = &m;
  }
  std::string all;
  for (const std::string &name : names) all += (all.empty() ? "" : ", ") + name;
  if (!found) refuse("--based-on", o.based_on, all, "name the built-in material that is most like your board");
  input.base = board_base(*found);
  if (o.grain != "along" && o.grain != "across")
    refuse("--grain", o.grain, "along, across", "say how the grain lies to the length");
  input.across = o.grain == "across";
  const OrthotropicConstants &c = input.base.constants;
  input.poissons_ratio = input.across ? c.nu12 * c.e2 / c.e1 : c.nu12;
  input.shear_ratio = input.across ? c.g23 / c.e2 : c.g13 / c.e1;
  if (!o.poissons_ratio.empty())
    input.poissons_ratio =
        number_of("--poissons-ratio", o.poissons_ratio, input.base.kind == BoardBase::Kind::orthotropic ? -0.9 : 0,
                  0.495, "0.2 to 0.3 for fibre boards");
  if (input.base.kind == BoardBase::Kind::isotropic) {
    if (!o.shear_ratio.empty())
      refuse("--shear-ratio", o.shear_ratio, "with a base that is not isotropic",
             "an isotropic board's follows from Poisson's ratio; leave it out or name another --based-on");
    input.shear_ratio = 1 / (2 * (1 + input.poissons_ratio));
  } else if (!o.shear_ratio.empty()) {
    input.shear_ratio =
        number_of("--shear-ratio", o.shear_ratio, 0.001, 1, "shear modulus through the thickness over E");
  }
}

}  // namespace

BoardInput read_board(const BoardOptions &o) {
  BoardInput input;
  input.sizes.length = length_of("--length", o.length, 50, 5000);
  input.sizes.width = length_of("--width", o.width, 5, 5000);
  input.sizes.thickness = length_of("--thickness", o.thickness, 0.5, 200);
  if (!(o.mass >= 0.001 && o.mass <= 1000))
    refuse("--mass-kg", number_text(o.mass), "0.001 .. 1000 kg", "weigh the piece; 270 g are 0.270");
  input.sizes.mass = o.mass;
  if (o.shape != "" && o.shape != "strip" && o.shape != "plate")
    refuse("--shape", o.shape, "strip, plate", "leave it out to choose by the sizes");
  const double slender = input.sizes.length / input.sizes.width;
  input.is_plate = o.shape == "plate" || (o.shape.empty() && slender < 3);
  if (!input.is_plate && slender < 2)
    refuse("--width", o.width, "up to half the length of a strip", "a wider piece is a plate: add --shape plate");
  const double least = input.is_plate ? std::min(input.sizes.length, input.sizes.width) : input.sizes.length;
  if (!(least >= 4 * input.sizes.thickness))
    refuse(
        "--thickness", o.thickness,
        fmt::format("up to a quarter of the {} of {}", input.is_plate ? "smaller side" : "length", length_text(least)),
        "tap a longer piece");
  const double density = o.mass / (input.sizes.length * input.sizes.width * input.sizes.thickness);
  if (!(density >= 10 && density <= 25000))
    refuse("--mass-kg", number_text(o.mass),
           fmt::format("a density of 10 .. 25000 kg/m3, but these sizes make it {}", number_text(density)),
           "check that the mass is in kg and the sizes in mm");
  input.spread.length = o.length_sd.empty() ? 0.5e-3 : length_of("--length-sd", o.length_sd, 0, 50);
  input.spread.width = o.width_sd.empty() ? 0.5e-3 : length_of("--width-sd", o.width_sd, 0, 50);
  input.spread.thickness = o.thickness_sd.empty() ? 0.1e-3 : length_of("--thickness-sd", o.thickness_sd, 0, 10);
  if (input.spread.thickness > 0.3 * input.sizes.thickness)
    refuse("--thickness-sd", o.thickness_sd, "up to 30 % of the thickness", "measure with callipers in several places");
  input.spread.mass = o.mass_sd < 0 ? std::max(0.002 * o.mass, 0.0005) : o.mass_sd;
  if (!(input.spread.mass <= 0.3 * o.mass))
    refuse("--mass-sd-kg", number_text(o.mass_sd), "0 .. 30 % of the mass", "weigh on a finer scale");
  if (!(o.frequency_sd_percent >= 0.001 && o.frequency_sd_percent <= 10))
    refuse("--frequency-sd-percent", number_text(o.frequency_sd_percent), "0.001 .. 10 %", "0.2 is usual");
  if (!o.loss_factor.empty())
    input.loss_factor = number_of("--loss-factor", o.loss_factor, 0, 2, "0.01 to 0.03 is usual");
  if (o.use < 3 || o.use > 20) refuse("--use", std::to_string(o.use), "3 .. 20 modes", "5 is usual");
  if (o.name.empty() || o.name.size() > 80 || clean_text(o.name) != o.name)
    refuse("--name", o.name, "1 .. 80 characters on one line", "name the material");
  read_base(o, input);
  const int sources = int(!o.tones.empty()) + int(!o.heard.empty()) + int(!o.recording.empty());
  if (sources != 1)
    refuse("--tone, --heard, --recording", "", "exactly one of the three",
           sources == 0 ? "say at which frequencies the piece rings" : "leave the others out");
  std::vector<HeardMode> modes;
  if (!o.tones.empty()) {
    input.tones = tones_of(o, input.is_plate);
    input.how = "given tones";
  } else if (!o.heard.empty()) {
    modes = read_heard_csv(o.heard);
    input.how = clean_text(o.heard);
  } else {
    modes = hear(read_recording(o.recording, o.channel), o.hear).modes;
    input.how = clean_text(o.recording);
  }
  const std::string from = o.heard.empty() ? o.recording : o.heard;
  if (!modes.empty()) input.tones = input.is_plate ? plate_tones(modes, o.use) : strip_tone(modes, input, from);
  // A recording tells a tone finer than the board is alike from day to day; a floor keeps one tone from ruling the fit.
  for (BoardTone &tone : input.tones) tone.sd = std::max(tone.sd, 1e-3 * tone.frequency * (modes.empty() ? 0.01 : 1));
  const std::size_t needed = input.is_plate && input.base.kind == BoardBase::Kind::orthotropic ? 3 : 1;
  if (input.tones.size() < needed)
    refuse(o.tones.empty() ? from : "--tone", fmt::format("{}", input.tones.size()),
           "3 modes and more of a plate with grain", "give (2,0), (1,1) and (0,2), or name a --based-on without grain");
  if (input.tones.size() > 20)
    refuse("--tone", std::to_string(input.tones.size()), "up to 20", "leave the highest out");
  return input;
}

}  // namespace stillbox
