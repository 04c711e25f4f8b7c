// SPDX-License-Identifier: MIT
#include "postprocess/match_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/length.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

using Kind = MatchUnknown::Kind;

constexpr double alike = 0.95;  // correlation above which two unknowns are called hard to tell apart

std::string hertz(double f) { return std::isfinite(f) ? fmt::format("{:.1f}", f) : "-"; }
std::string percent(double ln) { return std::isfinite(ln) ? fmt::format("{:+.2f}", 100 * std::expm1(ln)) : "-"; }
std::string in_sd(double z) { return std::isfinite(z) ? fmt::format("{:+.1f}", z) : "-"; }
std::string loss_text(double loss) { return std::isfinite(loss) && loss >= 0 ? fmt::format("{:.4f}", loss) : "-"; }

std::vector<std::string> unknown_names(const MatchProblem &problem) {
  std::vector<std::string> names;
  for (const MatchUnknown &u : problem.unknowns) names.push_back(clean_text(u.name));
  return names;
}
std::vector<std::string> loss_names(const MatchProblem &problem) {
  std::vector<std::string> names;
  for (const LossUnknown &u : problem.losses) names.push_back(clean_text(u.name));
  return names;
}

std::string pair_table(const MatchReport &r) {
  std::vector<std::vector<std::string>> rows;
  bool has_loss = false;
  for (const HeardLine &h : r.heard) has_loss = has_loss || h.heard.loss_factor >= 0;
  for (const MatchedPair &p : r.result.pairs) {
    const double heard = r.problem.heard[p.heard].frequency;
    const double before = std::log(p.before / heard), after = std::log(p.after / heard);
    std::vector<std::string> row{hertz(heard),
                                 fmt::format("{}{}", p.mode + 1, p.has_rival ? "?" : ""),
                                 hertz(p.before),
                                 percent(before),
                                 in_sd(before / p.sd),
                                 hertz(p.after),
                                 percent(after),
                                 in_sd(after / p.sd),
                                 fmt::format("{:.2f}", 100 * p.sd)};
    if (has_loss) {
      row.push_back(loss_text(r.problem.heard[p.heard].loss));
      row.push_back(loss_text(p.loss_before));
      row.push_back(loss_text(p.loss_after));
    }
    row.push_back(clean_text(r.result.labels[p.mode]));
    rows.push_back(row);
  }
  std::vector<Column> columns{{"heard\nHz"}, {"\nmode"}, {"before\nHz"}, {"off\n%"}, {"off\nsd"},
                              {"after\nHz"}, {"off\n%"}, {"off\nsd"},    {"sd\n%"}};
  if (has_loss)
    for (const char *heading : {"loss\nheard", "loss\nbefore", "loss\nafter"}) columns.push_back({heading});
  columns.push_back({"\nshape", Align::left});
  return text_table(columns, rows, table_width);
}

std::string alone_lines(const MatchReport &r) {
  std::string text;
  for (int i : r.result.extra) {
    const double f = r.problem.heard[i].frequency;
    int near = -1;
    for (int j = 0; j < r.result.after.size(); ++j)
      if (near < 0 || std::abs(std::log(r.result.after[j] / f)) < std::abs(std::log(r.result.after[near] / f)))
        near = j;
    text += paragraph(
        "  ",
        fmt::format(
            "heard, but paired with no mode: {} Hz{}", hertz(f),
            near < 0 ? "" : fmt::format(" (the nearest, mode {}, is at {} Hz)", near + 1, hertz(r.result.after[near]))),
        table_width);
  }
  std::string missed;
  for (int j : r.result.missed)
    missed += fmt::format("{}{} ({} Hz, {})", missed.empty() ? "" : "; ", j + 1, hertz(r.result.after[j]),
                          clean_text(r.result.labels[j]));
  if (!missed.empty()) text += paragraph("  ", "computed, but not heard: mode " + missed, table_width);
  for (const MatchedPair &p : r.result.pairs) {
    if (!p.has_rival) continue;
    const std::string other = p.rival < 0
                                  ? "no mode at all"
                                  : fmt::format("mode {} ({} Hz, {})", p.rival + 1, hertz(r.result.after[p.rival]),
                                                clean_text(r.result.labels[p.rival]));
    text += paragraph("  ",
                      fmt::format("? not certain: {} Hz may as well be {}: chi^2 would be {}",
                                  hertz(r.problem.heard[p.heard].frequency), other,
                                  p.rival_costs < 0.05 ? "no higher" : fmt::format("{:.1f} higher", p.rival_costs)),
                      table_width);
  }
  return text;
}

std::string error_text(double error, bool is_determined, int on_bound) {
  if (on_bound != 0) return on_bound < 0 ? "on its lower bound" : "on its upper bound";
  if (!is_determined || !std::isfinite(error)) return "not determined";
  return fmt::format("+- {:.2g} %", 100 * error);
}

