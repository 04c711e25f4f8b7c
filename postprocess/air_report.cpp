// SPDX-License-Identifier: MIT
#include "postprocess/air_report.h"

#include <fmt/format.h>

#include <cmath>

#include "mesh/length.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

std::string seconds(double t60) { return std::isfinite(t60) ? fmt::format("{:.3g}", t60) : "-"; }

const CoupledMode *mode_at(const std::vector<CoupledMode> &modes, const std::vector<int> &index, int i) {
  const int m = i < int(index.size()) ? index[std::size_t(i)] : -1;
  return m < 0 || modes[std::size_t(m)].damped_away ? nullptr : &modes[std::size_t(m)];
}

bool is_lined(const AirSolution &a) { return a.air.regions.size() > 1; }

std::string room_words(const AirSolution &a) {
  std::string text = fmt::format("{:.2f} l of air", 1e3 * a.air.volume);
  if (a.air.chambers > 1) text += fmt::format(" in {} chambers that nothing joins", a.air.chambers);
  text += fmt::format(", speed of sound {:.1f} m/s.", a.air.air.speed);
  for (std::size_t r = 1; r < a.air.regions.size(); ++r)
    text += fmt::format(" \"{}\" takes {:.1f} % of it.", clean_text(a.air.regions[r].name),
                        100 * a.air.regions[r].volume / a.air.volume);
  std::string closed;
  for (const AirOpening &o : a.air.openings)
    if (!o.has_driver && o.port < 0) closed += (closed.empty() ? "" : ", ") + ("\"" + clean_text(o.name) + "\"");
  if (!closed.empty()) text += " Closed cut-outs: " + closed + " (a [[port]] would open one).";
  return text;
}

std::string port_words(const AirSolution &a) {
  std::string out;
  for (std::size_t p = 0; p < a.tubes.size(); ++p) {
    const CoupledMode *rigid = mode_at(a.rigid, a.rigid_of_port, int(p));
    const CoupledMode *together = mode_at(a.coupled, a.coupled_of_port, int(p));
    std::string text = fmt::format("Port \"{}\": ", clean_text(a.ports[p]));
    text += rigid ? fmt::format("tuned to {:.1f} Hz, Q {:.0f}", rigid->frequency, 1 / rigid->loss_factor)
                  : std::string("no tuning up to the top frequency");
    if (together) text += fmt::format("; {:.1f} Hz with walls that give", together->frequency);
    text += fmt::format(
        ". Hand formula with a wall without end around the mouths, no lining: {:.1f} Hz. Cones held; small signals.",
        helmholtz_frequency(a.tubes[p], a.air.volume));
    out += paragraph("  ", text, table_width);
  }
  return out;
}

std::string standing_table(const AirSolution &a) {
  std::vector<std::vector<std::string>> rows;
  const bool lined = is_lined(a), damped = lined || !a.tubes.empty();
  for (int i = a.air.chambers; i < a.air.standing && a.air.frequencies[i] <= a.modes.report.up_to; ++i) {
    std::vector<std::string> row{std::to_string(i - a.air.chambers + 1), fmt::format("{:.1f}", a.air.frequencies[i]),
                                 fmt::format("{:.2f}", 100 * a.air.errors[i])};
    const CoupledMode *m = mode_at(a.rigid, a.rigid_of_standing, i);
    if (damped) {
      row.push_back(m ? fmt::format("{:.1f}", m->frequency) : "-");
      row.push_back(m ? fmt::format("{:.3g}", m->loss_factor) : "-");
      row.push_back(m ? seconds(m->decay_time) : "-");
    }
    row.push_back(a.air.labels[std::size_t(i)] + (m && !m->separate ? " (damping merges it with another)" : "") +
                  (damped && !m ? " (damped away)" : ""));
    rows.push_back(row);
  }
  if (rows.empty()) return paragraph("  ", "No standing wave up to the top frequency.", table_width);
  std::vector<Column> columns{{"wave"}, {"rigid walls\nHz"}, {"mesh\nerror %"}};
  if (damped)
    columns.insert(columns.end(), {{lined ? "with lining\nHz" : "with port\nHz"}, {"\nloss factor"}, {"\nT60 s"}});
  columns.push_back({"\nhow it goes", Align::left});
  return text_table(columns, rows, table_width);
}

