// SPDX-License-Identifier: MIT
#include "postprocess/recording.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/recording_table.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr std::uintmax_t largest_file = std::uintmax_t(1) << 30;  // bytes
constexpr int most_channels = 32;
constexpr sf_count_t block_frames = 65536;

[[noreturn]] void refuse(const std::string &path, const std::string &why) {
  throw CaseError(clean_text(path) + ": " + why);
}

void check_file(const std::string &path) {
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found) refuse(path, "there is no such file; check the name and the folder");
  if (status.type() == fs::file_type::directory) refuse(path, "is a folder; name the recording in it");
  if (!fs::is_regular_file(status)) refuse(path, "is not an ordinary file; name a recording");
  const std::uintmax_t size = fs::file_size(path, error);
  if (error) refuse(path, "cannot be read: " + error.message());
  if (size == 0) refuse(path, "is empty; record again, or copy the file again");
  if (size > largest_file) refuse(path, fmt::format("has {} bytes; allowed: up to 1 GiB; cut it to the knocks", size));
}

bool is_table(const std::string &path) {
  std::string ending = std::filesystem::path(path).extension().string();
  for (char &c : ending) c = char(std::tolower(static_cast<unsigned char>(c)));
  return ending == ".csv";
}

double quantum_of(int format) {
  switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
      return std::ldexp(1, -7);
    case SF_FORMAT_PCM_16:
      return std::ldexp(1, -15);
    case SF_FORMAT_PCM_24:
      return std::ldexp(1, -23);
    default:
      return 0;
  }
}

void check_channel(const Recording &r, int asked) {
  if (asked > r.channels)
    refuse(r.path, fmt::format("--channel {}: the recording has {}; allowed 1 .. {}", asked,
                               r.channels == 1 ? "one channel" : fmt::format("{} channels", r.channels), r.channels));
}

void check_rate(const Recording &r, double low) {
  if (!(r.rate >= low && r.rate <= highest_rate))
    refuse(r.path, fmt::format("{} samples per second; allowed {} .. {}; record at 48000, or resample",
                               number_text(r.rate), number_text(low), number_text(highest_rate)));
}

void check_length(const Recording &r, double seconds) {
  if (seconds < shortest_recording)
    refuse(r.path, fmt::format("too short: {} s; allowed {} .. {} s; record half a second of quiet, then a few knocks "
                               "one to two seconds apart",
                               number_text(seconds), number_text(shortest_recording), number_text(longest_recording)));
  if (seconds > longest_recording)
    refuse(r.path, fmt::format("too long: {} s; allowed {} .. {} s; cut it to the knocks", number_text(seconds),
                               number_text(shortest_recording), number_text(longest_recording)));
}

Recording read_audio(const std::string &path, int channel) {
  SF_INFO info{};
  const std::unique_ptr<SNDFILE, int (*)(SNDFILE *)> file(sf_open(path.c_str(), SFM_READ, &info), sf_close);
  if (!file)
    refuse(path, "is not audio that can be read (" + clean_text(sf_strerror(nullptr)) +
                     "); save it as WAV or FLAC, or give a table of time and acceleration a name ending in .csv");
  Recording r;
  r.path = path;
  r.rate = info.samplerate;
  r.channels = info.channels;
  r.channel = std::max(channel, 1);
  r.quantum = quantum_of(info.format);
  if (info.channels < 1 || info.channels > most_channels)
    refuse(path, fmt::format("{} channels; allowed 1 .. {}; export the channel of the microphone alone", info.channels,
                             most_channels));
  check_channel(r, channel);
  check_rate(r, lowest_rate);
  // The header may claim any length: only what is really there is kept, block by block.
  const auto most = static_cast<std::size_t>(longest_recording * r.rate) + 1;
  std::vector<double> block(static_cast<std::size_t>(block_frames * info.channels));
  while (r.samples.size() <= most) {
    const sf_count_t got = sf_readf_double(file.get(), block.data(), block_frames);
    if (got <= 0) break;
    for (sf_count_t i = 0; i < got; ++i)
      r.samples.push_back(block[static_cast<std::size_t>(i * info.channels + r.channel - 1)]);
  }
  if (sf_error(file.get()) != SF_ERR_NO_ERROR)
    refuse(path, fmt::format("is damaged after {:.3f} s ({}); copy or export it again",
                             double(r.samples.size()) / r.rate, clean_text(sf_strerror(file.get()))));
  return r;
}

}  // namespace

std::string clipping(const Recording &recording) {
  const std::vector<double> &x = recording.samples;
  const auto count = static_cast<std::ptrdiff_t>(x.size());
  int runs = 0;
  std::ptrdiff_t first = 0;
  double level = 0;
  for (const double sign : {1.0, -1.0}) {
    double peak = 0;
    for (const double v : x) peak = std::max(peak, sign * v);
    const double d = std::max(1.5 * recording.quantum, 0.002 * peak);
    if (peak <= 20 * d) continue;  // a few steps of the converter: too coarse to tell
    for (std::ptrdiff_t i = 0; i < count;) {
      if (sign * x[std::size_t(i)] < peak - d) {
        ++i;
        continue;
      }
      std::ptrdiff_t end = i;
      int full = 0;
      while (end < count && sign * x[std::size_t(end)] >= peak - d) {
        full += !recording.acceleration && sign * x[std::size_t(end)] >= 0.9995;
        ++end;
      }
      const std::ptrdiff_t length = end - i;
      const bool ends_inside = i - length >= 0 && end - 1 + length < count;
      const bool falls = ends_inside && sign * x[std::size_t(i - length)] < peak - 30 * d &&
                         sign * x[std::size_t(end - 1 + length)] < peak - 30 * d;
      if (full >= 2 || (length >= 3 && falls)) {
        if (runs == 0 || i < first) first = i;
        level = std::max(level, peak);
        ++runs;
      }
      i = end;
    }
  }
  if (runs == 0) return "";
  return fmt::format(
      "{}, first at {:.3f} s, flat at {}", runs == 1 ? "once" : fmt::format("{} times", runs),
      double(first) / recording.rate,
      recording.acceleration ? number_text(level) + " m/s2" : fmt::format("{:.1f} % of full scale", 100 * level));
}

Recording read_recording(const std::string &path, int channel) {
  check_file(path);
  Recording r = is_table(path) ? read_recording_table(path, channel) : read_audio(path, channel);
  if (r.acceleration) {
    check_channel(r, channel);
    check_rate(r, lowest_table_rate);
  }
  check_length(r, double(r.samples.size()) / r.rate);
  double peak = 0;
  for (std::size_t i = 0; i < r.samples.size(); ++i) {
    if (!std::isfinite(r.samples[i]))
      refuse(path, fmt::format("the sample at {:.4f} s is no number; export it again", double(i) / r.rate));
    peak = std::max(peak, std::abs(r.samples[i]));
  }
  if (peak == 0)
    refuse(path, fmt::format("channel {} of {} is silent; choose another with --channel, or record again", r.channel,
                             r.channels));
  const std::string where = clipping(r);
  if (!where.empty())
    refuse(path, "clipped " + where +
                     ": flat tops ring at frequencies that are not the box's; lower the recording level, knock more "
                     "softly or move the microphone away, and record again");
  return r;
}

}  // namespace stillbox
