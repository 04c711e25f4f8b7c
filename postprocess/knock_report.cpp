// SPDX-License-Identifier: MIT
#include "postprocess/knock_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

#include "postprocess/band_table.h"
#include "postprocess/file_words.h"
#include "postprocess/knock_map.h"
#include "postprocess/knock_pictures.h"
#include "postprocess/knock_sound.h"
#include "postprocess/safe_file.h"
#include "postprocess/svg_png.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"
#include "postprocess/wav_file.h"

namespace stillbox {
namespace {

std::string percent(double part) {
  const double p = 100 * part;
  if (!(p >= 0.05)) return "<0.1";
  return p < 9.95 ? fmt::format("{:.1f}", p) : fmt::format("{:.0f}", p);
}

std::string seconds(double time) { return std::isfinite(time) ? fmt::format("{:.3f}", time) : "-"; }
std::string hertz(double f) { return fmt::format("{:.1f}", f); }

std::vector<Deadness> all_of(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                             const KnockPulse &pulse) {
  assert(models.size() == results.size());
  std::vector<Deadness> out;
  for (std::size_t v = 0; v < models.size(); ++v) out.push_back(deadness(models[v], results[v], pulse));
  return out;
}

std::vector<std::string> wall_row(const Deadness &d, const WallDeadness &wall) {
  std::vector<std::string> row{shorten(clean_text(d.variant_name), 54)};
  if (wall.strongest < 0) {
    row.resize(12, "-");
    return row;
  }
  const auto mode = [&](int n) -> const RingMode & { return d.modes[std::size_t(n)]; };
  const RingMode &strong = mode(wall.strongest), &slow = mode(wall.longest);
  row.insert(row.end(),
             {hertz(mode(wall.lowest_heard).frequency), hertz(strong.frequency),
              fmt::format("{:.1f}", wall.level[std::size_t(wall.strongest)]), fmt::format("{:.0f}", strong.quality),
              seconds(strong.decay_time), hertz(slow.frequency), seconds(slow.decay_time), percent(wall.left_20ms),
              percent(wall.left_100ms), seconds(wall.time_to_60), fmt::format("{:.1f}", wall.energy_level)});
  return row;
}

std::string wall_table(const std::vector<Deadness> &variants) {
  std::vector<std::string> names;
  for (const Deadness &d : variants)
    for (const WallDeadness &wall : d.walls)
      if (std::find(names.begin(), names.end(), wall.wall) == names.end()) names.push_back(wall.wall);
  std::vector<std::vector<std::string>> rows;
  const auto add = [&](const std::string &name, const auto &pick) {
    bool first = true;
    for (const Deadness &d : variants) {
      const WallDeadness *wall = pick(d);
      if (!wall) continue;
      std::vector<std::string> row = wall_row(d, *wall);
      row.insert(row.begin(), first ? shorten(clean_text(name), 42) : "");
      rows.push_back(row);
      first = false;
    }
  };
  if (names.size() != 1) add("all walls", [](const Deadness &d) { return &d.all; });
  for (const std::string &name : names)
    add(name, [&](const Deadness &d) -> const WallDeadness * {
      const auto it = std::find_if(d.walls.begin(), d.walls.end(), [&](const auto &w) { return w.wall == name; });
      return it == d.walls.end() ? nullptr : &*it;
    });
  return text_table({{"wall", Align::left, 14},
                     {"variant", Align::left, 18},
                     {"lowest\nheard\nHz"},
                     {"strong-\nest\nHz"},
                     {"\n\ndB"},
                     {"\n\nQ"},
                     {"\nT60\ns"},
                     {"long-\nest\nHz"},
                     {"\nT60\ns"},
                     {"left\n20 ms\n%"},
                     {"left\n100 ms\n%"},
                     {"to\n60 dB\ns"},
                     {"ring\nenergy\ndB"}},
                    rows, table_width);
}

/// Decay times of all walls together, a row per band.
std::string band_tables(const std::vector<Deadness> &variants) {
  std::vector<BandColumn> columns;
  for (const Deadness &d : variants) {
    BandColumn column{d.variant_name, {}, {}};
    for (const BandDecay &band : d.all.bands)
      column.cells[band.band] = seconds(band.fit.t20) + (band.fit.bent ? "*" : " ");
    columns.push_back(std::move(column));
  }
  return band_table(columns);
}

/// "216", or "198 to 216" when the variants differ.
std::string point_count(const std::vector<Deadness> &variants) {
  int least = variants.front().all.points, most = least;
  for (const Deadness &d : variants) {
    least = std::min(least, d.all.points);
    most = std::max(most, d.all.points);
  }
  return least == most ? std::to_string(most) : fmt::format("{} to {}", least, most);
}

std::string notes(const std::vector<Deadness> &variants, const KnockPulse &pulse) {
  const std::vector<std::pair<std::string, std::string>> list{
      {"the knock",
       fmt::format("half-sine of {:.3g} N and {:.3g} ms; figures start when it ends", pulse.peak, 1e3 * pulse.contact)},
      {"means", fmt::format("squares averaged over knocks on the wall's points and over the places of the same points; "
                            "{} points in all",
                            point_count(variants))},
      {"heard", fmt::format("within {:.0f} dB of the wall's strongest mode: a guide, no standard; no agreed limit says "
                            "what is heard",
                            heard_range)},
      {"dB",
       "of the strongest: its acceleration alone just after the knock, re 1 um/s2 (ISO 1683); of the ring energy: "
       "squared velocity over all time, re (1 nm/s)^2 1 s"},
      {"its spectrum",
       fmt::format("a half-sine of {:.3g} ms puts next to nothing in at {:.0f}, {:.0f}, {:.0f} ... Hz: modes "
                   "there are spared by this knock, not by one of another contact time",
                   1e3 * pulse.contact, 1.5 / pulse.contact, 2.5 / pulse.contact, 3.5 / pulse.contact)},
      {"T60", "time in which the mode falls by 60 dB"},
      {"left",
       "part of the energy (squared velocity from then on) 20 and 100 ms after the knock; to 60 dB: time until a "
       "millionth of it is left"}};
  std::string out;
  for (const auto &[what, note] : list) out += paragraph("  " + pad_right(what, 14), note, table_width);
  return out;
}

std::string sound_text(const KnockSounds &sounds, const KnockModel &base) {
  if (!sounds.why_none.empty()) return paragraph("  ", sounds.why_none, table_width);
  std::vector<std::vector<std::string>> rows;
  for (const SoundedKnock &knock : sounds.knocks)
    rows.push_back({fmt::format("{:.2f}", knock.start), shorten(clean_text(knock.wall), 24),
                    fmt::format("{:.0f}, {:.0f}", 1e3 * knock.place.x(), 1e3 * knock.place.y()),
                    fmt::format("{:.1f}", knock.a_level), fmt::format("{:+.1f}", knock.matched_gain),
                    fmt::format("{:.0f}", 1e3 * knock.off_spot), shorten(clean_text(knock.variant), 40)});
  std::string out = text_table({{"at s"},
                                {"wall", Align::left},
                                {"place\nmm"},
                                {"dB(A)\n200 ms"},
                                {"matched\nby dB"},
                                {"from the\nplace mm"},
                                {"variant", Align::left}},
                               rows, table_width);
  out +=
      paragraph("  ",
                fmt::format("dB(A): A-weighted energy of the first 200 ms at 1 m in the open, re (20 uPa)^2 1 s; the "
                            "matched file makes it equal. From the net volume the walls push out, as from one "
                            "point: good below {:.0f} Hz (k a = 1), a guide above it.",
                            point_source_limit(base)),
                table_width);
  return out + paragraph("  ",
                         fmt::format("Peaks are at {:.0f} dB of full scale. Start with the volume down, above all on "
                                     "headphones.",
                                     sound_peak),
                         table_width);
}

}  // namespace

std::string knock_text(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                       const KnockPulse &pulse) {
  const std::vector<Deadness> variants = all_of(models, results, pulse);
  if (variants.empty()) return "";
  std::string out = "How the walls ring after a knock\n" + wall_table(variants) + "\n" + notes(variants, pulse) + "\n";
  const std::string bands = band_tables(variants);
  if (!bands.empty())
    out += "Decay time by third-octave band, all walls, s\n" + bands +
           paragraph("  ",
                     "From the modes in the band (bands of IEC 61260-1, base ten): the Schroeder curve from -5 to -25 "
                     "dB, stretched to 60 dB. *: bent; from -5 to -35 dB it comes out more than 10 % off, so that no "
                     "single time tells the decay. -: no mode.",
                     table_width) +
           "\n";
  out += "The sound of a knock, as in the .wav files\n" + sound_text(knock_sounds(models, results, pulse), models[0]) +
         "\n";
  out += "In words\n";
  for (std::size_t v = 0; v < variants.size(); ++v) {
    out += paragraph("  ", clean_text(variants[v].variant_name), table_width);
    for (const std::string &line : deadness_words(variants[v])) out += paragraph("    ", line, table_width);
    if (v == 0) continue;
    out += paragraph("  ", clean_text(variants[v].variant_name) + " against " + clean_text(variants[0].variant_name),
                     table_width);
    for (const std::string &line : change_words(variants[0], variants[v])) out += paragraph("    ", line, table_width);
  }
  return out;
}

void check_knock_files(const std::string &folder) {
  check_writable(folder);
  check_gnuplot();
  check_png();
}

std::vector<std::string> write_knock_files(const std::string &folder, const std::vector<KnockModel> &models,
                                           const std::vector<ModalResult> &results, const KnockPulse &pulse) {
  check_knock_files(folder);
  std::vector<std::string> written;
  if (models.empty()) return written;
  const auto write = [&](const std::string &name, const std::string &bytes) {
    write_file((folder.empty() ? "." : folder) + "/" + name, bytes);
    written.push_back(name);
  };
  const KnockSounds sounds = knock_sounds(models, results, pulse);
  write("knock.json", knock_json(models, results, pulse, sounds));
  write("knock.csv", knock_csv(all_of(models, results, pulse)));
  std::vector<std::string> names;
  for (const KnockModel &model : models) names.push_back(model.variant_name);
  const std::vector<std::string> words = file_words(names);
  const MapScale scale = map_scale(models, pulse);
  for (std::size_t v = 0; v < models.size(); ++v) {
    const std::string map = knock_map(models[v], results[v], pulse, scale);
    write(words[v] + "-knock-map.svg", map);
    write(words[v] + "-knock-map.png", png_of(map));
  }
  if (sounds.why_none.empty()) {
    write("knock-equal-force.wav", wav_bytes(sounds.equal_force, sound_rate));
    write("knock-matched.wav", wav_bytes(sounds.matched, sound_rate));
  }
  if (std::all_of(models.begin(), models.end(), [](const KnockModel &m) { return m.poles.size() == 0; }))
    return written;  // nothing rings: no curve to draw
  const Plot response = response_plot(models, results);
  write("knock-response.svg", response.svg);
  write("knock-response.png", response.png);
  const DecayFrame frame = decay_frame(models, results, pulse);
  for (std::size_t v = 0; v < models.size(); ++v) {
    const Plot decay = decay_plot(models[v], results[v], pulse, frame);
    write(words[v] + "-decay.svg", decay.svg);
    write(words[v] + "-decay.png", decay.png);
  }
  return written;
}

}  // namespace stillbox
