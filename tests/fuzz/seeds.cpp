// SPDX-License-Identifier: MIT
#include "tests/fuzz/seeds.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <cmath>
#include <stdexcept>

#include "postprocess/place_rows.h"

namespace stillbox {

std::string audio_bytes(int format, int channels, int rate) {
  std::string bytes;
  struct Memory {
    std::string *bytes;
    sf_count_t at = 0;
  } memory{&bytes};
  SF_VIRTUAL_IO io{};
  io.get_filelen = [](void *m) { return sf_count_t(static_cast<Memory *>(m)->bytes->size()); };
  io.seek = [](sf_count_t offset, int whence, void *m) {
    auto &to = *static_cast<Memory *>(m);
    to.at = whence == SEEK_SET ? offset : whence == SEEK_CUR ? to.at + offset : sf_count_t(to.bytes->size()) + offset;
    return to.at;
  };
  io.read = [](void *, sf_count_t, void *) { return sf_count_t(0); };
  io.write = [](const void *from, sf_count_t count, void *m) {
    auto &to = *static_cast<Memory *>(m);
    if (to.bytes->size() < std::size_t(to.at + count)) to.bytes->resize(std::size_t(to.at + count));
    to.bytes->replace(std::size_t(to.at), std::size_t(count), static_cast<const char *>(from), std::size_t(count));
    to.at += count;
    return count;
  };
  io.tell = [](void *m) { return static_cast<Memory *>(m)->at; };
  SF_INFO info{};
  info.samplerate = rate;
  info.channels = channels;
  info.format = format;
  SNDFILE *file = sf_open_virtual(&io, SFM_WRITE, &info, &memory);
  if (!file) throw std::runtime_error("libsndfile cannot write a seed");
  std::vector<float> samples(std::size_t(rate / 2 * channels));
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double t = double(i / std::size_t(channels)) / rate, since = std::fmod(t, 0.2);
    samples[i] = float(0.5 * std::exp(-30 * since) * std::sin(2 * M_PI * 400 * since) + 1e-4 * std::sin(1e3 * t));
  }
  sf_writef_float(file, samples.data(), sf_count_t(samples.size()) / channels);
  sf_close(file);
  return bytes;
}

std::string acceleration_table(const char *separator) {
  std::string text = fmt::format("time_s{0}acceleration_m_s2{0}second\n", separator);
  for (int i = 0; i < 400; ++i) {
    const double t = i / 1000.0;
    text += fmt::format("{1:.4f}{0}{2:.6g}{0}{3:.6g}\n", separator, t, 3 * std::exp(-10 * t) * std::sin(600 * t), t);
  }
  return text;
}

std::string candidates_text() {
  std::vector<PlaceRow> rows;
  for (int i = 0; i < 4; ++i) {
    PlaceRow row;
    row.search = "0123456789abcdef";
    row.line = i / 2;
    row.line_of = i / 2 ? "rim 30 mm, \"thick\"" : "";
    row.at = 100 + 20.0 * i;
    row.rule = i == 1 ? "middle" : "";
    row.how = i == 3 ? "refused" : "reduced";
    row.reason = i == 3 ? "too heavy" : "";
    row.mass = 4.5 + i;
    row.volume = 0.016;
    const Eigen::Index modes = i == 3 ? 0 : 3;
    row.modes.frequency = Eigen::VectorXd::LinSpaced(modes, 300 + i, 700 + i);
    row.modes.loss_factor = Eigen::VectorXd::Constant(modes, 0.02);
    row.modes.samples = Eigen::MatrixXd::Constant(modes > 0 ? 8 : 0, modes, 0.5);
    rows.push_back(row);
  }
  return place_rows_text(rows);
}

const char *place_json_text() {
  return R"({"schema": "stillbox place 1", "case": "t", "aim": "highest first mode", "variant": "window",
 "units": {"value": "Hz"},
 "candidates": [
  {"line": 1, "line_of": "", "at_mm": 100, "rank": 1, "value": 400.5, "mass_kg": 4.5, "inner_volume_l": 16, "rule": "middle"},
  {"line": 1, "line_of": "rim 30 mm", "at_mm": 120, "rank": 2, "value": 390, "mass_kg": 4.5, "inner_volume_l": 16},
  {"line": 2, "at_mm": 140, "refused": "too heavy"}],
 "checks": [{"name": "winner", "candidate": "at 100 mm", "value": 401, "reduced_off_percent": {"worst": 0.1, "first": 0.05},
   "winner_ahead": {"boxes": 950, "of": 1000}}]})";
}

const char *words_seed() {
  return R"(length:3/4 in
length:1 1/2 in
length:18 mm
within:0.5..2
spot:left, 120, 80
spot:left, 12 cm, 3 1/4 in
unknown:modulus of mdf
unknown:modulus of mdf within 0.5..2
unknown:loss factor of mdf
unknown:stiffness of bond gasket
sheet:2440, 1220
--width:8 1/4 in
--weighed:300, 200, 15.7, 0.617
--cut-out:woofer, baffle, round, 105, 105, 116
--cut-out:port, back, slot, 105, 105, 60, 20
--driver:woofer, 1.1, rigid basket
--brace:brace, window, height, 165, 40
--brace:rib, rib, left, height, 165, 40
--brace:bar, bar, width, 100, 100, 20, 20
--brace:block, corner block, left, top, 20, 20
)";
}

}  // namespace stillbox
