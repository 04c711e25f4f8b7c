// SPDX-License-Identifier: MIT
// hear() of heard.h: knocks, bands, fits, and which poles are modes.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/heard.h"
#include "postprocess/knock_finder.h"
#include "postprocess/ring_band.h"
#include "postprocess/ring_fit.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

constexpr double longest_ring = 1.5, least_quiet = 0.12, most_quiet = 1.0, snr_time = 0.02;  // s
constexpr double settle_periods = 3;  // of 1 / half: the backward filter's transient at the end, -40 dB
constexpr int block = 4, most_order = 24;
constexpr Eigen::Index fewest_samples = 12;
constexpr double above_quiet = 2, amplitude_limit = 4;
constexpr double largest_loss_factor = 0.5, frequency_limit = 0.02, loss_limit = 0.5;

struct Stretch {
  std::size_t begin = 0, end = 0;
};

[[noreturn]] void refuse(const Recording &r, const std::string &why) {
  throw CaseError(clean_text(r.path) + ": " + why);
}

double decibels(double ratio_of_powers) { return 10 * std::log10(std::max(ratio_of_powers, 1e-30)); }

/// The quiet before the first knock; where that is too short, the quietest stretch before another one or at the end.
Stretch quiet_stretch(const Recording &r, const std::vector<HeardKnock> &knocks) {
  const auto at = [&](double time) { return std::size_t(std::clamp(time * r.rate, 0.0, double(r.samples.size()))); };
  const double first = knocks.front().time - 0.01;
  if (first >= least_quiet) return {at(std::max(0.0, first - most_quiet)), at(first)};
  std::vector<double> ends{double(r.samples.size()) / r.rate};
  for (std::size_t k = 1; k < knocks.size(); ++k) ends.push_back(knocks[k].time - 0.01);
  Stretch best;
  double least = -1;
  for (const double end : ends) {
    const Stretch s{at(end - least_quiet), at(end)};
    double sum = 0;
    for (std::size_t n = s.begin; n < s.end; ++n) sum += r.samples[n] * r.samples[n];
    if (least < 0 || sum < least) {
      least = sum;
      best = s;
    }
  }
  return best;
}

/// A band of all knocks and of the quiet.
struct BandData {
  Band band;
  double rate = 0;
  std::vector<Eigen::VectorXcd> ringing;
  Eigen::VectorXcd quiet;
  double quiet_power = 0;  ///< per sample
};

Eigen::VectorXcd settled(const Recording &r, const Stretch &s, const Band &band) {
  const Eigen::VectorXcd y = band_signal(r.samples, s.begin, s.end, r.rate, band);
  const double rate = r.rate / band_step(band, r.rate);
  const auto lost = Eigen::Index(std::ceil(settle_periods / band.half * rate));
  return y.head(std::max<Eigen::Index>(y.size() - lost, 0));
}

/// How far the ringing of all knocks together stands above the quiet, in samples.
Eigen::Index audible_length(const BandData &data) {
  Eigen::Index longest = 0;
  for (const auto &y : data.ringing) longest = std::max(longest, y.size());
  int below = 0;
  for (Eigen::Index n = 0; n < longest; n += block) {
    double sum = 0;
    Eigen::Index count = 0;
    for (const auto &y : data.ringing) {
      const Eigen::Index size = std::min<Eigen::Index>(block, std::max<Eigen::Index>(y.size() - n, 0));
      if (size > 0) sum += y.segment(n, size).squaredNorm();
      count += std::max<Eigen::Index>(size, 0);
    }
    below = sum < above_quiet * data.quiet_power * double(count) ? below + 1 : 0;
    if (below == 3) return n - 2 * block;
  }
  return longest;
}

/// A pole with what is wanted of it.
struct Pole {
  HeardMode mode;
  double power = 0;  ///< mean square amplitude at the knock
  bool steady = false, certain = true;
  double band_centre = 0;
};

/// Amplitude in the quiet of a tone at this angular frequency relative to the band's centre.
double quiet_amplitude(const BandData &data, double omega) {
  Complex sum = 0;
  for (Eigen::Index n = 0; n < data.quiet.size(); ++n)
    sum += data.quiet[n] * std::polar(1.0, -omega * double(n) / data.rate);
  return std::abs(sum) / double(std::max<Eigen::Index>(data.quiet.size(), 1));
}