std::string value_table(const MatchReport &r) {
  std::vector<std::vector<std::string>> rows;
  const MatchResult &m = r.result;
  for (std::size_t k = 0; k < r.problem.unknowns.size(); ++k) {
    const MatchUnknown &u = r.problem.unknowns[k];
    rows.push_back({clean_text(u.name), unknown_value(*r.problem.start, u, 0),
                    unknown_value(*r.problem.start, u, m.ln_factors[k]),
                    fmt::format("{:.4g}", std::exp(m.ln_factors[k])),
                    error_text(m.quality.standard_error[k], m.quality.is_determined[k], m.on_bound[k]),
                    fmt::format("{:.4g} .. {:.4g}", u.low, u.high)});
  }
  for (std::size_t k = 0; k < r.problem.losses.size(); ++k) {
    const LossUnknown &u = r.problem.losses[k];
    const bool known = k < m.loss_quality.is_determined.size();
    rows.push_back(
        {clean_text(u.name), fmt::format("{:.4g}", u.start), fmt::format("{:.4g}", m.losses[k]),
         u.start > 0 ? fmt::format("{:.4g}", m.losses[k] / u.start) : "-",
         known ? error_text(m.loss_quality.standard_error[k], m.loss_quality.is_determined[k], m.losses_on_bound[k])
               : "not determined",
         u.start > 0 ? fmt::format("{:.4g} .. {:.4g}", u.low / u.start, u.high / u.start)
                     : fmt::format("value {:.4g} .. {:.4g}", u.low, u.high)});
  }
  return text_table({{"unknown", Align::left, 36},
                     {"start"},
                     {"found"},
                     {"factor"},
                     {"sd", Align::left},
                     {"bounds of the factor", Align::left}},
                    rows, table_width);
}

std::string correlation_table(const FitQuality &q, const std::vector<std::string> &names) {
  if (names.size() < 2 || q.correlation.rows() != Eigen::Index(names.size())) return "";
  std::vector<Column> columns{{"correlation", Align::left, 40}};
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < names.size(); ++i) {
    columns.push_back({fmt::format("({})", i + 1)});
    std::vector<std::string> row{fmt::format("({}) {}", i + 1, names[i])};
    for (std::size_t j = 0; j <= i; ++j)
      row.push_back(std::isfinite(q.correlation(i, j)) ? fmt::format("{:+.2f}", q.correlation(i, j)) : "-");
    rows.push_back(row);
  }
  return text_table(columns, rows, table_width) + "\n";
}

std::string chi_lines(const FitQuality &q, const char *of, double before) {
  if (q.freedom <= 0)
    return fmt::format(
        "As many unknowns as {}: they can be met whatever the model is worth, so the fit proves nothing and the sd of "
        "the values rest on the stated uncertainties alone.",
        of);
  std::string text = fmt::format("chi^2 of the {} {:.1f}, expected {} +- {:.1f}", of, q.chi_squared, q.freedom,
                                 std::sqrt(2.0 * q.freedom));
  if (std::isfinite(before)) text += fmt::format(" ({:.1f} before)", before);
  if (q.misses())
    text += fmt::format(
        ": the model misses more than the stated uncertainties allow (1 % limit {:.1f}). Something that is not among "
        "the "
        "unknowns is off: a size, a joint, a mass, a pair, or the floor is set too low.",
        chi_squared_99(q.freedom));
  else if (q.chi_squared < 0.1 * q.freedom)
    text += ": better than the stated uncertainties, which are on the cautious side.";
  else
    text += ": as good as the stated uncertainties.";
  if (q.widened > 1) text += fmt::format(" The sd of the values are widened by {:.2f} for it.", q.widened);
  return text;
}

std::string round_text(const MatchReport &r) {
  const MatchRound &last = r.result.rounds.back();
  std::string text =
      fmt::format("{} after the first; at the last answer the reduced and the full model differ by {:.2g} % at most",
                  counted(r.result.rounds.size(), "full solution"), 100 * last.difference);
  text += r.result.agrees
              ? "."
              : fmt::format(
                    ", more than the {:.2g} % asked for: the answer has not settled. Start nearer to it: put the "
                    "values found into the case and match again.",
                    100 * r.options.agreement);
  return text;
}

}  // namespace

std::string unknown_value(const Structure &start, const MatchUnknown &u, double ln_factor) {
  const double factor = std::exp(ln_factor);
  if (u.kind == Kind::bond_stiffness) {
    for (const Bond &bond : start.bonds)
      if (bond.name == u.bond)
        return fmt::format("{:.4g} / {:.4g} MN/m2", 1e-6 * factor * bond.normal, 1e-6 * factor * bond.shear);
    return "";
  }
  const Material &m = start.materials[u.material];
  if (u.kind == Kind::density) return fmt::format("{:.5g} kg/m3", factor * m.density);
  const OrthotropicConstants c = constants_of(m.law);
  const double value = u.kind == Kind::across_modulus   ? c.e2
                       : u.kind == Kind::in_plane_shear ? c.g12
                       : u.kind == Kind::through_shear  ? c.g13
                                                        : c.e1;
  return fmt::format("{:.4g} GPa", 1e-9 * factor * value);
}

