// SPDX-License-Identifier: MIT
// The files of knock_command.h.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/knock_command.h"
#include "postprocess/modes_json.h"
#include "postprocess/summary.h"
#include "postprocess/text.h"
#include "solver/knock_response.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

constexpr double from_hz = 20;
constexpr int per_octave = 24;
constexpr double time_written = 0.5;  // s

// Six significant digits: spectra are long, and no figure here is better than that.
double rounded(double x) {
  if (x == 0 || !std::isfinite(x)) return x;
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", x);
  return std::strtod(text, nullptr);
}

Json number(double x) { return std::isfinite(x) ? Json(rounded(x)) : Json(nullptr); }

std::string cell(double x) {
  if (!std::isfinite(x)) return "";
  char text[32];
  std::snprintf(text, sizeof text, "%.8g", x);
  return text;
}

Eigen::VectorXd frequencies_of(const KnockModel &m) {
  std::vector<double> list;
  const double low = std::min(from_hz, m.up_to / 10);
  for (int k = 0;; ++k) {
    const double f = low * std::exp2(double(k) / per_octave);
    if (f >= m.up_to) break;
    list.push_back(f);
  }
  list.push_back(m.up_to);
  for (const std::complex<double> &p : m.poles) {
    const double own = p.imag() / (2 * M_PI), half = -p.real() / (2 * M_PI);
    for (double f : {own - half, own, own + half})
      if (f > 0 && f <= m.up_to) list.push_back(f);
  }
  std::sort(list.begin(), list.end());
  list.erase(std::unique(list.begin(), list.end()), list.end());
  return Eigen::Map<Eigen::VectorXd>(list.data(), Eigen::Index(list.size()));
}

Json spectrum(const Eigen::RowVectorXcd &values) {
  Json re = Json::array(), im = Json::array();
  for (const std::complex<double> &v : values) {
    re.push_back(number(v.real()));
    im.push_back(number(v.imag()));
  }
  return {{"re", re}, {"im", im}};
}

Json vector_json(const Eigen::VectorXd &v, double factor) {
  Json out = Json::array();
  for (double x : v) out.push_back(number(factor * x));
  return out;
}

Json variant_json(const KnockSolution &solution, bool with_transfer) {
  const KnockModel &m = solution.model;
  Json walls = Json::array(), points = Json::array(), modes = Json::array();
  for (std::size_t w = 0; w < m.walls.size(); ++w)
    walls.push_back({{"name", clean_text(m.walls[w])}, {"area_m2", number(m.wall_area[w])}});
  for (const KnockPoint &p : m.points)
    points.push_back({{"wall", clean_text(solution.modes.faces.at(p.face).board)},
                      {"place_mm", vector_json(p.place, 1e3)},
                      {"world_mm", vector_json(p.at, 1e3)},
                      {"normal", vector_json(p.normal, 1)}});
  for (int k = 0; k < m.poles.size(); ++k) {
    const Mode &mode = solution.modes.modes[k];
    modes.push_back({{"mode", k + 1},
                     {"frequency_hz", number(mode.frequency)},
                     {"loss_factor", number(mode.loss_factor)},
                     {"decay_time_s", number(mode.decay_time)},
                     {"pole_per_s", {number(m.poles[k].real()), number(m.poles[k].imag())}}});
  }
  const Eigen::VectorXd f = frequencies_of(m);
  const Eigen::MatrixXcd own = drive_point_spectra(m, Motion::velocity, f, Losses::structural);
  Json mobility = Json::array(), transfer = Json::array(), floor = Json::array();
  for (int p = 0; p < int(m.points.size()); ++p) {
    mobility.push_back(spectrum(own.row(p)));
    Json line = Json::array();
    for (double hertz : f) line.push_back(number(2 * M_PI * hertz * truncation_floor(solution, p, p, hertz)));
    floor.push_back(line);
    if (!with_transfer) continue;
    const Eigen::MatrixXcd all = transfer_spectra(m, Motion::velocity, p, f, Losses::structural);
    for (int r = 0; r < int(m.points.size()); ++r) {
      if (r == p) continue;
      Json path = {{"knocked", p + 1}, {"answered", r + 1}};
      path.update(spectrum(all.row(r)));
      transfer.push_back(path);
    }
  }
  Json out = {{"name", clean_text(m.variant_name)},
              {"up_to_hz", number(m.up_to)},
              {"walls", walls},
              {"points", points},
              {"modes", modes},
              {"rigid_modes", m.rigid.cols()},
              {"frequency_hz", vector_json(f, 1)},
              {"mobility", mobility},
              {"truncation_floor", floor}};
  if (with_transfer) out["transfer_mobility"] = transfer;
  return out;
}

}  // namespace