/// Which poles hardly decay while they are fitted and were there before.
std::vector<bool> steady_poles(const BandData &data, const RingFit &fit, double duration) {
  std::vector<bool> steady;
  for (std::size_t j = 0; j < fit.poles.size(); ++j) {
    const double sigma = -fit.poles[j].real();
    const double sd = std::sqrt(std::max(fit.covariance(2 * Eigen::Index(j), 2 * Eigen::Index(j)), 0.0));
    const double loudness = fit.amplitudes.row(Eigen::Index(j)).norm() / std::sqrt(double(fit.amplitudes.cols()));
    steady.push_back((sigma < 1.0 / 3 / duration || sigma < 2 * sd) &&
                     quiet_amplitude(data, fit.poles[j].imag()) > 0.5 * loudness);
  }
  return steady;
}

HeardMode mode_of(Complex s, double centre, const Eigen::Matrix2d &covariance) {
  const double sigma = -s.real(), omega = 2 * M_PI * centre + s.imag(), size = std::hypot(sigma, omega);
  HeardMode mode;
  mode.frequency = size / (2 * M_PI);
  mode.loss_factor = 2 * sigma / size;
  const Eigen::Vector2d f(sigma / size / (2 * M_PI), omega / size / (2 * M_PI));
  const Eigen::Vector2d eta(2 / size - 2 * sigma * sigma / (size * size * size),
                            -2 * sigma * omega / (size * size * size));
  mode.frequency_sd = std::sqrt(std::max(f.dot(covariance * f), 0.0));
  mode.loss_factor_sd = std::sqrt(std::max(eta.dot(covariance * eta), 0.0));
  return mode;
}

/// Standard error of the mean.
double standard_error(const std::vector<double> &values) {
  if (values.size() < 2) return 0;
  const double count = double(values.size());
  const double mean = std::accumulate(values.begin(), values.end(), 0.0) / count;
  double sum = 0;
  for (const double v : values) sum += (v - mean) * (v - mean);
  return std::sqrt(sum / (count - 1) / count);
}

std::vector<Pole> poles_of(const BandData &data, double sample_rate) {
  const Eigen::Index length = audible_length(data);
  std::vector<Eigen::VectorXcd> stretches;
  for (const auto &y : data.ringing)
    if (std::min(length, y.size()) >= fewest_samples) stretches.push_back(y.head(std::min(length, y.size())));
  if (stretches.empty()) return {};
  Eigen::Index longest = 0;
  for (const auto &y : stretches) longest = std::max(longest, y.size());
  const double colour = std::max(1.0, data.rate / (2 * data.band.half));
  const int most = int(std::min<Eigen::Index>(most_order, longest / 3));
  RingFit fit = fit_ringing(stretches, data.rate, colour, data.quiet_power, most);
  const std::vector<bool> steady = steady_poles(data, fit, double(longest) / data.rate);
  if (std::find(steady.begin(), steady.end(), true) != steady.end())
    fit = refine_poles(stretches, data.rate, fit.poles, steady, colour, data.quiet_power, 20);

  std::vector<RingFit> alone;
  if (stretches.size() > 1)
    for (const auto &y : stretches)
      alone.push_back(refine_poles({y}, data.rate, fit.poles, fit.steady, colour, data.quiet_power, 10));
  std::vector<Pole> poles;
  for (std::size_t j = 0; j < fit.poles.size(); ++j) {
    const auto row = Eigen::Index(j);
    const double frequency = data.band.centre + fit.poles[j].imag() / (2 * M_PI);
    if (frequency < data.band.low || frequency >= data.band.high) continue;
    Pole pole;
    pole.band_centre = data.band.centre;
    pole.steady = fit.steady[j];
    const Eigen::Matrix2d covariance = fit.covariance.block<2, 2>(2 * row, 2 * row);
    pole.mode = mode_of(fit.poles[j], data.band.centre, covariance);
    std::vector<double> frequencies, losses;
    for (std::size_t k = 0; k < stretches.size(); ++k) {
      if (std::abs(fit.amplitudes(row, Eigen::Index(k))) < amplitude_limit * fit.amplitude_sd(row, Eigen::Index(k)))
        continue;
      ++pole.mode.knocks;
      if (alone.empty()) continue;
      const HeardMode single = mode_of(alone[k].poles[j], data.band.centre, Eigen::Matrix2d::Zero());
      frequencies.push_back(single.frequency);
      losses.push_back(single.loss_factor);
    }
    pole.mode.frequency_sd = std::max(pole.mode.frequency_sd, standard_error(frequencies));
    pole.mode.loss_factor_sd = std::max(pole.mode.loss_factor_sd, standard_error(losses));
    const double gain = std::abs(band_gain(std::exp(fit.poles[j] / sample_rate), sample_rate, data.band));
    const double growth = std::exp(-fit.poles[j].real() * contact_time) / gain;
    pole.power = fit.amplitudes.row(row).squaredNorm() / double(stretches.size()) * growth * growth;
    const double strength = fit.amplitudes.row(row).squaredNorm() / fit.amplitude_sd.row(row).squaredNorm();
    pole.certain = strength > amplitude_limit * amplitude_limit && pole.mode.knocks > 0 &&
                   pole.mode.frequency_sd < frequency_limit * pole.mode.frequency && pole.mode.loss_factor > 0 &&
                   pole.mode.loss_factor < largest_loss_factor &&
                   pole.mode.loss_factor_sd < loss_limit * pole.mode.loss_factor;
    poles.push_back(pole);
  }
  return poles;
}