std::vector<std::string> blind_sentences(const FitQuality &q, const std::vector<std::string> &names) {
  std::vector<std::string> sentences;
  for (const FitQuality::Blind &blind : q.blind) {
    std::string parts;
    const double largest = blind.direction.cwiseAbs().maxCoeff();
    int involved = 0;
    for (std::size_t k = 0; k < names.size(); ++k) {
      const double share = blind.direction[k] / largest;
      if (std::abs(share) < 0.1) continue;
      parts += fmt::format("{}{} by {:+.2g} %", involved++ ? ", " : "", names[k], share);
    }
    const std::string how = std::isfinite(blind.sd) ? "hardly changes" : "does not change";
    sentences.push_back(involved == 1
                            ? fmt::format("what was heard hardly depends on it: {}", parts)
                            : fmt::format("cannot be told apart: changing {} together {} what was heard; keep "
                                          "one of them fixed (weigh a board, tap a strip)",
                                          parts, how));
  }
  for (Eigen::Index i = 0; i < q.correlation.rows(); ++i)
    for (Eigen::Index j = 0; j < i; ++j) {
      if (!(std::abs(q.correlation(i, j)) > alike) || (!q.is_determined[i] && !q.is_determined[j])) continue;
      sentences.push_back(fmt::format(
          "hard to tell apart: {} and {} (correlation {:+.3f}): only {} is known well, each alone as its sd says",
          names[j], names[i], q.correlation(i, j), q.correlation(i, j) > 0 ? "their ratio" : "their product"));
    }
  return sentences;
}

std::string match_table(const MatchReport &r) {
  const MatchResult &m = r.result;
  std::string text = paragraph("", clean_text(r.case_name + ": " + r.variant_name), table_width);
  text +=
      paragraph("  ",
                fmt::format("{} frequencies heard, {} paired with modes; {} unknowns; gate {:.3g} % at first, {:.2g} % "
                            "at the end; floor for what the model leaves out {:.2g} %.",
                            r.heard.size(), m.pairs.size(), r.problem.unknowns.size() + r.problem.losses.size(),
                            100 * r.options.gate, 100 * m.last_gate, 100 * r.options.floor),
                table_width);
  text += "\n" + pair_table(r) + alone_lines(r) + "\n" + value_table(r) + "\n";
  text += correlation_table(m.quality, unknown_names(r.problem));
  text += correlation_table(m.loss_quality, loss_names(r.problem));
  std::vector<std::string> lines = blind_sentences(m.quality, unknown_names(r.problem));
  if (m.loss_quality.correlation.rows() > 0)
    for (const std::string &line : blind_sentences(m.loss_quality, loss_names(r.problem))) lines.push_back(line);
  for (std::size_t k = 0; k < r.problem.unknowns.size(); ++k)
    if (m.on_bound[k] != 0)
      lines.push_back(
          fmt::format("{} ended on its {} bound: the data want it beyond. Either widen --within, or something "
                      "else is wrong",
                      clean_text(r.problem.unknowns[k].name), m.on_bound[k] < 0 ? "lower" : "upper"));
  for (std::size_t k = 0; k < r.problem.losses.size(); ++k)
    if (m.losses_on_bound.size() > Eigen::Index(k) && m.losses_on_bound[k] != 0)
      lines.push_back(fmt::format("{} ended on its {} bound", clean_text(r.problem.losses[k].name),
                                  m.losses_on_bound[k] < 0 ? "lower" : "upper"));
  for (const std::string &note : m.notes) lines.push_back(clean_text(note));
  lines.push_back(chi_lines(m.quality, "frequencies", m.chi_squared_before));
  if (!r.problem.losses.empty() && m.loss_quality.standard_error.size() > 0)
    lines.push_back(chi_lines(m.loss_quality, "loss factors", std::nan("")));
  lines.push_back(round_text(r));
  for (const std::string &line : lines) text += paragraph("- ", line, table_width);
  text += "\nHow far to trust it\n";
  for (const char *caution :
       {"Pairs rest on frequencies (and on loss factors and walls where given) alone. Whether the shapes agree, the "
        "modal assurance, cannot be had from frequencies: a microphone hears no shapes. Check doubtful pairs by "
        "knocking "
        "where the mode moves most and where it does not.",
        "The values found are those that make this model ring as was heard. What the model leaves out (air, lining, "
        "joints taken as glued) is hidden in them: use them for this kind of box, not as data of the material.",
        "Loss factors that were heard include the room, the air and what holds the box; by the energy method."})
    text += paragraph("- ", caution, table_width);
  return text;
}

}  // namespace stillbox