std::string mobility_csv(const std::vector<KnockSolution> &variants, const KnockPulse &pulse) {
  std::string out = csv_line({"variant", "point", "wall", "across_mm", "up_mm", "x_mm", "y_mm", "z_mm",
                              "mobility_peak_m_s_n", "mobility_peak_hz", "ring_mode", "ring_hz", "ring_m_s2",
                              "ring_loss_factor", "ring_decay_time_s", "residual_m_n"});
  for (const KnockSolution &solution : variants) {
    const KnockModel &m = solution.model;
    const std::vector<KnockLine> lines = knock_lines(solution, pulse, true);
    for (std::size_t p = 0; p < m.points.size(); ++p) {
      const KnockLine &line = lines[p];
      const KnockPoint &at = m.points[p];
      const bool rings = line.ring_mode >= 0;
      const Mode mode = rings ? solution.modes.modes[line.ring_mode] : Mode{};
      out += csv_line({m.variant_name, std::to_string(p + 1), line.wall, cell(1e3 * at.place.x()),
                       cell(1e3 * at.place.y()), cell(1e3 * at.at.x()), cell(1e3 * at.at.y()), cell(1e3 * at.at.z()),
                       rings ? cell(line.mobility) : "", rings ? cell(line.mobility_frequency) : "",
                       rings ? std::to_string(line.ring_mode + 1) : "", rings ? cell(mode.frequency) : "",
                       rings ? cell(line.ring) : "", rings ? cell(mode.loss_factor) : "",
                       rings ? cell(mode.decay_time) : "", cell(m.residual(Eigen::Index(p), Eigen::Index(p)))});
    }
  }
  return out;
}

std::string knock_time_csv(const std::vector<KnockSolution> &variants, const KnockPulse &pulse) {
  std::string out = csv_line({"variant", "knocked", "answered", "time_ms", "velocity_m_s", "acceleration_m_s2"});
  for (const KnockSolution &solution : variants) {
    const KnockModel &m = solution.model;
    TimeGrid grid;
    grid.rate = 8 * m.up_to;
    grid.count = int(std::ceil(time_written * grid.rate));
    for (std::size_t s = 0; s < m.points.size(); ++s) {
      const Eigen::MatrixXd velocity = knock_response(m, pulse, Motion::velocity, int(s), grid);
      const Eigen::MatrixXd acceleration = knock_response(m, pulse, Motion::acceleration, int(s), grid);
      for (std::size_t r = 0; r < m.points.size(); ++r)
        for (int k = 0; k < grid.count; ++k)
          out += csv_line({m.variant_name, std::to_string(s + 1), std::to_string(r + 1), cell(1e3 * k / grid.rate),
                           cell(velocity(k, Eigen::Index(r))), cell(acceleration(k, Eigen::Index(r)))});
    }
  }
  return out;
}

std::string mobility_json(const std::vector<KnockSolution> &variants, const KnockPulse &pulse, bool with_transfer) {
  Json list = Json::array();
  for (const KnockSolution &solution : variants) list.push_back(variant_json(solution, with_transfer));
  Json nature = Json::array();
  for (const std::string &line : accuracy_lines()) nature.push_back(clean_text(line));
  const Json document = {
      {"schema", "stillbox mobility 1"},
      {"case", variants.empty() ? "" : clean_text(variants.front().model.case_name)},
      {"nature", nature},
      {"units", {{"frequency", "Hz"}, {"mobility", "m/s per N"}, {"area", "m2"}, {"decay time", "s"}, {"pole", "1/s"}}},
      {"pulse", {{"shape", "half-sine"}, {"peak_n", number(pulse.peak)}, {"contact_ms", number(1e3 * pulse.contact)}}},
      {"variants", list}};
  return document.dump() + "\n";
}

}  // namespace stillbox
