// SPDX-License-Identifier: MIT
// The words of deadness.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "postprocess/deadness.h"
#include "postprocess/text.h"
#include "postprocess/third_octave.h"

namespace stillbox {
namespace {

const RingMode &mode_of(const Deadness &d, int number) { return d.modes[std::size_t(number)]; }

std::string left_text(double part) { return part < 0.0005 ? "less than 0.1" : fmt::format("{:.2g}", 100 * part); }

std::string subject(const WallDeadness &wall) {
  return wall.wall == "all walls" ? "all walls together" : clean_text(wall.wall);
}

/// What is said of a wall, without its name.
using Said = std::pair<std::string, std::string>;

/// Walls of which the same is said share a line.
std::vector<std::string> lines_of(const std::vector<Said> &said) {
  std::vector<std::string> out;
  for (std::size_t n = 0; n < said.size(); ++n) {
    std::string names;
    bool told = false;
    for (std::size_t k = 0; k < said.size(); ++k) {
      if (said[k].second != said[n].second) continue;
      told = told || k < n;
      names += (names.empty() ? "" : ", ") + said[k].first;
    }
    if (!told) out.push_back(names + ": " + said[n].second);
  }
  return out;
}

std::string wall_words(const Deadness &d, const WallDeadness &wall) {
  if (wall.strongest < 0) return "no mode moves the points";
  const RingMode &strong = mode_of(d, wall.strongest), &slow = mode_of(d, wall.longest);
  const double highest = wall.level[std::size_t(wall.strongest)];
  std::string out = fmt::format("the strongest ring is at {:.0f} Hz, {:.1f} dB, {:#.2g} s to -60 dB; ",
                                strong.frequency, highest, strong.decay_time);
  if (wall.longest != wall.strongest)
    out += fmt::format("the longest at {:.0f} Hz, {:#.2g} s, {:.1f} dB weaker; ", slow.frequency, slow.decay_time,
                       highest - wall.level[std::size_t(wall.longest)]);
  out += fmt::format("after 20 ms {} % of the energy is left, after 100 ms {} %", left_text(wall.left_20ms),
                     left_text(wall.left_100ms));
  if (wall.spared >= 0)
    out += fmt::format("; {:.0f} Hz falls into a gap of this knock's spectrum and would else be the strongest",
                       mode_of(d, wall.spared).frequency);
  std::string bent;
  for (const BandDecay &band : wall.bands)
    if (band.fit.bent && band.share > 0.1) bent += (bent.empty() ? "" : ", ") + third_octave_name(band.band);
  if (!bent.empty()) out += "; in the bands at " + bent + " Hz the decay is bent, no single time tells it";
  return out;
}

/// "6.2 dB lower", "1.3 dB higher", "as strong within 0.1 dB".
std::string level_change(double change) {
  if (std::abs(change) < 0.05) return "as strong (within 0.1 dB)";
  return fmt::format("{:.1f} dB {}", std::abs(change), change < 0 ? "lower" : "higher");
}

/// What became of a time: "rings 2.1 times as long", "dies 2.1 times as fast".
std::string time_change(double ratio, const char *longer, const char *faster) {
  if (ratio > 1.005) return fmt::format("{} {:.2f} times as long", longer, ratio);
  if (ratio < 1 / 1.005) return fmt::format("{} {:.2f} times as fast", faster, 1 / ratio);
  return "takes as long (within half a per cent)";
}

std::string wall_change(const Deadness &base, const WallDeadness &a, const Deadness &other, const WallDeadness &b) {
  if (a.strongest < 0 || b.strongest < 0) return "no mode moves the points in one of the two";
  const RingMode &was = mode_of(base, a.strongest), &is = mode_of(other, b.strongest);
  std::string out = fmt::format("the strongest ring is {}, {}, and {}; all of the ringing is {} and {} to -60 dB",
                                std::abs(is.frequency - was.frequency) < 0.5
                                    ? fmt::format("still at {:.0f} Hz", is.frequency)
                                    : fmt::format("at {:.0f} Hz instead of {:.0f} Hz", is.frequency, was.frequency),
                                level_change(b.level[std::size_t(b.strongest)] - a.level[std::size_t(a.strongest)]),
                                time_change(is.decay_time / was.decay_time, "rings", "dies"),
                                level_change(b.energy_level - a.energy_level),
                                time_change(b.time_to_60 / a.time_to_60, "takes", "falls"));
  if (a.spared >= 0 || b.spared >= 0)
    out += fmt::format(
        "; part of this may be the knock's, as {:.0f} Hz {} falls into a gap of its spectrum: see another "
        "contact time, or the response",
        a.spared >= 0 ? mode_of(base, a.spared).frequency : mode_of(other, b.spared).frequency,
        a.spared >= 0 ? "before" : "now");
  return out;
}

}  // namespace

std::vector<std::string> deadness_words(const Deadness &variant) {
  std::vector<Said> said;
  if (variant.walls.size() != 1) said.emplace_back(subject(variant.all), wall_words(variant, variant.all));
  for (const WallDeadness &wall : variant.walls) said.emplace_back(subject(wall), wall_words(variant, wall));
  return lines_of(said);
}

std::vector<std::string> change_words(const Deadness &base, const Deadness &other) {
  std::vector<Said> said;
  if (base.walls.size() != 1) said.emplace_back(subject(base.all), wall_change(base, base.all, other, other.all));
  for (const WallDeadness &wall : base.walls) {
    const auto same = std::find_if(other.walls.begin(), other.walls.end(),
                                   [&](const WallDeadness &w) { return w.wall == wall.wall; });
    if (same != other.walls.end()) said.emplace_back(subject(wall), wall_change(base, wall, other, *same));
  }
  return lines_of(said);
}

}  // namespace stillbox