std::string wall_table(const AirSolution &a) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < a.modes.modes.size(); ++i) {
    const Mode &mode = a.modes.modes[i];
    const CoupledMode *m = mode_at(a.coupled, a.coupled_of_wall, int(i));
    std::vector<std::string> row{std::to_string(i + 1), fmt::format("{:.1f}", mode.frequency),
                                 fmt::format("{:.2f}", 100 * mode.numerical_error)};
    if (m) {
      const double ratio = m->frequency / mode.frequency;
      row.insert(row.end(), {fmt::format("{:.1f}", m->frequency), fmt::format("{:+.2f}", 100 * (ratio - 1)),
                             fmt::format("{:.0f}-{:.0f}", ratio * mode.band_low, ratio * mode.band_high),
                             fmt::format("{:.4f}", mode.loss_factor), fmt::format("{:.4f}", m->loss_factor)});
    } else {
      row.insert(row.end(), {"-", "-", "-", fmt::format("{:.4f}", mode.loss_factor), "-"});
    }
    row.push_back(clean_text(mode.label));
    rows.push_back(row);
  }
  if (rows.empty()) return paragraph("  ", "No wall mode up to the top frequency.", table_width);
  return text_table({{"mode"},
                     {"without air\nHz"},
                     {"mesh\nerror %"},
                     {"with air\nHz"},
                     {"\nshift %"},
                     {"\nband Hz"},
                     {"loss factor\nwithout"},
                     {"\nwith"},
                     {"\nshape", Align::left}},
                    rows, table_width);
}

}  // namespace

std::vector<std::string> coincidence_words(const AirSolution &a) {
  std::vector<std::string> lines;
  for (const Coincidence &c : a.coincidences) {
    const Mode &wall = a.modes.modes[std::size_t(c.wall)];
    std::string text = fmt::format(
        "Wave {} ({}, {:.1f} Hz) lies {:.1f} % {} wall mode {} ({}, {:.1f} Hz) and drives it: at equal frequencies "
        "they "
        "would move {:.1f} Hz apart",
        c.standing - a.air.chambers + 1, a.air.labels[std::size_t(c.standing)], c.standing_hz, 100 * std::abs(c.apart),
        c.apart < 0 ? "below" : "above", c.wall + 1, clean_text(wall.label), wall.frequency, 2 * c.coupling);
    const CoupledMode *wave = mode_at(a.coupled, a.coupled_of_standing, c.standing);
    const CoupledMode *panel = mode_at(a.coupled, a.coupled_of_wall, c.wall);
    if (wave && panel) {
      text += fmt::format("; together they are at {:.1f} and {:.1f} Hz", wave->frequency, panel->frequency);
      if (std::isfinite(wave->decay_time) && std::isfinite(panel->decay_time))
        text += fmt::format(", T60 {:.3g} and {:.3g} s", wave->decay_time, panel->decay_time);
    }
    lines.push_back(text + ".");
  }
  return lines;
}

std::string air_table(const AirSolution &a) {
  std::string out = clean_text(a.modes.case_name) + ": " + clean_text(a.modes.variant_name) + "\n";
  out += paragraph("  ", room_words(a), table_width);
  out += port_words(a);
  out += "\n  Standing waves of the air inside\n" + standing_table(a);
  out += "\n  Walls and the air inside\n" + wall_table(a);
  out += "\n  Coincidences: a standing wave and a wall mode within 3 % that drive each other\n";
  const std::vector<std::string> words = coincidence_words(a);
  if (words.empty()) out += paragraph("  ", "None.", table_width);
  for (const std::string &text : words) out += paragraph("  - ", text, table_width);
  return out;
}

std::string air_cautions(const std::vector<AirSolution> &variants) {
  std::string out = "What these figures are\n";
  const auto say = [&](const std::string &text) { out += paragraph("  ", text, table_width); };
  say("A prediction, not a measurement. Included: the air between walls, braces and sheets as a compressible fluid, "
      "its "
      "coupling to all walls and braces, cut-outs closed flush with the wall and moving with their rim, ports as a "
      "mass "
      "with friction and radiation outside. Mesh error: estimated. Band: the boards' tolerances, moved with the mode.");
  say("Left out: what drivers' magnets, baskets and port tubes take of the volume, motion of the cones, the air "
      "outside, "
      "leaks, losses of unlined air, swirl in the port at high levels, and wall modes above the top frequency.");
  bool lined = false, no_lining = false;
  for (const AirSolution &a : variants) (is_lined(a) ? lined : no_lining) = true;
  if (lined)
    say("Lining: air in fibres by Miki's empirical law from the flow resistivity, frame at rest; real linings differ "
        "by "
        "tens of per cent and move. Cut fibres with gloves and a dust mask; keep them clear of ports, electronics and "
        "heat.");
  if (no_lining)
    say("Without a [[lining]] or [[filling]] standing waves have no loss of their own here; real ones ring less.");
  return out;
}

}  // namespace stillbox
