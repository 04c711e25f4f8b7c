// SPDX-License-Identifier: MIT
#include "postprocess/board_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>
#include <stdexcept>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/board_input.h"
#include "postprocess/safe_file.h"
#include "postprocess/sheet_command.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"
#include "solver/free_bar.h"

namespace stillbox {
namespace {

constexpr std::size_t page = 100;
constexpr double shear_ratio_spread = 0.3;  // relative, of a typical ratio
constexpr double gpa = 1e9;

struct Estimate {
  double value = 0, relative_sd = 0;
};

/// A figure and its relative standard deviation by moving every input by its own.
Estimate estimate_of(const BoardInput &input, const BoardTone &tone,
                     const std::function<double(const BoardInput &, double)> &figure) {
  Estimate result;
  result.value = figure(input, tone.frequency);
  double sum = std::pow(figure(input, tone.frequency + tone.sd) / result.value - 1, 2);
  const auto add = [&](const std::function<void(BoardInput &)> &move) {
    BoardInput moved = input;
    move(moved);
    sum += std::pow(figure(moved, tone.frequency) / result.value - 1, 2);
  };
  add([](BoardInput &b) { b.sizes.length += b.spread.length; });
  add([](BoardInput &b) { b.sizes.width += b.spread.width; });
  add([](BoardInput &b) { b.sizes.thickness += b.spread.thickness; });
  add([](BoardInput &b) { b.sizes.mass += b.spread.mass; });
  if (input.base.kind != BoardBase::Kind::isotropic)
    add([](BoardInput &b) { b.shear_ratio *= 1 - shear_ratio_spread; });
  result.relative_sd = std::sqrt(sum);
  return result;
}

FreeBar bar_of(const BoardInput &b) { return {b.sizes.length, b.sizes.width, b.sizes.thickness, b.sizes.mass}; }

/// For bending in the plane of the board.
FreeBar edgewise_bar(const BoardInput &b) { return {b.sizes.length, b.sizes.thickness, b.sizes.width, b.sizes.mass}; }

/// In-plane shear modulus over E of the length's direction.
double in_plane_ratio(const BoardInput &b) {
  const OrthotropicConstants &c = b.base.constants;
  return c.g12 / (b.across ? c.e2 : c.e1);
}

const char *mode_word(BarMode mode) {
  switch (mode) {
    case BarMode::flexural:
      return "flexural";
    case BarMode::second_flexural:
      return "second flexural";
    case BarMode::edgewise:
      return "edgewise";
    default:
      return "torsional";
  }
}

/// Of the modulus along a strip.
const char *direction_word(const BoardInput &input) {
  if (input.base.kind == BoardBase::Kind::isotropic) return "";
  if (input.base.kind == BoardBase::Kind::transversely_isotropic) return "in the plane ";
  return input.across ? "across the grain " : "along the grain ";
}

/// Modulus by the board's own shear, and by ASTM E1876 (not a number for the second mode, which it does not treat).
std::pair<Estimate, Estimate> by_both(const BoardInput &input, const BoardTone &tone) {
  const double nu = input.poissons_ratio;
  switch (tone.bar_mode) {
    case BarMode::torsional: {
      const Estimate g =
          estimate_of(input, tone, [](const BoardInput &b, double f) { return e1876_shear_modulus(bar_of(b), f); });
      return {g, g};
    }
    case BarMode::second_flexural:
      return {
          estimate_of(input, tone,
                      [](const BoardInput &b, double f) { return bar_youngs_modulus(bar_of(b), f, 2, b.shear_ratio); }),
          {NAN, NAN}};
    case BarMode::edgewise:
      return {estimate_of(input, tone,
                          [](const BoardInput &b, double f) {
                            return bar_youngs_modulus(edgewise_bar(b), f, 1, in_plane_ratio(b));
                          }),
              estimate_of(input, tone, [nu](const BoardInput &b, double f) {
                return e1876_youngs_modulus(edgewise_bar(b), f, nu);
              })};
    default:
      return {
          estimate_of(input, tone,
                      [](const BoardInput &b, double f) { return bar_youngs_modulus(bar_of(b), f, 1, b.shear_ratio); }),
          estimate_of(input, tone,
                      [nu](const BoardInput &b, double f) { return e1876_youngs_modulus(bar_of(b), f, nu); })};
  }
}

std::string percent(double relative) { return std::isfinite(relative) ? fmt::format("{:.1f}", 100 * relative) : ""; }

std::string gpa_text(double value) { return std::isfinite(value) ? fmt::format("{:.3f}", value / gpa) : ""; }

/// Loss factor: given, or the mean of the tones', or typical. Returns its words.
std::string set_loss_factor(const BoardInput &input, BoardBase &base) {
  if (input.loss_factor >= 0) {
    base.loss_factor = input.loss_factor;
    return fmt::format("loss factor {} as given", number_text(base.loss_factor));
  }
  double sum = 0, weights = 0;
  for (const BoardTone &tone : input.tones) {
    if (tone.loss_factor <= 0) continue;
    const double sd = std::max(tone.loss_factor_sd, 0.05 * tone.loss_factor);
    sum += tone.loss_factor / (sd * sd);
    weights += 1 / (sd * sd);
  }
  if (weights <= 0)
    return fmt::format("loss factor {}: typical of {}, not measured", number_text(base.loss_factor), base.name);
  base.loss_factor = std::stod(fmt::format("{:.3g}", sum / weights));
  return fmt::format("loss factor {} +- {:.2g} as heard, with what air and supports take",
                     number_text(base.loss_factor), 1 / std::sqrt(weights));
}

struct Found {
  std::string text;  ///< tables
  BoardMaterial material;
};

/// What of the material was not measured.
std::string typical_words(const BoardInput &input, double poissons_ratio, const char *others, const char *to) {
  if (input.base.kind == BoardBase::Kind::isotropic)
    return fmt::format("Poisson's ratio {} was taken as given or typical.", number_text(poissons_ratio));
  return fmt::format("All other {} are the typical ratios of {}{}, not measured; shear through the thickness {:.3f} E.",
                     others, input.base.name, to, input.shear_ratio);
}

Found find_strip(const BoardInput &input) {
  Found found;
  const bool is_isotropic = input.base.kind == BoardBase::Kind::isotropic;
  std::vector<std::vector<std::string>> rows;
  const BoardTone *leading = nullptr;
  Estimate leading_e, torsion;
  for (const BarMode mode : {BarMode::flexural, BarMode::second_flexural, BarMode::edgewise, BarMode::torsional})
    for (const BoardTone &tone : input.tones) {
      if (tone.bar_mode != mode) continue;
      const auto [own, standard] = by_both(input, tone);
      const bool by_standard = is_isotropic && std::isfinite(standard.value);
      if (mode == BarMode::torsional) {
        torsion = standard;
      } else if (!leading) {
        leading = &tone;
        leading_e = by_standard ? standard : own;
      }
      rows.push_back({mode_word(mode), fmt::format("{:.2f}", tone.frequency), fmt::format("{:.2f}", tone.sd),
                      mode == BarMode::torsional ? "G" : "E", gpa_text(standard.value),
                      mode == BarMode::torsional ? "" : gpa_text(own.value),
                      percent((by_standard || mode == BarMode::torsional ? standard : own).relative_sd)});
    }
  found.text = text_table({{"tone", Align::left},
                           {"Hz"},
                           {"sd Hz"},
                           {"of", Align::left},
                           {"ASTM E1876\nGPa"},
                           {"with the board's\nown shear, GPa"},
                           {"sd %"}},
                          rows, page) +
               "\n";
  BoardBase &base = found.material.base;
  base = input.base;
  std::vector<std::string> words;
  if (leading) {
    base = scaled(base, leading_e.value, input.across);
    found.material.modulus_tolerance = 2 * leading_e.relative_sd;
    words.push_back(fmt::format("E {}{:.3f} GPa +- {:.1f} % from the {} tone at {:.2f} Hz", direction_word(input),
                                leading_e.value / gpa, 100 * leading_e.relative_sd, mode_word(leading->bar_mode),
                                leading->frequency));
    (input.across ? base.constants.g23 : base.constants.g13) = input.shear_ratio * leading_e.value;
    if (base.kind == BoardBase::Kind::transversely_isotropic)
      base.constants.g13 = base.constants.g23 = input.shear_ratio * leading_e.value;
  }
  OrthotropicConstants &c = base.constants;
  if (base.kind != BoardBase::Kind::orthotropic) {
    c.nu12 = input.poissons_ratio;
    if (is_isotropic) c.nu13 = c.nu23 = c.nu12;
  } else {
    c.nu12 = input.across ? input.poissons_ratio * c.e1 / c.e2 : input.poissons_ratio;
  }
  if (torsion.value > 0) {
    words.push_back(fmt::format("G {:.3f} GPa +- {:.1f} % from the torsional tone", torsion.value / gpa,
                                100 * torsion.relative_sd));
    if (base.kind == BoardBase::Kind::orthotropic) {
      c.g12 = torsion.value;
      if (!leading) found.material.modulus_tolerance = 0.2;
    } else if (leading) {
      const double nu = leading_e.value / (2 * torsion.value) - 1;
      found.text +=
          paragraph("  ",
                    fmt::format("E and G make Poisson's ratio {:.2f}; the block keeps {:.2f}. The ratio is "
                                "uncertain by some {:.2f}: do not read much into it.",
                                nu, c.nu12, (1 + nu) * std::hypot(leading_e.relative_sd, torsion.relative_sd)),
                    page);
    }
  }
  std::string all;
  for (const std::string &w : words) all += (all.empty() ? "" : ", ") + w;
  found.material.found = "Found by tapping a free strip: " + all;
  found.material.typical = typical_words(input, c.nu12, "moduli", " to E");
  return found;
}

PlateFitOptions fit_options(const BoardInput &input) {
  const OrthotropicConstants &c = input.base.constants;
  PlateFitOptions o;
  o.orthotropic = input.base.kind == BoardBase::Kind::orthotropic;
  o.nu_xy = input.poissons_ratio;
  o.ratio_xz = input.shear_ratio;
  // The other direction keeps its own proportion to the first one's.
  const double typical_x = input.across ? c.g23 / c.e2 : c.g13 / c.e1,
               typical_y = input.across ? c.g13 / c.e1 : c.g23 / c.e2;
  o.ratio_yz = input.shear_ratio * (o.orthotropic ? typical_y / typical_x : 1);
  return o;
}

std::string doubts_text(const PlateFit &fit, const Eigen::MatrixXd &covariance) {
  const char *names[] = {"E along the length", "E across the length", "G in the plane"};
  std::string out;
  for (Eigen::Index i = 0; i < covariance.rows(); ++i) {
    if (fit.covariance(i, i) > 0.04)
      out += paragraph("  ",
                       fmt::format("{} is not told by these tones (standard deviation {}): give the mode that bends or "
                                   "twists that way.",
                                   names[i],
                                   fit.covariance(i, i) > 0.8 ? "about 100 % or more"
                                                              : percent(std::sqrt(fit.covariance(i, i))) + " %"),
                       page);
    for (Eigen::Index j = 0; j < i; ++j) {
      const double r = fit.covariance(i, j) / std::sqrt(fit.covariance(i, i) * fit.covariance(j, j));
      if (std::abs(r) > 0.9)
        out += paragraph("  ",
                         fmt::format("{} and {} cannot be told apart by these tones (correlation {:.3f}): more modes "
                                     "would part them.",
                                     names[j], names[i], r),
                         page);
    }
  }
  return out;
}

Found find_plate(const BoardInput &input) {
  Found found;
  const PlateFitOptions o = fit_options(input);
  std::vector<PlateTone> tones;
  for (const BoardTone &t : input.tones) tones.push_back({t.frequency, t.sd, t.nodes_x, t.nodes_y});
  PlateFit fit;
  Eigen::MatrixXd covariance;
  try {
    fit = fit_plate(input.sizes, tones, o);
    PlateSpread spread = input.spread;
    spread.shear_ratio = input.base.kind == BoardBase::Kind::isotropic ? 0 : shear_ratio_spread;
    covariance = plate_covariance(input.sizes, tones, o, fit, spread);
  } catch (const std::domain_error &error) {
    throw CaseError(fmt::format("board: the plate cannot be fitted: {}", error.what()));
  }
  if (!fit.settled)
    throw CaseError("board: the fit did not settle; check the tones and their labels, the sizes and the mass");
  std::vector<std::vector<std::string>> rows;
  double worst = 0;
  for (const PlateTonePair &pair : fit.pairs) {
    const double off = pair.computed / pair.tone.frequency - 1;
    worst = std::max(worst, std::abs(off));
    rows.push_back({fmt::format("({},{})", pair.nodes_x, pair.nodes_y), fmt::format("{:.2f}", pair.tone.frequency),
                    fmt::format("{:.2f}", pair.tone.sd), fmt::format("{:.2f}", pair.computed),
                    fmt::format("{:+.2f}", 100 * off), fmt::format("{:.0f}", 100 * pair.purity)});
  }
  found.text =
      text_table(
          {{"mode", Align::left}, {"heard\nHz"}, {"sd Hz"}, {"computed\nHz"}, {"off %"}, {"share of its\nname, %"}},
          rows, page) +
      "\n";
  const auto sd = [&](Eigen::Index i) { return std::sqrt(covariance(i, i)); };
  std::vector<std::vector<std::string>> moduli{
      {o.orthotropic ? "E along the length" : "E in the plane", gpa_text(fit.moduli.ex), percent(sd(0))}};
  if (o.orthotropic) {
    moduli.push_back({"E across the length", gpa_text(fit.moduli.ey), percent(sd(1))});
    moduli.push_back({"G in the plane", gpa_text(fit.moduli.gxy), percent(sd(2))});
  }
  found.text += text_table({{"modulus", Align::left}, {"GPa"}, {"sd %"}}, moduli, page) + "\n";
  if (fit.freedom > 0)
    found.text += fmt::format("  chi squared {:.3g} with {} degrees of freedom; worst tone {:.2f} % off\n",
                              fit.chi_square, fit.freedom, 100 * worst);
  else
    found.text += "  as many tones as moduli: the fit cannot be judged; more tones would tell\n";
  if (worst > 0.03)
    found.text += paragraph("  ",
                            "A tone more than 3 % off is likely paired with the wrong mode, or missing one before it: "
                            "name the modes, as in --tone 142.3:2,0 --tone 188:1,1.",
                            page);
  found.text += doubts_text(fit, covariance);

  BoardBase base = scaled(input.base, fit.moduli.ex, input.across);
  OrthotropicConstants &c = base.constants;
  if (o.orthotropic) {
    const OrthotropicConstants before = c;
    (input.across ? c.e1 : c.e2) = fit.moduli.ey;
    c.g12 = fit.moduli.gxy;
    c.nu12 = input.across ? input.poissons_ratio * c.e1 / c.e2 : input.poissons_ratio;
    (input.across ? c.g23 : c.g13) = fit.moduli.gxz;
    (input.across ? c.g13 : c.g23) = fit.moduli.gyz;
    c.e3 = before.e3;
  } else {
    c.nu12 = input.poissons_ratio;
    if (base.kind == BoardBase::Kind::isotropic) c.nu13 = c.nu23 = c.nu12;
    if (base.kind == BoardBase::Kind::transversely_isotropic) c.g13 = c.g23 = fit.moduli.gxz;
  }
  found.material.base = base;
  double largest = 0;
  for (Eigen::Index i = 0; i < covariance.rows(); ++i) largest = std::max(largest, sd(i));
  found.material.modulus_tolerance = 2 * largest;
  found.material.found =
      o.orthotropic ? fmt::format(
                          "Found by tapping a free plate: E along {:.3f} GPa, across {:.3f} GPa, G in the plane {:.3f} "
                          "GPa, from {} tones",
                          c.e1 / gpa, c.e2 / gpa, c.g12 / gpa, tones.size())
                    : fmt::format("Found by tapping a free plate: E {:.3f} GPa +- {:.1f} % from {} tones", c.e1 / gpa,
                                  100 * sd(0), tones.size());
  found.material.typical = typical_words(input, c.nu12, "constants", "");
  return found;
}

}  // namespace

std::string run_board(const BoardOptions &options) {
  const BoardInput input = read_board(options);
  if (!options.out.empty()) check_writable_later(options.out);
  Found found = input.is_plate ? find_plate(input) : find_strip(input);
  const double volume = input.sizes.length * input.sizes.width * input.sizes.thickness;
  BoardMaterial &m = found.material;
  m.name = options.name;
  m.base.density = input.sizes.mass / volume;
  m.density_tolerance = 2 * std::sqrt(std::pow(input.spread.mass / input.sizes.mass, 2) +
                                      std::pow(input.spread.length / input.sizes.length, 2) +
                                      std::pow(input.spread.width / input.sizes.width, 2) +
                                      std::pow(input.spread.thickness / input.sizes.thickness, 2));
  const std::string loss = set_loss_factor(input, m.base);
  m.found += fmt::format("; {}; density from the scale", loss);
  std::string out =
      fmt::format("A {} of {} x {} x {}, {} kg, {:.0f} kg/m3; {}\n\n", input.is_plate ? "plate" : "strip",
                  length_text(input.sizes.length), length_text(input.sizes.width), length_text(input.sizes.thickness),
                  number_text(input.sizes.mass), m.base.density, input.how);
  out += found.text;
  out += paragraph("  ", loss + ".", page);
  out += paragraph(
      "  ",
      fmt::format("sd: standard deviation, from {} mm in length, {} in width, {} in thickness, {} kg in mass, the "
                  "tones' own{}. The tolerances below are two of them. The piece must lie free: on soft foam or "
                  "threads at its nodal lines. What a piece tells of the rest of the board is another question.",
                  number_text(1e3 * input.spread.length), number_text(1e3 * input.spread.width),
                  number_text(1e3 * input.spread.thickness), fmt::format("{:.2g}", input.spread.mass),
                  input.base.kind == BoardBase::Kind::isotropic ? "" : " and 30 % of the shear ratio"),
      page);
  const std::string block = material_block(m);
  out += "\nFor a case file:\n\n" + block;
  if (!options.out.empty()) {
    check_writable(options.out, FolderUse::after_work);
    write_file((std::filesystem::path(options.out) / "board.toml").string(), block);
    out += fmt::format("\nwritten: board.toml in {}\n", clean_text(options.out));
  }
  if (options.json)
    return board_json({input.is_plate, input.sizes.length, input.sizes.width, input.sizes.thickness, input.sizes.mass},
                      m);
  return out;
}

}  // namespace stillbox