/// A pole on the border of two bands may be found in both.
void drop_doubles(std::vector<Pole> &poles) {
  std::sort(poles.begin(), poles.end(),
            [](const Pole &a, const Pole &b) { return a.mode.frequency < b.mode.frequency; });
  for (std::size_t i = 0; i + 1 < poles.size();) {
    const HeardMode &a = poles[i].mode, &b = poles[i + 1].mode;
    const double room = std::max(3 * std::hypot(a.frequency_sd, b.frequency_sd),
                                 0.25 * std::min(a.loss_factor, b.loss_factor) * a.frequency);
    if (poles[i].band_centre == poles[i + 1].band_centre || b.frequency - a.frequency > room) {
      ++i;
      continue;
    }
    const bool second_goes = poles[i].certain > poles[i + 1].certain ||
                             (poles[i].certain == poles[i + 1].certain && a.frequency_sd <= b.frequency_sd);
    poles.erase(poles.begin() + std::ptrdiff_t(second_goes ? i + 1 : i));
  }
}

bool is_mains(double frequency) {
  for (const double base : {50.0, 60.0}) {
    const double nearest = base * std::max(1.0, std::round(frequency / base));
    if (std::abs(frequency - nearest) < 0.4 + 0.002 * nearest) return true;
  }
  return false;
}

void check_band(const Recording &r, const HearOptions &options, Heard &heard) {
  const double most = 0.4 * r.rate;
  heard.from = options.from;
  heard.to = options.to > 0 ? options.to : std::min(2000.0, most);
  if (!(heard.from >= 20 && heard.from <= most))
    refuse(r, fmt::format("--from {} Hz: allowed 20 .. {} Hz at {} samples per second", number_text(options.from),
                          number_text(most), number_text(r.rate)));
  if (!(heard.to <= most))
    refuse(r, fmt::format("--to {} Hz: the sample rate of {} Hz is too low for it; allowed up to {} Hz (0.4 of the "
                          "rate); lower --to, or record at {} or more",
                          number_text(options.to), number_text(r.rate), number_text(most),
                          number_text(std::ceil(2.5 * options.to))));
  if (!(heard.from < heard.to))
    refuse(r, fmt::format("--from {} Hz is not below --to {} Hz; choose a band", number_text(heard.from),
                          number_text(heard.to)));
}

/// The stretches of ringing of the knocks without a fault.
std::vector<Stretch> ringing_of(const Recording &r, const std::vector<HeardKnock> &knocks) {
  std::vector<Stretch> stretches;
  for (std::size_t k = 0; k < knocks.size(); ++k) {
    if (!knocks[k].fault.empty()) continue;
    const double start = knocks[k].time + contact_time;
    double end = std::min(start + longest_ring, double(r.samples.size()) / r.rate);
    if (k + 1 < knocks.size()) end = std::min(end, knocks[k + 1].time - 0.01);
    stretches.push_back({std::size_t(std::ceil(start * r.rate)), std::size_t(end * r.rate)});
  }
  return stretches;
}

