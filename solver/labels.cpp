// SPDX-License-Identifier: MIT
#include "solver/labels.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillbox {
namespace {

constexpr int most_half_waves = 8;
// What is larger by less counts as equal, and the first of equals is named: rounding, which hangs on the number of
// threads, must not choose between two walls that move alike.
constexpr double clearly = 1 + 1e-6;

// Amplitude of sin(m pi x / a) sin(n pi y / b) in the sampled normal displacement; x mirrored when asked, so that
// opposite walls are seen through the cabinet.
double amplitude(const FaceSamples &f, int mode, int m, int n, bool mirrored) {
  double sum = 0, norm = 0;
  for (int j = 0; j < f.nv; ++j)
    for (int i = 0; i < f.nu; ++i) {
      if (!f.present[i + j * f.nu]) continue;
      const int x = mirrored ? f.nu - 1 - i : i;
      const double s = std::sin(m * M_PI * x / (f.nu - 1)) * std::sin(n * M_PI * j / (f.nv - 1));
      sum += s * f.normal[mode][i + j * f.nu];
      norm += s * s;
    }
  return norm > 0 ? sum / norm : 0;
}

std::array<int, 2> half_waves(const FaceSamples &f, int mode) {
  std::array<int, 2> best{1, 1};
  double most = -1;
  for (int m = 1; m <= most_half_waves; ++m)
    for (int n = 1; n <= most_half_waves; ++n) {
      const double a = std::abs(amplitude(f, mode, m, n, false));
      if (a > clearly * most) {
        most = a;
        best = {m, n};
      }
    }
  return best;
}

// Nodal lines crossed along one direction: sign changes along each line of points, weighted by its energy.
int crossings(const FaceSamples &f, int mode, bool along_u) {
  double weighted = 0, weights = 0;
  const int lines = along_u ? f.nv : f.nu, points = along_u ? f.nu : f.nv;
  const double largest = f.normal[mode].cwiseAbs().maxCoeff();
  for (int line = 0; line < lines; ++line) {
    int changes = 0;
    double last = 0, energy = 0;
    for (int p = 0; p < points; ++p) {
      const int at = along_u ? p + line * f.nu : line + p * f.nu;
      if (!f.present[at]) continue;
      const double value = f.normal[mode][at];
      energy += value * value;
      if (std::abs(value) < 0.03 * largest) continue;
      changes += last * value < 0;
      last = value;
    }
    weighted += energy * changes;
    weights += energy;
  }
  return weights > 0 ? int(std::lround(weighted / weights)) : 0;
}

// Of a face that goes right round: waves round it and half waves along it, as "2 round, 1 along".
std::string round_label(const FaceSamples &f, int mode) {
  std::array<int, 2> best{0, 1};
  double most = -1;
  for (int round = 0; round <= most_half_waves; ++round)
    for (int along = 1; along <= most_half_waves; ++along) {
      double cosine = 0, sine = 0;
      for (int j = 0; j < f.nv; ++j)
        for (int i = 0; i + 1 < f.nu; ++i) {  // the last column is the first one again
          if (!f.present[i + j * f.nu]) continue;
          const double angle = 2 * M_PI * round * i / (f.nu - 1);
          const double value = f.normal[mode][i + j * f.nu] * std::sin(along * M_PI * j / (f.nv - 1));
          cosine += value * std::cos(angle);
          sine += value * std::sin(angle);
        }
      const double amplitude_here = std::hypot(cosine, sine) * (round == 0 ? std::sqrt(0.5) : 1);
      if (amplitude_here > clearly * most) {
        most = amplitude_here;
        best = {round, along};
      }
    }
  return fmt::format("{} {} round, {} along", f.board, best[0], best[1]);
}

const char *opposite(const std::string &wall) {
  if (wall == "left") return "right";
  if (wall == "right") return "left";
  if (wall == "top") return "bottom";
  if (wall == "bottom") return "top";
  if (wall == "baffle") return "back";
  if (wall == "back") return "baffle";
  return "";
}

const FaceSamples *face_named(const std::vector<FaceSamples> &faces, const std::string &name) {
  for (const FaceSamples &f : faces)
    if (f.board == name) return &f;
  return nullptr;
}

}  // namespace

std::string mode_label(const std::vector<FaceSamples> &faces, const std::vector<double> &energy_share, int mode) {
  std::size_t largest = 0;
  for (std::size_t b = 1; b < energy_share.size(); ++b)
    if (energy_share[b] > clearly * energy_share[largest]) largest = b;
  const FaceSamples &f = faces[largest];
  if (f.role == "free") {
    const double out_of_plane = f.normal[mode].cwiseAbs().maxCoeff();
    if (out_of_plane < 1e-9) return fmt::format("{} in its plane", f.board);
    return fmt::format("{} nodal lines {}+{}", f.board, crossings(f, mode, true), crossings(f, mode, false));
  }
  if (f.is_closed) return round_label(f, mode);
  const auto [m, n] = half_waves(f, mode);
  if (f.role != "wall") return fmt::format("{} {}x{}", f.board, m, n);
  const FaceSamples *other = face_named(faces, opposite(f.board));
  if (other) {
    const double here = amplitude(f, mode, m, n, false), there = amplitude(*other, mode, m, n, true);
    if (std::abs(there) > 0.35 * std::abs(here))
      return fmt::format("{}+{} {}x{} {}", f.board, other->board, m, n, here * there > 0 ? "breathing" : "swaying");
  }
  return fmt::format("{} {}x{}", f.board, m, n);
}

double net_share(const std::vector<FaceSamples> &faces, double net, int mode) {
  double total = 0;
  for (const FaceSamples &f : faces) {
    if (f.role != "wall") continue;
    const double cell = f.size.x() / (f.nu - 1) * f.size.y() / (f.nv - 1);
    for (int j = 0; j < f.nv; ++j)
      for (int i = 0; i < f.nu; ++i) {
        if (!f.present[i + j * f.nu]) continue;
        const double part = (i == 0 || i == f.nu - 1 ? 0.5 : 1) * (j == 0 || j == f.nv - 1 ? 0.5 : 1);
        total += part * cell * std::abs(f.normal[mode][i + j * f.nu]);
      }
  }
  return total > 0 ? std::min(1.0, std::abs(net) / total) : 0;
}

}  // namespace stillbox