/// Fills snr_db; a knock that is too weak gets a fault. Returns which of the faultless ones remain.
std::vector<bool> judge_noise(const std::vector<BandData> &bands, Heard &heard) {
  std::vector<bool> kept;
  std::size_t k = 0;
  for (HeardKnock &knock : heard.knocks) {
    if (!knock.fault.empty()) continue;
    double ring = 0, quiet = 0;
    for (const BandData &data : bands) {
      const Eigen::VectorXcd &y = data.ringing[k];
      const auto count = std::min(y.size(), Eigen::Index(std::ceil(snr_time * data.rate)));
      if (count > 0) ring += y.head(count).squaredNorm() / double(count);
      quiet += data.quiet_power;
    }
    knock.snr_db = std::min(decibels(ring / std::max(quiet, 1e-300)), 200.0);
    kept.push_back(knock.snr_db >= least_snr_db);
    if (!kept.back()) knock.fault = fmt::format("only {:.0f} dB above the noise", knock.snr_db);
    ++k;
  }
  return kept;
}

[[noreturn]] void refuse_knocks(const Recording &r, const Heard &heard) {
  std::string list;
  double best = -300;
  for (const HeardKnock &knock : heard.knocks) {
    list += fmt::format("{}at {:.3f} s {}", list.empty() ? "" : ", ", knock.time, knock.fault);
    if (knock.fault.rfind("only", 0) == 0) best = std::max(best, knock.snr_db);
  }
  if (best > -300)
    refuse(r, fmt::format(
                  "too noisy: {}; allowed: {} dB and more between {} and {} Hz; knock harder, bring the microphone "
                  "nearer, choose a quieter place, or narrow the band with --from and --to",
                  list, number_text(least_snr_db), number_text(heard.from), number_text(heard.to)));
  refuse(r, "no knock can be used: " + list +
                "; knock once with a hard knuckle or a rubber tip that springs back, then wait one to two seconds");
}

}  // namespace

Heard hear(const Recording &recording, const HearOptions &options) {
  Heard heard;
  check_band(recording, options, heard);
  heard.knocks = find_knocks(recording, heard.to);
  if (heard.knocks.empty())
    refuse(recording,
           "no knock in it: nothing rises suddenly out of the noise; leave half a second of quiet, then knock a few "
           "times, "
           "one to two seconds apart");
  const std::vector<Stretch> ringing = ringing_of(recording, heard.knocks);
  if (ringing.empty()) refuse_knocks(recording, heard);
  const Stretch quiet = quiet_stretch(recording, heard.knocks);
  std::vector<BandData> bands;
  for (const Band &band : bands_between(heard.from, heard.to)) {
    BandData data;
    data.band = band;
    data.rate = recording.rate / band_step(band, recording.rate);
    data.quiet = settled(recording, quiet, band);
    data.quiet_power = data.quiet.squaredNorm() / double(std::max<Eigen::Index>(data.quiet.size(), 1));
    for (const Stretch &s : ringing) data.ringing.push_back(settled(recording, s, band));
    bands.push_back(std::move(data));
  }
  const std::vector<bool> kept = judge_noise(bands, heard);
  heard.used = int(std::count(kept.begin(), kept.end(), true));
  if (heard.used == 0) refuse_knocks(recording, heard);
  std::vector<double> ratios;
  for (const HeardKnock &knock : heard.knocks)
    if (knock.fault.empty()) ratios.push_back(knock.snr_db);
  std::nth_element(ratios.begin(), ratios.begin() + std::ptrdiff_t(ratios.size() / 2), ratios.end());
  heard.snr_db = ratios[ratios.size() / 2];

  std::vector<Pole> poles;
  for (BandData &data : bands) {
    std::vector<Eigen::VectorXcd> used;
    for (std::size_t k = 0; k < kept.size(); ++k)
      if (kept[k]) used.push_back(std::move(data.ringing[k]));
    data.ringing = std::move(used);
    for (const Pole &pole : poles_of(data, recording.rate)) poles.push_back(pole);
  }
  drop_doubles(poles);
  double loudest = 0;
  for (const Pole &pole : poles)
    if (pole.certain && !pole.steady) loudest = std::max(loudest, pole.power);
  for (Pole &pole : poles) {
    pole.mode.level_db = decibels(pole.power / std::max(loudest, 1e-300));
    if (pole.steady)
      heard.tones.push_back({pole.mode.frequency, pole.mode.level_db, is_mains(pole.mode.frequency)});
    else if (pole.certain)
      heard.modes.push_back(pole.mode);
    else
      ++heard.left_out;
  }
  if (heard.modes.empty())
    refuse(recording,
           fmt::format("no mode between {} and {} Hz can be told from the noise ({} poles were too uncertain); "
                       "knock harder, record more knocks, or choose another band",
                       number_text(heard.from), number_text(heard.to), heard.left_out));
  return heard;
}

}  // namespace stillbox
